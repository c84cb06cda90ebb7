"""Which matcher answers."""

from __future__ import annotations

import os
from difflib import get_close_matches

from lugplane.deduce import clips, durable, plain
from lugplane.deduce.firing import Match
from lugplane.errors import BadInput

VARIABLE = "LUGPLANE_MATCHER"


def matcher(name: str | None = None) -> Match:
    """The matcher of that name: `durable`, `clips` or `plain`.

    Without a name, the one that the environment variable LUGPLANE_MATCHER names; without that,
    durable-rules, or CLIPS where durable-rules cannot be imported.
    Raises BadInput for an unknown name, and for `durable` asked for where it cannot be imported.
    """
    name = name or os.environ.get(VARIABLE)
    if not name:
        return durable.match if durable.available() else clips.match
    if name == "durable" and not durable.available():
        raise BadInput(
            "matcher durable: durable-rules cannot be imported by this Python; "
            "clips and plain find the same"
        )
    matchers: dict[str, Match] = {
        "durable": durable.match,
        "clips": clips.match,
        "plain": plain.match,
    }
    if name not in matchers:
        close = get_close_matches(name, matchers, 1)
        meant = f"; did you mean {close[0]}?" if close else ""
        raise BadInput(f"matcher {name!r:.60}: there are {', '.join(matchers)}{meant}")
    return matchers[name]
