"""Something made from a folder's files, kept in the user's cache while nothing has changed."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

from lugplane.facts.cache import cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import Seen, Witness, look
from lugplane.facts.program import Rooms, program_seen

T = TypeVar("T")


def remembered(
    sort: str,
    folder: Path,
    suffix: str,
    rooms: Rooms,
    words: Iterable[str],
    make: Callable[[], T],
    to_plain: Callable[[T], Any],
    from_plain: Callable[[Any], T],
) -> T:
    """What `make` makes of the files in `folder` whose names end in `suffix`, or made of them once.

    `rooms` are those whose code it depends on, `words` what else; `to_plain` and `from_plain` turn
    it into what JSON takes, and back. Raises what `make` raises, and then keeps nothing.
    """
    said = [str(folder), *words]

    def view() -> Seen:
        return look((), [(folder, suffix)], said).along(program_seen(rooms))

    file = cache_file(sort, [folder])
    if file is None:
        return make()
    seen = view()
    pack = open_pack(file)
    head = None if pack is None else pack.named("head")
    if pack is not None and head is not None:
        witness = Witness.from_plain(json.loads(head))
        body = pack.named("body") if witness.holds(seen) else None
        if body is not None:
            if len(seen.fresh) < len(witness.fresh):
                pack.renew({"head": _text(Witness.of(seen, witness.fresh).plain())})
            return from_plain(json.loads(body))
    made = make()
    body = _text(to_plain(made))
    if view().digest == seen.digest and from_plain(json.loads(body)) == made:
        write_pack(file, {"head": _text(Witness.of(seen).plain()), "body": body}, ())
    return made


def _text(data: Any) -> bytes:
    return json.dumps(data, separators=(",", ":")).encode()
