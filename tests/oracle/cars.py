"""Cars drawn at random: a shipped car whose masses, pedal, valve, circuits and so on are changed.

What is of the whole car is no fact of one axle's setup, so a drawn car is a record of its own: a
copy of the shipped folder with further platforms, and masters of other bores.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import yaml

from .read_kb import ROOT, Part, read

_DOUBT = (0.0, 0.005, 0.01, 0.02, 0.05, 0.1)
_FIGURES: dict[str, tuple[float, float]] = {  # path: least and greatest share of what is stated
    "wheelbase_mm": (0.9, 1.1),
    "cog_height_mm": (0.85, 1.2),
    "kerb_kg": (0.85, 1.05),
    "gross_kg": (0.95, 1.15),
    "kerb_front_share": (0.9, 1.1),
    "gross_front_share": (0.9, 1.1),
    "top_speed_kmh": (0.7, 1.3),
    "pedal.ratio": (0.85, 1.2),
    "pedal.travel_mm": (0.7, 1.1),
    "pedal.booster_gain": (0.7, 1.2),
    "pedal.run_out_n": (0.6, 1.2),
    "cooling_front_wk": (0.5, 1.5),
    "cooling_rear_wk": (0.5, 1.5),
}
_WORDS: dict[str, tuple[str, ...]] = {
    "vehicle_class": ("car", "light-van"),
    "split": ("front-rear", "diagonal"),
    "electronics": ("none", "abs", "stability", "brake-assist"),
    "valve": ("none", "fixed", "load-sensing", "electronic"),
}
CARS = 70  # five of each shipped car
_BORES = (19.05, 20.64, 22.22, 23.81, 25.4, 26.99, 28.57)


def _at(car: dict[str, Any], path: str) -> tuple[dict[str, Any], str]:
    *steps, last = path.split(".")
    for step in steps:
        car = car.setdefault(step, {})
    return car, last


def _middle(value: Any) -> float:
    text = str(value[0] if isinstance(value, list) else value).split("(")[0]
    if ".." in text:
        low, high = text.split("..")
        return (float(low) + float(high)) / 2
    return float(text.replace("+-", "±").split("±")[0])


def _figure(car: dict[str, Any], rnd: random.Random) -> None:
    """A figure anew, a little off or as it was, with a small or a wide doubt."""
    path = rnd.choice(sorted(_FIGURES))
    here, last = _at(car, path)
    if last not in here:
        return
    least, most = _FIGURES[path]
    value = _middle(here[last]) * rnd.choice((1.0, rnd.uniform(least, most)))
    here[last] = f"{value:.4g} ±{value * rnd.choice(_DOUBT):.3g}"


def _word(car: dict[str, Any], rnd: random.Random) -> None:
    path = rnd.choice(sorted(_WORDS))
    car[path] = rnd.choice(_WORDS[path])
    if path == "valve":
        _valve(car, rnd)


def _valve(car: dict[str, Any], rnd: random.Random) -> None:
    """A rear valve with its knees and slope, or with one of them not known."""
    if car.get("valve") in ("none", "electronic"):
        return
    car["valve"] = car.get("valve") or rnd.choice(("fixed", "load-sensing"))
    knee = rnd.uniform(15, 60)
    laden = knee if car["valve"] == "fixed" else knee * rnd.uniform(1.0, 2.0)
    doubt = rnd.choice((0.0, 1.0, 3.0, 8.0))
    facts = {
        "valve_knee_kerb_bar": f"{knee:.3g} ±{doubt:g}",
        "valve_knee_gross_bar": f"{laden:.3g} ±{doubt:g}",
        "valve_slope": f"{rnd.uniform(0.1, 0.6):.2g} ±{rnd.choice((0.0, 0.02, 0.05)):g}",
    }
    car.update(facts)
    if rnd.random() < 0.2:
        del car[rnd.choice(sorted(facts))]


def _another_valve(car: dict[str, Any], rnd: random.Random) -> None:
    car["valve"] = rnd.choice(("none", "fixed", "load-sensing"))
    _valve(car, rnd)


def _master(car: dict[str, Any], rnd: random.Random) -> None:
    car["master"] = f"drawn-master-{rnd.randrange(len(_BORES))}"


def _gap(car: dict[str, Any], rnd: random.Random) -> None:
    """One fact of the car becomes unknown."""
    known = [p for p in (*_FIGURES, *_WORDS, "master", "front.tyre", "rear.tyre") if _has(car, p)]
    here, last = _at(car, rnd.choice(known))
    del here[last]


def _has(car: dict[str, Any], path: str) -> bool:
    here, last = _at(car, path)
    return last in here


_CHANGES: tuple[tuple[int, Callable[[dict[str, Any], random.Random], None]], ...] = (
    (8, _figure),
    (6, _word),
    (5, _another_valve),
    (2, _master),
    (2, _gap),
)


def drawn_car(raw: dict[str, Any], number: int) -> dict[str, Any]:
    """A platform's record under a new name with some of its car's facts changed."""
    rnd = random.Random(f"car {number}")
    car: dict[str, Any] = deepcopy(raw)
    car["id"], car["title"] = f"drawn-{number}", f"Drawn car {number}"
    car["notes"] = raw["id"]  # which shipped car's knuckles and parts it has
    weights, changes = zip(*_CHANGES, strict=True)
    for change in rnd.choices(changes, weights, k=rnd.randint(1, 5)):
        change(car, rnd)
    return car


def _masters() -> Iterator[dict[str, Any]]:
    rnd = random.Random("masters")
    for n, bore in enumerate(_BORES):
        master: dict[str, Any] = {
            "kind": "master",
            "id": f"drawn-master-{n}",
            "title": f"Drawn {bore} mm",
        }
        master["readings"] = {"x": {"basis": "invented", "plus_minus_mm": 0.05}}
        master["unless_said"] = "x"
        master["bore_mm"] = bore
        first = round(rnd.uniform(15, 22), 1)
        if n % 3 != 1:
            master["stroke_mm"] = f"{2 * first:g} ±0.5"
        if n % 3 != 2:
            master |= {"first_stroke_mm": first, "second_stroke_mm": round(first - 1.5, 1)}
        yield master


def is_drawn(platform: Part) -> bool:
    """Whether a platform is one of these."""
    return platform.id.startswith("drawn-")


def write_cars(folder: Path, count: int = CARS) -> Path:
    """A copy of the shipped facts in `folder` with so many drawn cars; the folder."""
    shutil.copytree(ROOT / "kb", folder, dirs_exist_ok=True)
    shipped = sorted((ROOT / "kb" / "platforms").glob("*.yaml"))
    for number in range(count):
        raw = read(shipped[number % len(shipped)])
        _write(folder / "platforms", drawn_car(raw, number))
    for master in _masters():
        _write(folder / "masters", master)
    return folder


def _write(folder: Path, record: dict[str, Any]) -> None:
    text = yaml.safe_dump(record, allow_unicode=True, sort_keys=False)
    (folder / f"{record['id']}.yaml").write_text(text, "utf-8")
