"""The records: one immutable class a kind, its fields the facts of the schemas.

Every field is always there; one that the file does not state is *unknown* and says which fact it
is when asked for. Units are in the names. A test holds these classes against `schemas/*.json`.
"""

# Annotations are not put off here: whoever decodes reads the types of the fields.

from lugplane.facts.value import Number, Numbers, Points, Value, Word, Words
from lugplane.frozen import frozen


@frozen
class Record:
    """What every record has: its kind, its id (`family/member` for a member), title and place."""

    kind: str
    id: str
    title: str
    at: str


@frozen
class BoltCircle:
    """Holes of a disc, hub or wheel around the axis."""

    count: Number
    circle_mm: Value


@frozen
class HoleGroup:
    """A pair of mounting holes: the knuckle's ears or the caliper's (or carrier's) lugs."""

    spacing_mm: Value
    thickness_mm: Value
    hole: Word
    hole_diameter_mm: Value
    thread: Word
    depth_mm: Value
    insert: Word
    material: Word
    tensile_mpa: Value
    hole_1_radius_mm: Value
    hole_2_radius_mm: Value


@frozen
class OriginalBolt:
    """The bolt that the factory fitted."""

    thread: Word
    length_mm: Value
    thread_length_mm: Value
    class_: Word
    single_use: Word
    torque_nm: Value
    head_washer_mm: Value
    head_diameter_mm: Value


@frozen
class Hub:
    """The hub that disc and wheel are put on."""

    disc_from: Word
    spigot_mm: Value
    spigot_length_mm: Value
    flange_radius_mm: Value
    bolts: BoltCircle
    fixing: Word
    fixing_thread: Word
    fixing_length_mm: Value


@frozen
class Shoes:
    """Parking-brake shoes inside the hat."""

    fitted: Word
    diameter_mm: Value
    radius_mm: Value


@frozen
class Shield:
    """The splash shield."""

    fitted: Word
    lip_radius_mm: Value
    face_mm: Value


@frozen
class Surroundings:
    """What is known to be free at full lock."""

    clear_radius_mm: Value


@frozen
class Knuckle(Record):
    """A knuckle (upright) with its hub."""

    mount: Word
    side: Word
    behind_axle: Word
    ear_face_mm: Value
    ear: HoleGroup
    seat_radius_mm: Value
    bolt: OriginalBolt
    hub: Hub
    shoes: Shoes
    shield: Shield
    surroundings: Surroundings


@frozen
class DesignedFor:
    """The parts and the place that a caliper was designed for."""

    disc: Word
    pad: Word
    behind_axle: Word


@frozen
class Pistons:
    """The pistons of a caliper and how far they may come out."""

    a_side: Number
    bores_mm: Numbers
    leading_mm: Number
    safe_travel_mm: Value
    limit: Word
    length_mm: Value


@frozen
class Slide:
    """How far a floating body slides from its design position."""

    inboard_mm: Value
    outboard_mm: Value


@frozen
class Outline3:
    """An outline in x, r and y."""

    points_x_r_y: Points


@frozen
class Caliper(Record):
    """A caliper."""

    mount: Word
    body: Word
    hand: Word
    designed_for: DesignedFor
    pad: Word
    lug: HoleGroup
    lug_face: Word
    face_to_centre_mm: Value
    line_to_lining_top_mm: Value
    line_to_bridge_mm: Value
    line_to_piston_mm: Value
    slot_mm: Value
    opening_mm: Value
    abutment_opening_mm: Value
    bridge_form: Word
    bridge_half_width_mm: Value
    line_to_bridge_corner_mm: Value
    pistons: Pistons
    slide: Slide
    bleeders: Word
    hose: Word
    hose_seat: Word
    parking_brake: Word
    wear_sensor: Word
    mass_kg: Value
    outline: Outline3


@frozen
class Carrier(Record):
    """The carrier of a floating caliper."""

    mount: Word
    designed_for: DesignedFor
    calipers: Words
    pad: Word
    lug: HoleGroup
    lug_face: Word
    face_to_centre_mm: Value
    line_to_lining_top_mm: Value
    opening_mm: Value
    abutment_opening_mm: Value
    lift_mm: Value
    mass_kg: Value


@frozen
class Drum:
    """A drum in the hat."""

    fitted: Word
    diameter_mm: Value


@frozen
class Disc(Record):
    """A brake disc."""

    diameter_mm: Value
    thickness_mm: Value
    min_thickness_mm: Value
    height_mm: Value
    height_to: Word
    plate_mm: Value
    band_inner_inboard_mm: Value
    band_inner_outboard_mm: Value
    hat_radius_mm: Value
    hat_inside_radius_mm: Value
    bore_mm: Value
    bolts: BoltCircle
    ring: Word
    vanes: Word
    pieces: Word
    drum: Drum
    ring_mass_kg: Value
    mass_kg: Value
    measured_thickness_mm: Value
    runout_mm: Value
    thickness_variation_mm: Value
    cracked: Word


