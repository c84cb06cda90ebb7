"""What goes between ear and lug: nothing, matched stock washers, or one machined ring."""

from __future__ import annotations

import math
from itertools import pairwise

from lugplane.measure.bench import (
    Bench,
    Choice,
    DoesNotApply,
    Reckoned,
    Regime,
    Stack,
    StackOption,
    Undecided,
    choice,
    measure,
    plain,
)
from lugplane.measure.mount import lift_parts, thread
from lugplane.quantity.form import Form, Missing, least, magnitude, within

_NAMES = {"bare": "none", "washers": "washers", "ring": "ring"}


@choice
def stack(
    b: Bench,
    *,
    bare_window_mm: float,
    floating_window_mm: float,
    radial_target_mm: float,
    radial_window_mm: float,
    washer_count: float,
    washer_total_mm: float,
    washer_plus_minus_mm: float,
    ring_least_mm: float,
    ring_plus_minus_mm: float,
) -> Choice:
    """Choose the stack for every spacing within its doubt (TRADE §2, stack; DESIGN §4).

    One option that serves the whole interval is exact. Several, or a ring that no one thickness
    makes right, settle at the mock-up: then the setup has two cases, bare and spaced, and the
    error left by a spacer is anywhere within the window.
    """
    radial = b.radial
    found = b.findings["lift" if radial else "spacing"]
    if found.blocked:
        raise Undecided(found.blocked)
    if found.missing:
        raise Missing(*found.missing)
    s = _lift(b, radial_target_mm) if radial else b.place.spacing
    followed = _linked_lift(b, radial_target_mm) if radial else s
    window = radial_window_mm if radial else bare_window_mm
    sigma = 1 if radial else b.place.sigma
    plate = b.findings.get("adapter")
    joining = b.findings.get("joining")
    if joining is not None and joining.choice is not None and joining.choice.state == "either":
        if plate is not None and plate.missing:
            raise Missing(*plate.missing)
        raise Undecided("whether an adapter plate goes between is not known")
    if plate is not None and plate.choice is not None and plate.choice.state == "plate":
        made = within("(adapter plate)", -ring_plus_minus_mm, ring_plus_minus_mm)
        whole = StackOption("plate", 1, None, s.lo, s.hi)
        return Choice("plate", plate.choice.said, Stack(followed + made, made * sigma, (whole,)))
    bare = floating_window_mm if b.place.floating and not radial else window
    if s.hi <= bare:
        # Bare needs no thread to be known; a spacing below the window is told by its own check.
        whole = StackOption("bare", 0, 0.0, s.lo, s.hi)
        return Choice("none", "", Stack(Form(), s * -sigma, (whole,)))
    counted = [
        (n, n * t, n * washer_plus_minus_mm)
        for t in _washers(b)
        for n in range(1, int(washer_count) + 1)
        if n * t <= washer_total_mm
    ]
    options = _options(s.lo, s.hi, bare, window, counted)
    single = options[0] if len(options) == 1 and options[0].kind != "ring" else None
    if single is None:
        single = _one_ring(s, window - ring_plus_minus_mm, ring_least_mm)
        options = options if single is None else (single,)
    if single is not None:
        size = single.thickness or 0.0
        spread = (
            0.0
            if single.kind == "bare"
            else ring_plus_minus_mm
            if single.kind == "ring"
            else single.count * washer_plus_minus_mm
        )
        k = (
            within(f"({_NAMES[single.kind]})", size - spread, size + spread)
            if spread
            else Form(size)
        )
        e = (k - s) * sigma
        return Choice(_NAMES[single.kind], "", Stack(k, e, options))
    regimes = _regimes(s, followed, bare, window, sigma, ring_least_mm)
    main = len(regimes) - 1 if s.nominal > bare else 0
    return Choice("settle", "", Stack(regimes[main].k, regimes[main].e, options, regimes, main))


