"""Every fact that can be asked for has a name in plain words."""

from __future__ import annotations

import pytest

from lugplane.facts.decode import fact_paths
from lugplane.facts.kinds import FOLDER_OF
from lugplane.render.names import fact_name, fact_title, unit_of


@pytest.mark.parametrize("kind", sorted(FOLDER_OF))
def test_every_fact_has_a_title(kind: str) -> None:
    for path in fact_paths(kind):
        title = fact_title(path)
        assert title, path
        assert title != path
        assert "_" not in title or path.endswith("lug_face"), path


@pytest.mark.parametrize(
    ("path", "title"),
    [
        ("disc.height_mm", "overall height from the inboard friction face"),
        ("knuckle.ear.spacing_mm", "ears: distance between the two hole centres"),
        ("knuckle.ear.hole_1_radius_mm", "ears: hub axis to the centre of hole 1"),
        ("disc.bolts.circle_mm", "bolts: diameter of the bolt circle"),
        ("platform.front.stock.hose", "front: what the factory fitted: hose"),
        ("knuckle.shield.fitted", "splash shield: whether there is one"),
        ("spacing_mm", "spacing measured at the mock-up"),
    ],
)
def test_titles_are_those_of_the_schemas(path: str, title: str) -> None:
    assert fact_title(path) == title
    assert fact_name(path) == f"{title} ({path})"


@pytest.mark.parametrize("path", ["disc.no_such_mm", "tyre", "nothing.at.all", "wheel"])
def test_a_path_of_no_schema_is_named_as_it_is(path: str) -> None:
    assert fact_name(path) == path


@pytest.mark.parametrize(
    ("path", "unit"),
    [
        ("disc.height_mm", "mm"),
        ("knuckle.bolt.torque_nm", "N·m"),
        ("pad.lining.sector.angle_deg", "°"),
        ("platform.gross_front_share", ""),
        ("knuckle.mount", ""),
    ],
)
def test_units_come_from_the_names(path: str, unit: str) -> None:
    assert unit_of(path) == unit
