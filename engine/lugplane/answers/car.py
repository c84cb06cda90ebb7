"""A car with both its axles: what it becomes beside what the factory built."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from lugplane.answers.both import alike
from lugplane.answers.car_curves import adhesion_curves, own_curves, type_one_curves
from lugplane.answers.car_facts import whose
from lugplane.answers.car_figures import CarFigure, car_figures
from lugplane.answers.curves import AdhesionCurves, HeatCurves
from lugplane.answers.hotter import hotter_disc
from lugplane.answers.rows import (
    BOLTS_ON,
    DOES_NOT_FIT,
    FITS_WITH_WORK,
    NOT_ASKED,
    BandLine,
    Row,
    Settles,
    Span,
)
from lugplane.answers.sheet import Judged, Part, Sheet, judge_setup
from lugplane.answers.stops import StopList
from lugplane.deduce.choose import matcher
from lugplane.deduce.rulebook import Rulebook
from lugplane.errors import BadInput
from lugplane.measure.bench import Bench
from lugplane.measure.whole_car import brakes_of
from lugplane.quantity.form import Missing
from lugplane.quantity.judge import CANNOT_TELL
from lugplane.setup.car import AXLES, Car, CarWanted, assemble_car, car_of, stock_of

if TYPE_CHECKING:
    from lugplane.workshop import Workshop

VERSION = 1
_WORST_FIRST = (DOES_NOT_FIT, CANNOT_TELL, FITS_WITH_WORK, BOLTS_ON)


@dataclass(frozen=True, slots=True)
class Standing:
    """How a check stands: state and band as in a `Row`, with its value or why there is none."""

    state: str
    band: str
    value: Span | None
    because: str = ""
    missing: tuple[str, ...] = ()
    settles: tuple[Settles, ...] = ()


@dataclass(frozen=True, slots=True)
class CarCheck:
    """A check of the whole car, stock beside proposed; `axle` empty: of both axles together.

    `stock` is None where the stock car is not known. `disc` is the axle whose disc a check of heat
    is about (see `answers.hotter`).
    """

    check: str
    title: str
    axle: str
    unit: str
    limit: str
    limit_source: str
    bands: tuple[BandLine, ...]
    stock: Standing | None
    proposed: Standing
    disc: str = ""


@dataclass(frozen=True, slots=True)
class AxleVerdict:
    """The verdict of a scope of one axle's sheet: brake, wheel or car."""

    axle: str
    scope: str
    stock: str
    proposed: str
    limiting: str


@dataclass(frozen=True, slots=True)
class Conditions:
    """What the adhesion is held against: the regulation's slopes by name, and its stretches."""

    slopes: Mapping[str, float]
    adhesion_from: float
    adhesion_to: float
    z_from: float
    z_to: float


@dataclass(frozen=True, slots=True)
class CarAnswer:
    """The whole answer. Facts are named by whose they are: `front:pad.friction_ratio`,
    `stock-rear:disc.ring_mass_kg`; platform and master cylinder are both cars'. `valve` is empty
    where it is not known; with `electronic` adhesion and first lock are those of bare lines.
    """

    version: int
    platform: str
    platform_title: str
    front: tuple[Part, ...]
    rear: tuple[Part, ...]
    valve: str
    verdict: str
    verdicts: tuple[AxleVerdict, ...]
    figures: tuple[CarFigure, ...]
    checks: tuple[CarCheck, ...]
    conditions: Conditions
    stop_kmh: float
    air_c: float
    adhesion: tuple[AdhesionCurves, ...]
    heat: tuple[HeatCurves, ...]

    def check(self, name: str) -> CarCheck:
        """The first check of a name. Raises `KeyError`."""
        for one in self.checks:
            if one.check == name:
                return one
        raise KeyError(name)

    @property
    def changed(self) -> tuple[Part, ...]:
        """The parts that the factory did not fit."""
        return tuple(p for p in (*self.front, *self.rear) if not p.stock)


