"""All measures and choices, registered by being imported."""

from __future__ import annotations

from importlib import import_module

MODULES = (
    *("mount", "stack", "bolts", "clamp", "pads", "lining", "hub", "side", "hose", "wheel"),
    *("car_balance", "car_pedal", "car_heat"),
)


def every_measure() -> None:
    """Import every module that registers a measure or a choice."""
    for name in MODULES:
        import_module(f"lugplane.measure.{name}")
