"""Setups on which engine and oracle have once differed: lining, bolt, wheel and the whole car.

Each stands just beside a limit, or wants a fact without which more can be told than it seems, or
shares a doubt with what it is set beside.
"""

from __future__ import annotations

import pytest
from oracle.agree import differences
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
    # A guided length nobody knows is longer than the safe travel, which is too short here.
    Asked(
        "tammick-van",
        "front",
        "tovan-q4/41",
        "tansy-280",
        "kite-120/track",
        wheel="hobbrin-16-steel",
        set_=(("caliper.pistons.length_mm", "unknown"),),
        wheel_spacer_mm=10.0,
    ),
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


# Cut at both edges; the same bolt line, pad or holder as stock; next to nothing left.
RADIUS = (
    Asked(
        "wessock-van",
        "rear",
        "hasket-s1/48",
        "medick-278",
        "siskin-92",
        "hasket-bracket-120/256-light",
        "wessock-16-steel",
        (("disc.diameter_mm", "243.001 ±0.2"), ("knuckle.hub.bolts.circle_mm", "112.2 ±0.05")),
    ),
    Asked(
        "wessock-van",
        "front",
        "tovan-q4/44",
        "tansy-300",
        "kite-120/street",
        wheel="clunder-17-cast",
    ),
    Asked(
        "tammick-van",
        "front",
        "hasket-f1/57",
        "tansy-280",
        "plover-116/oe",
        "pewit-bracket-130",
        "tammick-15-steel",
        (("caliper.slot_mm", "64.02 ±0.01"),),
        wheel_spacer_mm=10,
    ),
    Asked("hobbrin-van", "front", "hasket-f1/54", "vetch-228", "linnet-76", "hasket-bracket-142"),
    Asked(
        "wessock-van",
        "front",
        "askel-d2",
        "medick-288",
        "ousel-118",
        wheel="wambry-16-cast",
        set_=(("pad.lining_mm", "unknown"), ("disc.bolts.circle_mm", "112 ±0.2")),
    ),
)

PLACED = (
    # A ring that may be as thin as a ring can be: still as thick as the spacing and its error.
    Asked(
        "jarrick-hatch",
        "front",
        "hasket-s1/48",
        "vetch-228",
        "siskin-92",
        "hasket-bracket-120/240",
        "wambry-16-cast",
        (
            ("carrier.line_to_lining_top_mm", "12.0397 ±0.05"),
            ("knuckle.ear_face_mm", "-79.1 ±0.2"),
        ),
    ),
    Asked(
        "dorrimet-estate",
        "front",
        "nettick-f1",
        "medick-302",
        "ousel-110",
        "nettick-bracket-136",
        "dorrimet-16-cast",
        (("knuckle.hub.disc_from", "behind"), ("pad.shim_mm", "1 ±0.2")),
    ),
    # A point that may stand before the spoke or in it.
    Asked(
        "dorrimet-estate",
        "rear",
        "pewit-f2",
        "burnet-288d",
        "whimbrel-128",
        "pewit-bracket-150",
        "throssel-18-cast",
    ),
)

NOT_SAID = (
    Asked(
        "clunder-4x4",
        "rear",
        "corm-p1/38",
        "comfrey-302",
        "pipit-74",
        CARRIED,
        "clunder-17-cast",
        (("knuckle.shield.face_mm", "unknown"), ("caliper.body", "unknown")),
        adapter=True,
    ),
    Asked(
        "kessarin-estate",
        "rear",
        "corm-p1/38",
        "tansy-280",
        "pipit-74",
        CARRIED,
        set_=(("caliper.body", "unknown"),),
    ),
    Asked(
        "tammick-van",
        "rear",
        "tovan-q2/42",
        "medick-278",
        "twite-66",
        wheel="tammick-15-steel",
        set_=(("knuckle.mount", "unknown"),),
        adapter=True,
    ),
)

# Little is in doubt but the place along the bolt line, and the lining lies evenly about it.
OFFSET = (
    Asked(
        "thimbrel-saloon",
        "rear",
        "corm-p2/38",
        "teasel-318",
        "linnet-80",
        "corm-bracket-110",
        "thimbrel-15-cast",
        (("disc.height_mm", "61.52 ±0.05"),),
    ),
    Asked(
        "skarrel-4x4",
        "front",
        "tovan-q4/48",
        "sorrel-300-used/b22",
        "kite-120/street",
        wheel="skarrel-17-cast",
        set_=(("caliper.line_to_bridge_mm", "26.2407 ±0.3"),),
    ),
)

