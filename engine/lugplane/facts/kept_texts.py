"""Texts kept by questions in the user's cache, believed while the ground they rest on is the same.

There is one file of a sort for each list of folders, with one witness for all texts in it.
"""

from __future__ import annotations

from lugplane.facts.cache_folder import file_in_cache
from lugplane.facts.digest import digest
from lugplane.facts.fingerprint import Witness
from lugplane.facts.texts import ENDING, open_texts, write_texts

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lugplane.facts.fingerprint import Seen
    from lugplane.facts.ground import Ground
    from lugplane.facts.texts import Texts

_HEAD = "head"


def kept(sort: str, ground: Ground, question: Sequence[str]) -> bytes | None:
    """The text that was kept for this question, if it holds on this ground.

    It is the ground's proof then: what is made from it may be kept too.
    """
    ground.proof = None
    file = file_in_cache(sort, ground.folders, ENDING)
    found = None if file is None else _holding(file, ground.seen)
    if file is None or found is None:
        return None
    texts, witness = found
    text = texts.named(_name(question))
    if text is None:
        return None
    ground.proof = witness
    if len(ground.seen.fresh) < len(witness.fresh):  # stamps prove by now what contents had to
        head = Witness.of(ground.seen, witness.fresh)
        write_texts(file, {**_taken(texts), _HEAD: head.text()})
    return text


def keep(
    sort: str, ground: Ground, answers: Mapping[tuple[str, ...], bytes], most: int | None = None
) -> bool:
    """Keep texts by their questions, beside those that are kept and hold.

    `most`: where more are kept, they are forgotten. Whether they are kept.
    """
    file = file_in_cache(sort, ground.folders, ENDING)
    if file is None or ground.proof is None:
        return False
    named = {_name(question): text for question, text in answers.items()}
    # Another process may have put a file there meanwhile, on a look later than the one that these
    # answers began with; so it is asked whether its witness holds on the last look of this ground.
    # That proves neither its texts nor these: each were worked out between two looks of their own,
    # or they would not be here. They stand together under one witness that holds only where both
    # of theirs do: whatever is believed by it later would be believed if it stood alone.
    found = _holding(file, ground.later)
    if found is not None:
        texts, witness = found
        if witness.agrees(ground.proof) and (most is None or len(texts) <= most):
            head = witness.along(ground.proof).text()
            return write_texts(file, {**_taken(texts), **named, _HEAD: head})
    return write_texts(file, {_HEAD: ground.proof.text(), **named})


def _holding(file: str, seen: Seen) -> tuple[Texts, Witness] | None:
    """A file of texts and its witness, if it holds on what was seen."""
    texts = open_texts(file)
    head = None if texts is None else texts.named(_HEAD)
    if texts is None or head is None:
        return None
    witness = Witness.read(head)
    return (texts, witness) if witness.holds(seen) else None


def _taken(texts: Texts) -> dict[str, bytes]:
    """All texts of a file that is to be replaced."""
    found = texts.all()
    texts.close()
    return found


def _name(question: Sequence[str]) -> str:
    return digest("\0".join(question).encode("utf-8", "surrogateescape"))
