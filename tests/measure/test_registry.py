"""Measures are found by their names, and their modules are imported when one is looked up."""

from __future__ import annotations

import subprocess
import sys

import pytest

from lugplane.measure.bench import CHOICES, MEASURES, Choice, Reckoned
from lugplane.measure.registry import MODULES, Registry


def told(code: str) -> str:
    """What a new process says."""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return run.stdout.strip()


def imported(code: str) -> list[str]:
    """The modules of measures that were imported before and after some code."""
    said = told(
        "import sys\n"
        f"names = {MODULES!r}\n"
        "def say(): print('at', *(n for n in names if 'lugplane.measure.' + n in sys.modules))\n"
        "from lugplane.measure.bench import CHOICES, MEASURES\n"
        "import lugplane.links.stored\n"
        f"say()\nassert {code}\nsay()"
    )
    before, _, after = said.partition("\n")
    assert before == "at"
    return after.split()[1:]


@pytest.mark.parametrize("look", ["len(MEASURES)", "list(CHOICES)", "'no' not in MEASURES"])
def test_nothing_is_imported_before_and_everything_after_a_look_at_all(look: str) -> None:
    assert imported(look) == list(MODULES)


def test_a_look_at_one_imports_up_to_it() -> None:
    found = imported("MEASURES['hub_bore'] and CHOICES.get('mount')")
    assert found[:2] == ["mount", "hub"]
    assert not {"car_balance", "car_pedal", "car_heat"} & set(found)


def test_what_is_registered_already_needs_no_other_module() -> None:
    said = told(
        "import sys, lugplane.measure.stack\n"
        "from lugplane.measure.bench import CHOICES\n"
        "assert CHOICES['stack'].call is lugplane.measure.stack.stack\n"
        "print('lugplane.measure.car_heat' in sys.modules)"
    )
    assert said == "False"


def test_names_and_constants_of_the_measures() -> None:
    assert len(MEASURES) > 40
    assert len(CHOICES) > 15
    assert not set(MEASURES) & set(CHOICES)
    assert CHOICES["torque"].constants == ("friction_thread", "torque_plus_minus")
    with pytest.raises(KeyError):
        MEASURES["nothing"]
    assert "nothing" not in CHOICES


def test_an_entry_knows_the_constants_that_it_takes() -> None:
    registry = Registry()

    def found(bench: object, *, width_mm: float, share: float = 0.5) -> Reckoned | Choice:
        raise AssertionError

    registry.add("found", found)
    assert registry["found"] == (found, ("width_mm", "share"))
    assert list(registry) == ["found"]