def compare_cars(workshop: Workshop, wanted: CarWanted, stops: StopList | None = None) -> CarAnswer:
    """Judge both axles as proposed and as stock, and set them side by side.

    Raises `BadInput` as `assemble_car` and for facts that contradict each other, `EngineError`
    where a rule fails.
    """
    car = assemble_car(workshop.base, wanted)
    new = _judged(car, workshop.rulebook)
    stock = _stock(car, workshop.rulebook)
    bench = new["front"].deduction.bench
    try:
        brakes_of(bench)
    except ValueError as error:
        raise BadInput(f"these facts contradict each other: {error}") from error
    sheets = {axle: j.sheet for axle, j in new.items()}
    heat = [type_one_curves(bench)]
    if stops is not None:
        heat.append(own_curves(bench, stops.title, stops.stops))
    platform = car.front.platform
    verdicts = tuple(_verdicts(sheets, stock))
    return CarAnswer(
        VERSION,
        platform.id,
        platform.title,
        sheets["front"].parts,
        sheets["rear"].parts,
        platform.valve.text or "",
        _worst(v.proposed for v in verdicts),
        verdicts,
        car_figures(bench, sheets, stock, heat),
        tuple(_checks(sheets, stock)),
        _conditions(bench),
        bench.constants["stop_kmh"],
        bench.constants["air_c"],
        adhesion_curves(bench),
        tuple(heat),
    )


def _judged(car: Car, rulebook: Rulebook) -> dict[str, Judged]:
    match = matcher()
    return {axle: judge_setup(car.setup(axle), rulebook, match) for axle in AXLES}


def _stock(car: Car, rulebook: Rulebook) -> dict[str, Sheet]:
    """The sheets of the car as the factory built it; none where that is not known."""
    try:
        built = car_of(stock_of(car.front), stock_of(car.rear))
    except Missing:
        return {}
    return {axle: j.sheet for axle, j in _judged(built, rulebook).items()}


def _conditions(b: Bench) -> Conditions:
    c = b.constants
    slopes = {"UN R13": c["adhesion_slope_r13"], "UN R13-H": c["adhesion_slope_r13h"]}
    return Conditions(slopes, c["adhesion_low"], c["adhesion_high"], c["z_low"], c["z_high"])


# --- verdicts and checks --------------------------------------------------------------------------


def _verdicts(sheets: Mapping[str, Sheet], stock: Mapping[str, Sheet]) -> Iterable[AxleVerdict]:
    for axle, sheet in sheets.items():
        for scope in sheet.scopes:
            before = stock[axle].verdict_of(scope.name) if axle in stock else CANNOT_TELL
            yield AxleVerdict(axle, scope.name, before, scope.verdict, scope.limiting)


def _worst(verdicts: Iterable[str]) -> str:
    asked = set(verdicts) - {NOT_ASKED}
    return next(v for v in _WORST_FIRST if v in asked)


def _checks(sheets: Mapping[str, Sheet], stock: Mapping[str, Sheet]) -> Iterable[CarCheck]:
    """The checks of the car: once where both axles' sheets say the same, else once an axle."""
    for row in sheets["front"].rows:
        if row.scope != "car":
            continue
        behind = sheets["rear"].row(row.check)
        if alike(row, behind):
            yield _check(row, "", "front", stock)
        else:
            yield _check(row, "front", "front", stock)
            yield _check(behind, "rear", "rear", stock)


def _check(row: Row, named: str, axle: str, stock: Mapping[str, Sheet]) -> CarCheck:
    before = stock[axle].row(row.check) if axle in stock else None
    return CarCheck(
        row.check,
        row.title,
        named,
        row.unit,
        row.limit,
        row.limit_source,
        row.bands,
        standing(before, axle) if before is not None else None,
        standing(row, axle),
        hotter_disc(row),
    )


def standing(row: Row, axle: str) -> Standing:
    """A row of an axle's sheet, its facts named by whose they are."""
    return Standing(
        row.state,
        row.band,
        row.value,
        row.because,
        tuple(dict.fromkeys(whose(m, axle) for m in row.missing)),
        tuple(replace(s, fact=whose(s.fact, axle)) for s in row.settles),
    )
