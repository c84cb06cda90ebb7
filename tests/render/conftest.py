"""Sheets of a small fixed knowledge base of our own (`kb`), and the golden files."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from lugplane.answers.sheet import Judged, Sheet
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

KB = Path(__file__).parent / "kb"
GOLDEN = Path(__file__).parent.parent / "golden"
WRITE = "LUGPLANE_WRITE_GOLDEN"
"""Set this variable to write the golden files anew; the tests then fail, so that none forgets."""


@dataclass(frozen=True)
class Asked:
    parts: tuple[str, ...] = ()
    set_: tuple[str, ...] = ()
    adapter: bool = False


SETUPS = {
    "bolts-on": Asked(),
    "fits-with-work": Asked(("brindle-4", "sedge-300", "harrow-16")),
    "made-ring": Asked(("brindle-4", "sedge-300"), ("spacing_mm=3±0.1",)),
    "settle": Asked(("brindle-4", "sedge-300"), ("spacing_mm=3.2±0.5",)),
    "does-not-fit": Asked(("brindle-4", "sedge-316")),
    "not-known": Asked(("brindle-4", "sedge-300"), ("knuckle.ear_face_mm=unknown",)),
    "wide-doubt": Asked(set_=("disc.height_mm=56.5±2",)),
    "body-not-known": Asked(set_=("caliper.body=unknown",)),
    "adapter": Asked(("brindle-4", "sedge-300"), ("caliper.lug.spacing_mm=130±0.1",), True),
}


@pytest.fixture(scope="session")
def workshop() -> Workshop:
    return Workshop.open(only=KB)


@pytest.fixture(scope="session")
def judged_setups(workshop: Workshop) -> dict[str, Judged]:
    return {
        name: workshop.judge(Wanted("harrow-van", "front", a.parts, a.set_, a.adapter), "plain")
        for name, a in SETUPS.items()
    }


@pytest.fixture(params=SETUPS)
def judged(request: pytest.FixtureRequest, judged_setups: dict[str, Judged]) -> Judged:
    """Each setup in turn."""
    return judged_setups[request.param]


@pytest.fixture(scope="session")
def sheets(judged_setups: dict[str, Judged]) -> dict[str, Sheet]:
    return {name: j.sheet for name, j in judged_setups.items()}


HOSTILE = (
    "a | b\n# *c* _d_ `e` <f> [g](h) &lt; ~~i~~ \\ \x1b[31m \u202e \t "
    + "Ungeheuerlichkeitswort" * 6
    + " 碟式制动器 e\u0301"
)


@pytest.fixture
def hostile(sheets: dict[str, Sheet]) -> Sheet:
    """A sheet whose every free text is as nasty as a file could make it."""
    sheet = sheets["fits-with-work"]
    return replace(
        sheet,
        platform_title=HOSTILE,
        parts=tuple(replace(p, title=HOSTILE) for p in sheet.parts),
        rows=tuple(
            replace(r, title=f"{r.title} {HOSTILE}", because=r.because and HOSTILE)
            for r in sheet.rows
        ),
        evidence=tuple(
            replace(
                line,
                record=HOSTILE,
                readings=tuple(replace(r, locator=HOSTILE) for r in line.readings),
            )
            for line in sheet.evidence
        ),
        work=tuple(replace(w, text=HOSTILE) for w in sheet.work),
    )


@pytest.fixture
def same_as_golden() -> Callable[[str, str], None]:
    """Compare a text with a golden file; written anew where the variable asks for it."""

    def compare(name: str, text: str) -> None:
        file = GOLDEN / name
        if os.environ.get(WRITE):
            GOLDEN.mkdir(exist_ok=True)
            file.write_text(text + "\n", encoding="utf-8")
            pytest.fail(f"{name} was written anew: read the difference, then unset {WRITE}")
        assert text + "\n" == file.read_text(encoding="utf-8")

    return compare
