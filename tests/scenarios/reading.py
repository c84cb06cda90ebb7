"""Scenario files, read strictly: what is asked for, what was changed, what is expected.

    group: Spacing along the axle          # what the file is about
    setup: {platform: plain-car}           # stands for every scenario that does not say otherwise
    scenarios:
      - name: five millimetres, two washers
        setup: {parts: [four-pot/near]}    # platform, axle, parts, wheel, adapter, wheel_spacer_mm
                                           # and other, the parts of the other axle
        changes: {disc.height_mm: 50 ±0.1} # fact: value, as --set takes them
        expect:
          verdicts: {brake: fits with work}
          limiting: {brake: stack}
          checks: {spacing: "work, spacer", stack: work}      # state, or state and band
          numbers: {spacing: 4.9..5.1, trim.area_left_mm2: 8310 within 0.1, engagement.need: 24}
          stack: 2 washers                 # none, ring 4, ring to measure, plate; joined by "or"
          bolt: M12x1.5x45 10.9            # original, none; joined by "or"
          settles: {worn-travel: {caliper.slot_mm: 0.2}}      # ±; not alone; not known
          missing: {hand: [knuckle.behind_axle]}
          buy: [washers, not ring]         # and work, hold, caution, inspect: ids of steps.yaml
          words: ["two words of the sheet"]
          no_words: ["what it must not say"]
          refused: [close to it]           # alone: the input is refused, with these words
        defect: why this cannot hold yet   # the scenario is expected to fail

A number is one value (lower and upper bound), `a..b`, `from a` or `up to b`. It must agree to
0.001, or to half of its last written digit where that is finer, or as `within` says.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from lugplane.facts import yaml12
from lugplane.facts.raw import Positions
from lugplane.setup.assemble import Wanted

FOLDER = Path(__file__).parent
NOT_SCENARIOS = frozenset({"impossible.yaml"})
STATES = ("holds", "care", "work", "fails", "cannot tell", "does not apply")
SCOPES = ("brake", "wheel", "car")
STEPS = ("buy", "work", "hold", "caution", "inspect")
FINEST = 0.001

_FILE = {"group", "setup", "scenarios"}
_SCENARIO = {"name", "setup", "changes", "expect", "defect"}
_SETUP = {"platform", "axle", "parts", "wheel", "adapter", "wheel_spacer_mm", "other"}
_EXPECT = {
    "verdicts",
    "limiting",
    "checks",
    "numbers",
    "stack",
    "bolt",
    "settles",
    "missing",
    "words",
    "no_words",
    "refused",
    *STEPS,
}
_NUMBER = re.compile(
    r"(?:(?P<only>from|up to)\s+)?(?P<lo>[+-]?\d+(?:\.\d+)?)"
    r"(?:\s*\.\.\s*(?P<hi>[+-]?\d+(?:\.\d+)?))?"
    r"(?:\s+within\s+(?P<within>\d+(?:\.\d+)?))?"
)


class Unreadable(Exception):
    """A scenario file that does not say what it should; every problem with its line."""


@dataclass(frozen=True, slots=True)
class Number:
    """Bounds that a quantity must have; None: left open."""

    lo: float | None
    hi: float | None
    within: float
    text: str

    def agrees(self, lo: float, hi: float) -> bool:
        """Whether found bounds are these."""
        return (self.lo is None or abs(lo - self.lo) <= self.within) and (
            self.hi is None or abs(hi - self.hi) <= self.within
        )


@dataclass(frozen=True, slots=True)
class Expected:
    """One expectation: its key (`checks`), what it is about (`spacing`), the value, the line."""

    key: str
    about: str
    value: Any
    line: int


@dataclass(frozen=True, slots=True)
class Scenario:
    """One scenario and where it stands."""

    group: str
    name: str
    file: str
    line: int
    wanted: Wanted
    expected: tuple[Expected, ...]
    defect: str = ""
    wheel: str = ""
    other: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        return f"{self.file.removesuffix('.yaml')}:{self.name}"

    def all_of(self, key: str) -> Iterator[Expected]:
        """The expectations under a key."""
        return (e for e in self.expected if e.key == key)


def read_folder(folder: Path = FOLDER) -> tuple[Scenario, ...]:
    """All scenarios of a folder. Raises `Unreadable` with every problem of every file."""
    found: list[Scenario] = []
    problems: list[str] = []
    for file in sorted(folder.glob("*.yaml")):
        if file.name in NOT_SCENARIOS:
            continue
        try:
            found += read_file(file)
        except Unreadable as error:
            problems.append(str(error))
    ids = [s.id for s in found]
    problems += [f"{i}: two scenarios have this name" for i in sorted({*ids}) if ids.count(i) > 1]
    if problems:
        raise Unreadable("\n".join(problems))
    return tuple(found)


def read_file(file: Path) -> list[Scenario]:
    """The scenarios of a file. Raises `Unreadable` with every problem in it."""
    return read_text(file.read_text("utf-8"), file.name)


def read_text(text: str, file: str) -> list[Scenario]:
    """The scenarios of a file's text. Raises `Unreadable`."""
    document = yaml12.read(text, file)
    if isinstance(document, yaml12.Damaged):
        raise Unreadable("\n".join(str(p) for p in document.problems))
    reader = _Reader(file, document.positions)
    scenarios = reader.scenarios(document.data)
    if reader.problems:
        raise Unreadable("\n".join(reader.problems))
    return scenarios