def _regimes(
    s: Form, followed: Form, bare: float, window: float, sigma: int, ring_least_mm: float
) -> tuple[Regime, ...]:
    """What a mock-up may lead to: bare where the spacing is within its window, else spaced.

    `followed` is the spacing with all that links it to the facts, `s` has the closer bounds.

    Measuring the spacing at the mock-up is what takes these doubts away, so they bear its name.
    """
    found: list[Regime] = []
    if s.lo < bare:
        left = within("spacing_mm", s.lo, min(s.hi, bare))
        found.append(Regime(Form(), left * -sigma))
    if s.hi > bare:
        over = within("spacing_mm", -window, window, 0.0)
        if s.lo >= bare and s.lo - window >= ring_least_mm:
            # Spaced in any case: the stack follows the spacing, and what hangs on both knows it.
            return (Regime(followed + over, over * sigma),)
        thinnest = max(max(s.lo, bare) - window, ring_least_mm)
        thickest = max(s.hi + window, thinnest)
        found.append(Regime(within("(stack)", thinnest, thickest), over))
    return tuple(found)


def _lift(b: Bench, radial_target_mm: float) -> Form:
    """The lift as one form: the outermost part's, or the hull where two may be outermost."""
    parts = lift_parts(b, radial_target_mm)
    if len(parts) == 1:
        return parts[0]
    whole = least(*parts)
    return within("(lift)", whole.lo, whole.hi, whole.nominal)


def _linked_lift(b: Bench, radial_target_mm: float) -> Form:
    """The lift as a form that keeps its links to the facts.

    Where several points may be outermost, the lift of one of them less what another may take off:
    the one of which least can be taken off.
    """
    parts = lift_parts(b, radial_target_mm)
    taken = [max((one - other).hi for other in parts) for one in parts]
    off = min(taken)
    one = parts[taken.index(off)]
    return one - within("(lift: another point)", 0.0, off, 0.0) if off > 0.0 else one


def _one_ring(s: Form, window: float, least_mm: float) -> StackOption | None:
    """One ring, in tenths, that lands in the window for every spacing within its doubt; or None."""
    if s.lo < 0:
        return None
    thickness = max(math.floor((s.lo + s.hi) / 2 * 10 + 0.5 + 1e-9) / 10, least_mm)
    if max(abs(thickness - s.lo), abs(thickness - s.hi)) > window + 1e-9:
        return None
    return StackOption("ring", 1, thickness, s.lo, s.hi)


def _washers(b: Bench) -> list[float]:
    try:
        size = thread(b).nominal_mm
    except DoesNotApply as error:
        raise Undecided(f"what goes between hangs on the bolt: {error}") from error
    sizes = {
        w.thickness_mm.reading.nominal
        for w in b.setup.washers
        if w.bolt_mm.known
        and w.bolt_mm.number == size
        and w.hardness_hv.known
        and w.hardness_hv.number >= 300
        and w.thickness_mm.known
    }
    return sorted(sizes)


def _options(
    lo: float, hi: float, bare: float, window: float, counted: list[tuple[int, float, float]]
) -> tuple[StackOption, ...]:
    """The stacks over `lo..hi`: bare up to its window, washers where they land, rings between."""
    served: list[StackOption] = [StackOption("bare", 0, 0.0, -float("inf"), bare)]
    for n, size, spread in counted:
        if spread < window:
            served.append(
                StackOption("washers", n, size, size - window + spread, size + window - spread)
            )
    marks = sorted({lo, hi, *(m for o in served for m in (o.from_, o.to) if lo < m < hi)})
    if lo == hi:
        marks = [lo, hi]
    options: list[StackOption] = []
    for a, z in pairwise(marks):
        middle = (a + z) / 2
        best = next(
            (o for o in served if o.from_ - 1e-9 <= middle <= o.to + 1e-9),
            StackOption("ring", 1, None, a, z),
        )
        last = options[-1] if options else None
        if last and (last.kind, last.count, last.thickness) == (
            best.kind,
            best.count,
            best.thickness,
        ):
            options[-1] = StackOption(last.kind, last.count, last.thickness, last.from_, z)
        else:
            options.append(StackOption(best.kind, best.count, best.thickness, a, z))
    return tuple(options)


@measure
def stack_length(b: Bench) -> Reckoned:
    """The stack as a share of the bolt's diameter; bare is no long stack, whatever the bolt."""
    if b.stack.k.hi <= 0.0:
        return plain(Form(), "d")
    return plain(b.stack.k / thread(b).nominal_mm, "d")


@measure
def centring(b: Bench) -> Reckoned:
    """`|e|`, what is left of the spacing after the stack (TRADE §2)."""
    return plain(magnitude(b.error))


@measure
def tilt(b: Bench) -> Reckoned:
    """Half the difference of the two ends' gap differences, as measured at the mock-up."""
    return plain(magnitude(b.place.q(b.setup.measured["tilt_mm"])))