# What the outline's ± adds to the lining cut off it adds to what stays as well. Each point of a
# polygon has a ± of its own.
POINTS = (
    Asked("hobbrin-van", "rear", "nettick-q4", "comfrey-302", "scaup-126"),
    Asked(
        "jarrick-hatch",
        "rear",
        "hasket-s1/48",
        "vetch-240",
        "scaup-126",
        "hasket-bracket-120/256",
    ),
    Asked("kessarin-estate", "front", "tovan-q2/36", "comfrey-290", "scaup-126"),
    Asked(
        "skarrel-4x4",
        "front",
        "tovan-q4/44-inch",
        "comfrey-302",
        "kite-120/street",
        wheel="hobbrin-16-steel",
    ),
)

# Carrier and ear both plain, 10.5 and 12.5 mm: no bolt passes from 23 mm of difference on.
PLAIN = tuple(
    Asked(
        "kessarin-estate",
        "front",
        "corm-p1/36",
        "tansy-280",
        "pipit-70",
        "corm-bracket-86",
        set_=set_,
        adapter=adapter,
    )
    for set_ in (
        (),
        (("carrier.lug.spacing_mm", "118.5 ±0.05"),),
        (("carrier.lug.spacing_mm", "119 ±0.05"),),
        (("carrier.lug.spacing_mm", "119.5 ±0.05"),),
        (("carrier.lug.spacing_mm", "165.5 ±0.05"),),
        (("carrier.lug.hole_diameter_mm", "unknown"),),
        (("knuckle.ear.spacing_mm", "unknown"), ("carrier.face_to_centre_mm", "60 ±0.1")),
    )
    for adapter in (False, True)
)

DRAWN = (
    # The head may be no wider than the hole.
    Asked(
        "drawn-23",
        "rear",
        "corm-p2/40",
        "burnet-280",
        "linnet-80",
        "corm-bracket-104",
        "thimbrel-15-cast",
        (("knuckle.ear.hole_diameter_mm", "14.5 ±0.2"),),
    ),
    Asked(
        "drawn-22",
        "rear",
        "corm-p1/38",
        "tansy-272",
        "godwit-108-deep",
        "corm-bracket-92/272",
        "skarrel-17-cast",
    ),
    # Another caliper over the carrier that holds the pad: the lining stays where it is.
    Asked(
        "drawn-33",
        "front",
        "hasket-s1/51",
        "vetch-240",
        "siskin-92",
        "hasket-bracket-120/240",
        "ullathor-17-cast",
        (("carrier.line_to_lining_top_mm", "17.8 ±0.05"),),
    ),
    # A lift in wide doubt: the least of the lining is cut off in the middle of it.
    Asked(
        "drawn-2",
        "front",
        "nettick-f2",
        "medick-266",
        "ousel-124",
        "nettick-bracket-136v",
        "grellow-15-cast",
        (("carrier.line_to_lining_top_mm", "24.5 ±4"),),
    ),
    # The shorter life of two axles is longest where both wear alike, between the ends.
    Asked(
        "drawn-25",
        "rear",
        "askel-a4/38",
        "betony-300",
        "godwit-108/fast",
        wheel="hobbrin-16-steel",
        set_=(("disc.ring", "vented"),),
    ),
    # A solid ring is weighed by its size.
    Asked(
        "drawn-66",
        "rear",
        "tovan-q2/36",
        "tansy-272",
        "twite-66",
        wheel="tammick-16-cast",
        set_=(("disc.ring_mass_kg", "unknown"),),
    ),
    # The outboard pad is stated, and nobody says that it is another.
    Asked(
        "drawn-42",
        "front",
        "pewit-f2",
        "comfrey-330",
        "whimbrel-128",
        "pewit-bracket-150",
        "clunder-17-cast",
        (("pad.alike", "unknown"),),
    ),
)


@pytest.mark.parametrize("asked", DRAWN, ids=str)
def test_both_sides_agree_on_drawn_cars(with_cars: BothSides, asked: Asked) -> None:
    found = differences(with_cars.engine(asked).sheet, with_cars.oracle(asked))
    assert not found, "\n".join(map(str, found))


SHIPPED = (*TRIM, *REACH, *UNKNOWN, *RADIUS, *PLACED, *NOT_SAID, *OFFSET, *POINTS, *PLAIN)


@pytest.mark.parametrize("asked", SHIPPED, ids=str)
def test_both_sides_agree(both: BothSides, asked: Asked) -> None:
    found = differences(both.engine(asked).sheet, both.oracle(asked))
    assert not found, "\n".join(map(str, found))
