"""Reading designations, telling threads apart, basic sizes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lugplane.measure.threads import (
    COARSE_PITCH_MM,
    DesignationError,
    Form,
    Thread,
    lookalike,
    metric_thread,
    minor_diameter_mm,
    parse_thread,
    pitch_diameter_mm,
    root_diameter_mm,
    same_thread,
    stress_area_mm2,
    stress_diameter_mm,
)

RELAXED = settings(deadline=None, max_examples=100)
NOMINALS = st.sampled_from(sorted(COARSE_PITCH_MM))
PITCHES = st.sampled_from([0.5, 0.75, 0.8, 1.0, 1.25, 1.5, 1.75, 2.0, 2.5])


@st.composite
def threads(draw: st.DrawFn) -> Thread:
    if draw(st.booleans()):
        nominal = draw(NOMINALS)
        pitch = draw(PITCHES.filter(lambda p: p <= COARSE_PITCH_MM[nominal]))
        return metric_thread(nominal, pitch, left_hand=draw(st.booleans()))
    size = draw(st.sampled_from(["#10", "1/4", "5/16", "3/8", "7/16", "1/2"]))
    per_inch = draw(st.integers(10, 40))
    hand = draw(st.sampled_from(["", "-LH"]))
    return parse_thread(f"{size}-{per_inch}{hand}")


@pytest.mark.parametrize(
    ("text", "nominal_mm", "pitch_mm"),
    [
        ("M12x1.5", 12.0, 1.5),
        ("M12", 12.0, 1.75),
        ("M5", 5.0, 0.8),
        ("M20", 20.0, 2.5),
        ("M12×1.25", 12.0, 1.25),
        ("M12X1,25", 12.0, 1.25),
        ("  M10 x 1 ", 10.0, 1.0),
        ("M22x1.5", 22.0, 1.5),
        ("M12x1.50", 12.0, 1.5),
    ],
)
def test_metric_designations(text: str, nominal_mm: float, pitch_mm: float) -> None:
    assert parse_thread(text) == Thread(Form.METRIC, nominal_mm, pitch_mm)


@pytest.mark.parametrize(
    ("text", "nominal_mm", "per_inch"),
    [
        ("3/8-24 UNF", 9.525, 24),
        ("3/8 - 24 UNF", 9.525, 24),
        ("3/8-24", 9.525, 24),
        ("6/16-24", 9.525, 24),
        ("1/2-20 UNF", 12.7, 20),
        ("1/2-28 UNEF", 12.7, 28),
        ("#10-32 UNF", 4.826, 32),
    ],
)
def test_unified_designations(text: str, nominal_mm: float, per_inch: int) -> None:
    thread = parse_thread(text)
    assert thread.form is Form.UNIFIED
    assert thread.nominal_mm == pytest.approx(nominal_mm, abs=1e-9)
    assert thread.pitch_mm == pytest.approx(25.4 / per_inch, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "12x1.5",
        "M",
        "M0x1",
        "M12x",
        "M12x0",
        "M12x-1.5",
        "M12x15",  # a lost point
        "M12x1.3",  # no pitch of ISO 261
        "M12x2",  # coarser than the coarse pitch
        "M22",  # no coarse pitch listed
        "M13",
        "M3x1.5",  # deeper than the rod
        "M12x1.5-6g",  # a tolerance class must not be dropped unseen
        "M12x1.5x40",
        "M٣x1",
        "M" + "9" * 400 + "x1",
        "3/0-24",
        "0/8-24",
        "3/8-0",
        "3/8-16 UNF",  # 16 a inch is the coarse series
        "3/8-24 UNJF",
        "G1/8",
        "1/8 NPT",
    ],
)
def test_refused_designations(text: str) -> None:
    with pytest.raises(DesignationError):
        parse_thread(text)


@pytest.mark.parametrize("nominal", [float("nan"), float("inf"), 0.0, -12.0])
def test_refused_diameters(nominal: float) -> None:
    with pytest.raises(DesignationError):
        metric_thread(nominal, 1.5)


def test_a_nan_pitch_is_refused() -> None:
    with pytest.raises(DesignationError):
        metric_thread(12.0, float("nan"))


@RELAXED
@given(threads())
def test_designation_round_trip(thread: Thread) -> None:
    again = parse_thread(str(thread))
    assert again == thread
    assert str(again) == str(thread)


@RELAXED
@given(threads(), threads())
def test_same_and_lookalike_are_symmetric_and_exclude_each_other(a: Thread, b: Thread) -> None:
    assert same_thread(a, b) == same_thread(b, a)
    assert lookalike(a, b) == lookalike(b, a)
    assert not (same_thread(a, b) and lookalike(a, b))
    assert same_thread(a, a)


def test_a_bare_designation_is_its_coarse_thread() -> None:
    assert same_thread(parse_thread("M12"), parse_thread("M12x1.75"))
    assert not same_thread(parse_thread("M12"), parse_thread("M12x1.5"))


# ISO 898-1, table of stress areas of coarse threads, mm²; all but M10 to M14 from memory.
@pytest.mark.parametrize(
    ("designation", "expected"),
    [
        ("M5", 14.2),
        ("M6", 20.1),
        ("M7", 28.9),
        ("M8", 36.6),
        ("M10", 58.0),
        ("M12", 84.3),
        ("M14", 115.0),
        ("M16", 157.0),
        ("M18", 192.0),
        ("M20", 245.0),
    ],
)
def test_coarse_pitches_give_the_tabled_areas(designation: str, expected: float) -> None:
    thread = parse_thread(designation)
    area = stress_area_mm2(thread.nominal_mm, thread.pitch_mm)
    assert area == pytest.approx(expected, rel=0.005)


def test_coarse_pitches_outside_iso_898() -> None:
    assert parse_thread("M9").pitch_mm == 1.25
    assert parse_thread("M11").pitch_mm == 1.5


# ISO 261, from memory: each of its pitches on a thread that has it.
@pytest.mark.parametrize(
    "text",
    [
        "M1x0.2",
        "M1x0.25",
        "M1.4x0.3",
        "M1.6x0.35",
        "M2x0.4",
        "M2.5x0.45",
        "M3x0.5",
        "M3.5x0.6",
        "M4x0.7",
        "M24x3",
        "M30x3.5",
        "M36x4",
        "M42x4.5",
        "M48x5",
        "M56x5.5",
        "M64x6",
        "M100x6",
    ],
)
def test_pitches_of_iso_261(text: str) -> None:
    assert str(parse_thread(text)) == text


# ASME B1.1, coarse and fine threads per inch, from memory.
@pytest.mark.parametrize(
    ("size", "coarse", "fine"),
    [
        ("1/4", 20, 28),
        ("5/16", 18, 24),
        ("3/8", 16, 24),
        ("7/16", 14, 20),
        ("1/2", 13, 20),
        ("9/16", 12, 18),
        ("5/8", 11, 18),
        ("3/4", 10, 16),
    ],
)
def test_series_letters_must_agree_with_the_threads(size: str, coarse: int, fine: int) -> None:
    assert parse_thread(f"{size}-{coarse} UNC").pitch_mm == 25.4 / coarse
    assert parse_thread(f"{size}-{fine} UNF").pitch_mm == 25.4 / fine
    for wrong in (f"{size}-{fine} UNC", f"{size}-{coarse} UNF"):
        with pytest.raises(DesignationError, match="threads per inch"):
            parse_thread(wrong)


def test_series_letters_do_not_make_another_thread() -> None:
    assert same_thread(parse_thread("3/8-24 UNF"), parse_thread("3/8-24"))


def test_left_hand_is_another_thread_that_looks_alike() -> None:
    right, left = parse_thread("M10x1"), parse_thread("M10x1-LH")
    assert not same_thread(right, left)
    assert lookalike(right, left)


def test_families_never_mate_even_at_equal_sizes() -> None:
    metric = Thread(Form.METRIC, 12.7, 1.27)
    assert not same_thread(metric, Thread(Form.UNIFIED, 12.7, 1.27))


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        ("M12x1.5", "M12x1.25", True),
        ("M12x1.25", "1/2-20 UNF", True),
        ("M10x1", "M10x1.25", True),
        ("M12x1.25", "M12x1.75", True),
        ("M10x1", "M12x1", False),
        ("M10x1", "M11x1", False),
        ("M20x1", "M20x2.5", False),
        ("M12x1.5", "M12x1.5", False),
    ],
)
def test_lookalikes(a: str, b: str, expected: bool) -> None:
    assert lookalike(parse_thread(a), parse_thread(b)) is expected


def test_lookalike_distances_are_the_callers() -> None:
    a, b = parse_thread("M10x1"), parse_thread("3/8-24")
    assert not lookalike(a, b, diameter_within_mm=0.4)
    assert not lookalike(a, b, pitch_within_mm=0.05)
    assert lookalike(parse_thread("M10x1"), parse_thread("M11x1"), diameter_within_mm=1.0)


# The rounded constants of ISO 724 and ISO 898-1: 0.64952, 1.08253, 1.22687.
@RELAXED
@given(NOMINALS, st.sampled_from([0.5, 0.75, 0.8]))
def test_profile_constants(d: float, pitch: float) -> None:
    assert pitch_diameter_mm(d, pitch) == pytest.approx(d - 0.64952 * pitch, abs=1e-5)
    assert minor_diameter_mm(d, pitch) == pytest.approx(d - 1.08253 * pitch, abs=1e-5)
    assert root_diameter_mm(d, pitch) == pytest.approx(d - 1.22687 * pitch, abs=1e-5)


@RELAXED
@given(st.floats(5.0, 20.0), st.floats(0.5, 2.5), st.floats(0.01, 1.0))
def test_diameters_are_ordered_and_the_area_grows(d: float, pitch: float, more: float) -> None:
    d2, d3 = pitch_diameter_mm(d, pitch), root_diameter_mm(d, pitch)
    assert d > d2 > stress_diameter_mm(d, pitch) > minor_diameter_mm(d, pitch) > d3
    assert stress_area_mm2(d + more, pitch) > stress_area_mm2(d, pitch)
    assert stress_area_mm2(d, pitch + more) < stress_area_mm2(d, pitch)


@pytest.mark.parametrize(
    ("d", "pitch"), [(0.0, 1.0), (-5.0, 1.0), (10.0, 0.0), (10.0, float("nan")), (1.0, 2.0)]
)
def test_sizes_without_a_core_are_refused(d: float, pitch: float) -> None:
    with pytest.raises(ValueError, match=r"must be|leaves no core"):
        stress_area_mm2(d, pitch)
