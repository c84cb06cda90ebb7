"""One setup asked of both sides: the engine and the oracle, with the same facts set."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from lugplane.answers.sheet import Judged
from lugplane.setup.assemble import Wanted
from lugplane.workshop import Workshop

from .cars import write_cars
from .oracle import Answer, Kb, judge, load
from .read_kb import ROOT

SHIPPED = ROOT / "kb"


@dataclass(frozen=True, slots=True)
class Asked:
    """A setup with every part named; `set_` as (fact, value as `--set` takes it, or `unknown`)."""

    platform: str
    axle: str
    caliper: str
    disc: str
    pad: str
    carrier: str | None = None
    wheel: str | None = None
    set_: tuple[tuple[str, str], ...] = ()
    adapter: bool = False
    wheel_spacer_mm: float = 0.0

    def __str__(self) -> str:
        parts = [self.caliper, self.carrier, self.disc, self.pad, self.wheel]
        words = [self.platform, self.axle, *(p for p in parts if p)]
        words += [f"--set '{path}={value}'" for path, value in self.set_]
        words += ["(adapter)"] if self.adapter else []
        words += [f"(wheel spacer {self.wheel_spacer_mm:g})"] if self.wheel_spacer_mm else []
        return " ".join(words)


@dataclass(frozen=True)
class BothSides:
    """The same folder of facts read by engine and oracle, each with its own reader."""

    workshop: Workshop
    kb: Kb
    whole_car: bool = True

    @classmethod
    def open(cls, folder: Path = SHIPPED) -> BothSides:
        """Raises `BadInput`, `BadFacts`."""
        return cls(Workshop.open(only=folder), load(folder))

    @classmethod
    def with_drawn_cars(cls, folder: Path) -> BothSides:
        """The shipped facts and drawn cars, written into a new folder.

        Raises `BadInput`, `BadFacts`.
        """
        return cls.open(write_cars(folder))

    def engine(self, asked: Asked) -> Judged:
        """The engine's sheet and deduction. Raises `BadInput`, `EngineError`."""
        parts = [asked.caliper, asked.carrier, asked.disc, asked.pad, asked.wheel]
        return self.workshop.judge(
            Wanted(
                asked.platform,
                asked.axle,
                [p for p in parts if p],
                [f"{path}={value}" for path, value in asked.set_],
                asked.adapter,
                asked.wheel_spacer_mm,
            )
        )

    def oracle(self, asked: Asked) -> Answer:
        """The oracle's answer. Raises `KeyError` for unknown parts."""
        return judge_as(self.kb, asked, self.whole_car)

    def mechanical(self) -> BothSides:
        """Both sides without the checks that stand beside the stock car; much faster."""
        book = self.workshop.rulebook
        rules = tuple(r for r in book.rules if Path(r.at.split(":")[0]).name != "car.yaml")
        checks = tuple(c for c in book.checks if c.scope != "car" or c.id == "slip-reserve")
        shop = replace(self.workshop, rulebook=replace(book, rules=rules, checks=checks))
        return BothSides(shop, self.kb, whole_car=False)


def judge_as(kb: Kb, asked: Asked, whole_car: bool = True) -> Answer:
    """The oracle's answer. Raises `KeyError` for unknown parts."""
    return judge(
        kb,
        asked.platform,
        asked.axle,
        asked.caliper,
        asked.disc,
        asked.pad,
        asked.carrier,
        asked.wheel,
        asked.adapter,
        asked.wheel_spacer_mm,
        _overrides(asked.set_),
        whole_car,
    )


def _overrides(texts: Sequence[tuple[str, str]]) -> Mapping[str, Any]:
    """The texts of `--set` as plain data: yes and no, what is unknown, values with their ±."""
    out: dict[str, Any] = {}
    for path, text in texts:
        if text == "unknown":
            out[path] = None
        elif text in ("true", "false"):
            out[path] = text == "true"
        else:
            out[path] = text
    return out
