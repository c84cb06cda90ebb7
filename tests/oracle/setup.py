"""One setup's parts, and the book in which each check's state and bounds are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from .bands import judge_span
from .boxes import Aff, Span, span, span_abs, total
from .read_kb import EMPTY, ROOT, Kb, Part, read

CHECKS: dict[str, str] = {  # id -> scope
    row["id"]: row["scope"] for row in read(ROOT / "rules" / "checks.yaml")["checks"]
}


@dataclass
class Answer:
    """States of all checks, verdict a scope, and the numbers behind them (mm, shares, N)."""

    states: dict[str, str]
    verdict: dict[str, str]
    spacing: Span | None = None
    stack: list[tuple[str, float]] = field(default_factory=list)
    stack_range: Span | None = None
    bolt: str | list[str] | None = None
    trim_share: Span | None = None
    area_left: Span | None = None
    r_eff: Span | None = None
    have: dict[str, Span] = field(default_factory=dict)


class Setup:
    """One setup on its way through the checks."""

    def __init__(
        self,
        kb: Kb,
        parts: Mapping[str, Part],
        axle: str,
        adapter: bool,
        wheel_spacer: float,
        bench: Mapping[str, Aff | None],
    ) -> None:
        self.kb, self.axle, self.adapter, self.wheel_spacer = kb, axle, adapter, wheel_spacer
        self.bench = bench
        self.platform, self.knuckle = parts["platform"], parts["knuckle"]
        self.caliper, self.disc, self.pad = parts["caliper"], parts["disc"], parts["pad"]
        self.hose, self.wheel = parts["hose"], parts.get("wheel")
        self.carrier = parts.get("carrier", EMPTY)
        self.body = self.caliper.get("body")
        # Lug, face, lining top, openings, pad and mount: the carrier's where the body floats.
        # Where a carrier is named it is what is bolted on, even if nobody says that it floats.
        self.seat = {"fixed": self.caliper, "floating": self.carrier}.get(self.body, self.carrier)
        self.states: dict[str, str] = {}
        self.have: dict[str, Span] = {}
        self.answer = Answer(self.states, {}, have=self.have)

    def put(self, check: str, values: Span | None, limit: str) -> None:
        self.states[check] = judge_span(values, limit)
        if values is not None and values[0] == values[0]:
            self.have[check] = values

    def put_form(self, check: str, form: Aff | None, limit: str) -> None:
        self.put(check, None if form is None else span(form), limit)

    def put_abs(self, check: str, form: Aff | None, limit: str) -> None:
        self.put(check, None if form is None else span_abs(form), limit)

    def word(self, check: str, state: str) -> None:
        self.states[check] = state

    def lifted(self, path: str) -> Aff | None:
        """A radius of the caliper, held further out by a larger carrier."""
        if self.body == "floating":
            return total((1, self.caliper.num(path)), (1, self.carrier.num("lift_mm")))
        return self.caliper.num(path) if self.body == "fixed" else None

    @staticmethod
    def count(part: Part, path: str) -> Aff | None:
        value = part.get(path)
        return None if value is None else Aff(float(value))
