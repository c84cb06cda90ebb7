"""What was made ready, as a few lines and as JSON."""

from __future__ import annotations

from lugplane.answers.ready import CHANGED, INTERRUPTED, LEFT, MADE, UNKNOWN, WAS, Ready
from lugplane.render.plain_json import dumped, plain

MOST = 10
"""So many axles are named at the most; JSON has all."""
_LATER = "what was done is kept, and `lugplane facts ready` goes on from there"


def ready_text(found: Ready) -> str:
    """What became of the lists; the last line counts."""
    lines = []
    unknown = _named(found, UNKNOWN)
    if unknown:
        lines.append(f"Nothing can be asked where no knuckle is known: {unknown}.")
    are, axles = found.count(MADE, WAS), len(found.axles) - found.count(UNKNOWN)
    of = f" of {axles:,}" if are < axles else ""
    lines.append(
        f"{are:,}{of} {'axle is' if axles == 1 else 'axles are'} ready: "
        f"{found.count(MADE):,} made ready now, {found.count(WAS):,} before; "
        f"{found.judged:,} verdicts judged anew, {found.kept:,} kept"
    )
    return "\n".join(lines)


def cut_short_text(found: Ready) -> str:
    """Why lists were left, in one line; empty where none was."""
    if not found.cut_short:
        return ""
    if found.cut_short == INTERRUPTED:
        return f"interrupted: {_LATER}"
    if found.cut_short == CHANGED:
        return "facts, rules or program were changed meanwhile: say it again"
    return f"a process was ended from outside, which left {_named(found, LEFT)}: {_LATER}"


def ready_json(found: Ready) -> str:
    """What became of the lists as JSON (`schemas/answers/ready.json`)."""
    counted = {"judged": found.judged, "kept": found.kept}
    return dumped({"answer": "ready", **plain(found), **counted})


def _named(found: Ready, state: str) -> str:
    names = [f"{axle.platform} {axle.axle}" for axle in found.axles if axle.state == state]
    more = f" and {len(names) - MOST} more" if len(names) > MOST else ""
    return ", ".join(names[:MOST]) + more
