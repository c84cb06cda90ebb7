"""The text of an answer kept in the user's cache, to be said again while nothing has changed.

One file for each list of folders holds the answers given about them. All of them rest on the same
files: the facts, the schemas, the rules and the program; as soon as one of these is another one,
none of the answers is believed.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from lugplane.data import data_folder
from lugplane.facts.cache import Pack, cache_file, open_pack, write_pack
from lugplane.facts.fingerprint import SECONDS, Seen, Witness, digest, just_seen, look
from lugplane.facts.program import all_rooms, program_now, program_seen

MOST: Final = 400
"""So many answers are kept of one list of folders; with more a new file is begun."""


def said_again(folders: Sequence[Path], question: Sequence[str], make: Callable[[], str]) -> str:
    """The text that `make` gives, or that it gave to this question when all was as it is now.

    `question` holds every word that the text depends on besides facts, rules and program. Raises
    what `make` raises, and then keeps nothing.
    """
    file = cache_file("answers", folders)
    if file is None:
        return make()
    facts = _taken(folders, question)
    if facts is None:
        facts = look(folders)
        kept = _kept(file, _view(folders, facts, program_seen(all_rooms())), question)
        if kept is not None:
            return kept
    seen = _view(folders, facts, program_seen(all_rooms()))
    before = Witness.of(seen)
    with just_seen(folders, facts):
        text = make()
    # The contents of files touched just now are compared, since their stamps prove nothing.
    if before.holds(_view(folders, look(folders), program_now(all_rooms()))):
        _keep(file, before, seen, {_name(question): text.encode("utf-8", "surrogatepass")})
    return text


def said_before(folders: Sequence[Path], question: Sequence[str]) -> str | None:
    """The text of the answer that was given to this question when all was as it is now."""
    file = cache_file("answers", folders)
    if file is None:
        return None
    facts = look(folders)
    text = _kept(file, _view(folders, facts, program_seen(all_rooms())), question)
    _MISSED[:] = [(tuple(folders), tuple(question), facts)] if text is None else []
    return text


_MISSED: Final[list[tuple[tuple[Path, ...], tuple[str, ...], Seen]]] = []
"""The last question of `said_before` that had no answer, and what its facts looked like."""


def _taken(folders: Sequence[Path], question: Sequence[str]) -> Seen | None:
    """What `said_before` saw a moment ago when it had no answer to this question; told once."""
    missed = _MISSED[:]
    _MISSED.clear()
    for of, asked, seen in missed:
        young = 0 <= time.time_ns() - seen.at < SECONDS * 1_000_000_000
        if young and of == tuple(folders) and asked == tuple(question):
            return seen
    return None


def _view(folders: Sequence[Path], facts: Seen, program: Seen) -> Seen:
    home = data_folder()
    beside = [(home / "schemas", ".json"), (home / "rules", ".yaml")]
    return facts.along(look((), beside, [str(folder) for folder in folders])).along(program)


def _name(question: Sequence[str]) -> str:
    return "answer " + digest("\0".join(question).encode("utf-8", "surrogateescape"))


def _kept(file: Path, seen: Seen, question: Sequence[str]) -> str | None:
    pack, witness = _opened(file)
    if pack is None or witness is None or not witness.holds(seen):
        return None
    text = pack.named(_name(question))
    if text is not None and len(seen.fresh) < len(witness.fresh):
        pack.renew({"head": _text(Witness.of(seen, witness.fresh))})
    return None if text is None else text.decode("utf-8", "surrogatepass")


def _keep(file: Path, before: Witness, seen: Seen, named: dict[str, bytes]) -> None:
    """Put an answer beside those that rest on the same files, or alone into a new file."""
    pack, witness = _opened(file)  # another process may have put one there meanwhile
    if pack is not None and witness is not None and witness.holds(seen):
        count = pack.count()
        if count is not None and count < MOST:
            pack.renew(named)
            return
    write_pack(file, {"head": _text(before), **named}, ())


def _opened(file: Path) -> tuple[Pack | None, Witness | None]:
    pack = open_pack(file)
    head = None if pack is None else pack.named("head")
    return pack, None if head is None else Witness.from_plain(json.loads(head))


def _text(witness: Witness) -> bytes:
    return json.dumps(witness.plain(), separators=(",", ":")).encode()