@dataclass(slots=True)
class _Reader:
    file: str
    positions: Positions
    problems: list[str] = field(default_factory=list)

    def line(self, path: tuple[str | int, ...]) -> int:
        return self.positions.of_key(path)[0]

    def complain(self, path: tuple[str | int, ...], what: str) -> None:
        self.problems.append(f"{self.file}:{self.line(path)}: {what}")

    def mapping(
        self, data: Any, path: tuple[str | int, ...], allowed: set[str] | None = None
    ) -> Mapping[str, Any]:
        """A mapping with no key but those allowed (None: any)."""
        if not isinstance(data, dict) or not data:
            self.complain(path, f"{path[-1] if path else 'the file'}: a mapping is needed")
            return {}
        for key in data if allowed is not None else ():
            if key not in allowed:  # type: ignore[operator]
                known = ", ".join(sorted(allowed or ()))
                self.complain((*path, key), f"{key}: no such key; allowed: {known}")
        return data

    def scenarios(self, data: Any) -> list[Scenario]:
        head = self.mapping(data, (), _FILE)
        group, listed = head.get("group"), head.get("scenarios")
        if not isinstance(group, str) or not isinstance(listed, list):
            self.complain((), "a file needs group (text) and scenarios (a list)")
            return []
        shared = self.mapping(head["setup"], ("setup",), _SETUP) if "setup" in head else {}
        found = [self.scenario(group, shared, s, ("scenarios", n)) for n, s in enumerate(listed)]
        return [s for s in found if s is not None]

    def scenario(
        self, group: str, shared: Mapping[str, Any], data: Any, path: tuple[str | int, ...]
    ) -> Scenario | None:
        said = self.mapping(data, path, _SCENARIO)
        name = said.get("name")
        if not isinstance(name, str):
            self.complain(path, "a scenario needs a name")
            return None
        own = self.mapping(said["setup"], (*path, "setup"), _SETUP) if "setup" in said else {}
        changes: Mapping[str, Any] = {}
        if "changes" in said:
            changes = self.mapping(said["changes"], (*path, "changes"))
        expected = self.expectations(said.get("expect"), (*path, "expect"))
        setup = {**shared, **own}
        if not isinstance(setup.get("platform"), str):
            self.complain(path, f"{name}: no platform")
            return None
        wanted = Wanted(
            setup["platform"],
            setup.get("axle", "front"),
            (*setup.get("parts", ()), *([setup["wheel"]] if setup.get("wheel") else ())),
            tuple(f"{fact}={_jotted(value)}" for fact, value in changes.items()),
            bool(setup.get("adapter", False)),
            float(setup.get("wheel_spacer_mm", 0)),
        )
        return Scenario(
            group,
            name,
            self.file,
            self.line(path),
            wanted,
            expected,
            str(said.get("defect", "")),
            other=tuple(setup.get("other", ())),
        )

    def expectations(self, data: Any, path: tuple[str | int, ...]) -> tuple[Expected, ...]:
        said = self.mapping(data, path, _EXPECT)
        if "refused" in said and len(said) > 1:
            self.complain(path, "refused stands alone: there is no sheet to expect more of")
        found: list[Expected] = []
        for key, value in said.items():
            here = (*path, key)
            if key in ("stack", "bolt"):
                found.append(Expected(key, key, str(value), self.line(here)))
            elif key in ("words", "no_words", "refused", *STEPS):
                if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
                    self.complain(here, f"{key}: a list of texts is needed")
                    continue
                found += [
                    Expected(key, v, v, self.positions.of_value((*here, n))[0])
                    for n, v in enumerate(value)
                ]
            else:
                for about, one in self.mapping(value, here).items():
                    made = self.expectation(key, about, one, (*here, about))
                    found += [] if made is None else [made]
        return tuple(found)

    def expectation(
        self, key: str, about: str, value: Any, path: tuple[str | int, ...]
    ) -> Expected | None:
        line = self.line(path)
        if key in ("verdicts", "limiting"):
            if about not in SCOPES:
                self.complain(path, f"{about}: scopes are {', '.join(SCOPES)}")
            return Expected(key, about, str(value), line)
        if key == "checks":
            state, _, band = str(value).partition(",")
            if state.strip() not in STATES:
                self.complain(path, f"{about}: {state.strip()}: states are {', '.join(STATES)}")
            return Expected(key, about, (state.strip(), band.strip()), line)
        if key == "numbers":
            number = number_of(value)
            if number is None:
                self.complain(path, f"{about}: {value}: a number, a..b, from a or up to b")
            return Expected(key, about, number, line)
        if key == "settles":
            facts = self.mapping(value, path)
            return Expected(key, about, dict(facts), line)
        if not isinstance(value, list):  # missing
            self.complain(path, f"{about}: a list of facts is needed")
            return None
        return Expected(key, about, tuple(str(v) for v in value), line)


def number_of(value: Any) -> Number | None:
    """A number as a scenario writes it; None where it is none."""
    text = str(value).strip().replace("−", "-")
    found = _NUMBER.fullmatch(text)
    if found is None or isinstance(value, bool):
        return None
    only, first, second = found["only"], found["lo"], found["hi"]
    if only and second:
        return None
    last = max((len(n.partition(".")[2]) for n in (first, second) if n), default=0)
    within = float(found["within"]) if found["within"] else min(FINEST, 0.5 * 10.0**-last)
    lo, hi = float(first), float(second if second is not None else first)
    return Number(None if only == "up to" else lo, None if only == "from" else hi, within, text)


def _jotted(value: Any) -> str:
    """A changed fact's value as --set takes it; a bare figure of a scenario is exact."""
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value} ±0" if isinstance(value, int | float) else str(value)