@frozen
class OutboardPad:
    """The outboard pad where it differs."""

    plate_mm: Value
    lining_mm: Value


@frozen
class Sector:
    """A lining as an annular sector."""

    inner_mm: Number
    outer_mm: Number
    angle_deg: Number


@frozen
class Lining:
    """The lining's outline."""

    sector: Sector
    plus_minus_mm: Number
    points_u_v: Points


@frozen
class FrictionCurve:
    """Friction as measured over temperature: points (°C, ratio)."""

    plus_minus_ratio: Number
    points_c_ratio: Points


@frozen
class Pad(Record):
    """A pad shape, or one compound of it."""

    plate_mm: Value
    shim_mm: Value
    lining_mm: Value
    min_lining_mm: Value
    alike: Word
    outboard: OutboardPad
    lining: Lining
    plate_depth_mm: Value
    trimmable_mm: Value
    compound: Word
    friction_letters: Word
    friction_ratio: Value
    friction_curve: FrictionCurve
    mass_kg: Value


@frozen
class WheelInside:
    """The inside of a wheel, from its seat."""

    barrel_x_r: Points
    spoke_x_r: Points


@frozen
class Wheel(Record):
    """A wheel."""

    rim_in: Value
    width_in: Value
    offset_mm: Value
    bolts: BoltCircle
    bore_mm: Value
    seat_thickness_mm: Value
    centring: Word
    outline: WheelInside
    weights: Word
    tyre: Word
    season: Word


@frozen
class Hose(Record):
    """A brake hose."""

    thread: Word
    seat: Word
    length_mm: Value


@frozen
class Master(Record):
    """A master cylinder."""

    bore_mm: Value
    stroke_mm: Value
    first_stroke_mm: Value
    second_stroke_mm: Value


@frozen
class Bolt(Record):
    """A standard bolt of one thread."""

    standard: Word
    head: Word
    thread: Word
    lengths_mm: Numbers
    classes: Words
    threaded: Word
    head_diameter_mm: Value


@frozen
class Washer(Record):
    """A standard washer."""

    standard: Word
    bolt_mm: Number
    thickness_mm: Value
    hardness_hv: Number
    outside_mm: Value
    inside_mm: Value


@frozen
class Spacer(Record):
    """A ring or a wheel spacer."""

    use: Word
    thickness_mm: Value
    inside_mm: Value
    outside_mm: Value
    material: Word


@frozen
class TrialParts:
    """The parts of a trial."""

    caliper: Word
    carrier: Word
    disc: Word
    pad: Word
    wheel: Word


@frozen
class Gaps:
    """The four gaps of a mock-up."""

    end_1_outboard: Value
    end_1_inboard: Value
    end_2_outboard: Value
    end_2_inboard: Value


@frozen
class Trial(Record):
    """What was put together and measured."""

    platform: Word
    axle: Word
    parts: TrialParts
    stack_mm: Value
    gaps_mm: Gaps
    measured: tuple[Value, ...]
    measured_with: Word
    date: Word
    outcome: Word
    notes: Word


@frozen
class Offer(Record):
    """A price seen."""

    part: Word
    price: Value
    currency: Word
    per: Word
    condition: Word
    date: Word
    source: Word


@frozen
class Source(Record):
    """Where readings come from."""

    sort: Word
    date: Word
    locator: Word


@frozen
class Moved(Record):
    """An id that is no longer used."""

    to: Word
    date: Word


@frozen
class StockParts:
    """What the factory fitted on an axle."""

    caliper: Word
    carrier: Word
    disc: Word
    pad: Word
    hose: Word
    wheel: Word


@frozen
class Axle:
    """One axle of a platform."""

    knuckle: Word
    parking_brake: Word
    stock: StockParts
    wheels: Words
    tyre: Word


@frozen
class Pedal:
    """Pedal and booster."""

    ratio: Value
    travel_mm: Value
    booster_gain: Value
    run_out_n: Value


@frozen
class Platform(Record):
    """A car's platform."""

    maker: Word
    body: Word
    vehicle_class: Word
    front: Axle
    rear: Axle
    wheelbase_mm: Value
    cog_height_mm: Value
    kerb_kg: Value
    gross_kg: Value
    kerb_front_share: Value
    gross_front_share: Value
    top_speed_kmh: Value
    pedal: Pedal
    master: Word
    split: Word
    electronics: Word
    valve: Word
    valve_knee_kerb_bar: Value
    valve_knee_gross_bar: Value
    valve_slope: Value
    cooling_front_wk: Value
    cooling_rear_wk: Value


RECORDS: dict[str, type[Record]] = {
    "bolt": Bolt,
    "caliper": Caliper,
    "carrier": Carrier,
    "disc": Disc,
    "hose": Hose,
    "knuckle": Knuckle,
    "master": Master,
    "moved": Moved,
    "offer": Offer,
    "pad": Pad,
    "platform": Platform,
    "source": Source,
    "spacer": Spacer,
    "trial": Trial,
    "washer": Washer,
    "wheel": Wheel,
}
