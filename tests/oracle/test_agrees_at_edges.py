"""Setups on which engine and oracle have once differed, about the lining and the bolt.

Each stands just beside a limit, or wants a fact without which more can be told than it seems.
"""

from __future__ import annotations

import pytest
from oracle.agree import differences, of_car
from oracle.both_sides import Asked, BothSides

CARRIED = "corm-bracket-92/272"

TRIM = (
    # One circle cuts, just under 15 % and just above.
    Asked(
        "grellow-hatch",
        "rear",
        "hasket-r1/48",
        "comfrey-290",
        "godwit-84",
        "hasket-bracket-rear/302",
    ),
    Asked("tammick-van", "rear", "pewit-f1", "medick-278", "twite-84", "pewit-bracket-130"),
    # Both do.
    Asked("wessock-van", "rear", "tovan-q2/38", "medick-278", "godwit-108/fast"),
    Asked("thimbrel-saloon", "rear", "pewit-f2", "medick-278", "whimbrel-118", "pewit-bracket-150"),
    Asked("skarrel-4x4", "rear", "pewit-f2", "burnet-280", "ousel-118", "pewit-bracket-150"),
    Asked("tammick-van", "front", "tovan-q4/44", "medick-292", "kite-120/street"),
    # One face's band in far wider doubt than the other's.
    Asked(
        "throssel-saloon",
        "rear",
        "corm-p2/40",
        "teasel-318",
        "linnet-80",
        "corm-bracket-104",
        set_=(("disc.band_inner_inboard_mm", "116.7 ±1"),),
    ),
    Asked(
        "wambry-hatch",
        "rear",
        "corm-p2/38",
        "sedge-300/shallow",
        "plover-116/oe",
        "corm-bracket-110",
    ),
    Asked("kessarin-estate", "front", "tovan-q4/44", "sorrel-300", "scaup-126"),
)

REACH = (
    Asked("hobbrin-van", "front", "tovan-q2/42", "comfrey-302", "twite-66"),
    Asked("kessarin-estate", "rear", "corm-p1/41", "tansy-280", "pipit-74", "corm-bracket-92/286"),
    # The lining's centre lies half a degree past the end of its arc.
    Asked("tammick-van", "front", "nettick-q4", "medick-302", "godwit-108-deep"),
    # It may lie on the hub axis and 2 mm off it.
    Asked(
        "wessock-van",
        "rear",
        "corm-p2/40",
        "medick-278",
        "linnet-80",
        "corm-bracket-104",
        set_=(("spacing_mm", "0.29 ±0"), ("carrier.line_to_lining_top_mm", "23.7 ±2")),
    ),
    # A radial plate over a lift in doubt, where more than one point may be outermost.
    Asked(
        "ullathor-saloon",
        "front",
        "askel-r4",
        "betony-332",
        "grebe-124/street",
        set_=(("caliper.lug.spacing_mm", "140 ±0.1"), ("knuckle.seat_radius_mm", "114 ±1")),
        adapter=True,
    ),
)

UNKNOWN = (
    Asked(
        "thimbrel-saloon",
        "front",
        "askel-a4/40",
        "betony-332",
        "godwit-108/fast",
        set_=(("knuckle.bolt.thread", "unknown"), ("knuckle.bolt.head_washer_mm", "0 ±0")),
    ),
    Asked(
        "kessarin-estate",
        "front",
        "tovan-q4/44",
        "sorrel-300",
        "kite-120/street",
        set_=(("disc.diameter_mm", "unknown"),),
    ),
    Asked(
        "kessarin-estate",
        "front",
        "tovan-q4/44",
        "sorrel-300",
        "kite-120/street",
        set_=(("knuckle.ear.hole_1_radius_mm", "unknown"),),
    ),
    # Inside the disc's edge its own bolt would meet the disc, outside it would stay.
    Asked(
        "kessarin-estate",
        "front",
        "tovan-q4/44",
        "sorrel-300",
        "kite-120/street",
        set_=(
            ("disc.diameter_mm", "unknown"),
            ("knuckle.bolt.length_mm", "42.6 ±0.1"),
            ("knuckle.bolt.thread_length_mm", "33 ±0.5"),
        ),
    ),
    Asked(
        "kessarin-estate",
        "rear",
        "corm-p1/38",
        "tansy-280",
        "pipit-74",
        CARRIED,
        set_=(("carrier.lift_mm", "unknown"),),
    ),
    Asked(
        "grellow-hatch",
        "rear",
        "tovan-q6",
        "burnet-280",
        "kite-132",
        set_=(("caliper.lug.thread", "unknown"),),
    ),
    Asked(
        "clunder-4x4",
        "rear",
        "corm-p1/38",
        "comfrey-302",
        "pipit-74",
        CARRIED,
        set_=(("knuckle.ear.hole", "threaded"),),
    ),
)


@pytest.mark.parametrize("asked", [*TRIM, *REACH, *UNKNOWN], ids=str)
def test_both_sides_agree(both: BothSides, asked: Asked) -> None:
    found = differences(both.engine(asked).sheet, both.oracle(asked))
    assert [d for d in found if not of_car(d)] == []
