"""One failed keyword of a schema in our own words: what was found, what is allowed, the mend."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from lugplane.facts import show, slips
from lugplane.facts.hints import Hints, type_words
from lugplane.facts.schema_files import LONGEST_FORM, Node, shown_pattern
from lugplane.facts.yaml12 import Path

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a record.

    It stands at the value of `path`, or at its key (`at_key`). `about` is the path it speaks of:
    one step longer for a missing key. `words`: the words allowed, or the key that was meant.
    """

    path: Path
    code: str
    found: str
    allowed: str
    mend: str
    about: Path
    at_key: bool = False
    words: tuple[str, ...] = ()


def wrong_type(path: Path, found: object, types: frozenset[str], hints: Hints) -> Fault:
    """A value of none of the `types`."""
    mend = hints.mend or slips.mend_type(found, types) or f"write {type_words(types)}"
    return Fault(
        path, "wrong-type", show.value(found), _allowed(type_words(types), hints), mend, path
    )


def wrong_word(path: Path, found: object, words: tuple[str, ...], hints: Hints) -> Fault:
    """A value that is none of the `words`."""
    because = f" because {hints.because}" if hints.because else ""
    if not isinstance(found, str) and str(found) in words:
        mend = "put it between quotes"
    elif len(words) == 1:
        mend = f"write {words[0]}"
    elif isinstance(found, str) and (near := show.closest(found, words)):
        mend = f"write {near}"
    else:
        mend = slips.mend_type(found, frozenset()) or "write one of these"
    listed = show.either(words)
    title = f" ({hints.title})" if hints.title not in ("", listed) else ""
    return Fault(
        path,
        "wrong-word",
        show.value(found),
        f"allowed{because}: {listed}{title}",
        hints.mend or mend,
        path,
        words=words,
    )


def no_form(path: Path, found: object, forms: list[str], words: list[str], hints: Hints) -> Fault:
    """A value that fits none of several forms, though its type would do for more than one."""
    near = show.closest(found, words) if isinstance(found, str) else None
    slip = slips.mend_number(found) if isinstance(found, str) else ""
    mend = f"write {near}" if near else slip or "write it in one of these forms"
    return Fault(
        path,
        "no-form-fits",
        show.value(found),
        _allowed(" or ".join(dict.fromkeys(forms)), hints),
        hints.mend or mend,
        path,
    )


def missing(path: Path, key: str, because: str, mapping: Hints, wanted: Hints) -> Fault:
    """A mapping without a key that it must have."""
    inside = f" in {mapping.title}" if mapping.title else ""
    reason = f" because {because}" if because else ""
    return Fault(
        path,
        "missing-key",
        f"no key `{show.plain(key)}`{inside}",
        f"needed{reason}: {wanted.title or 'a value'}{wanted.such_as}",
        wanted.mend or f"add `{show.plain(key)}: ...`",
        (*path, key),
    )


def unknown(
    path: Path, key: str, names: list[str], free: list[str], mapping: Hints, guess: bool
) -> Fault:
    """A key that its mapping does not have; `free` are those not yet written.

    `guess`: whether to look for the key that was meant.
    """
    near = show.closest(key, free) if guess else None
    inside = f" in {mapping.title}" if mapping.title else ""
    return Fault(
        (*path, key),
        "unknown-key",
        f"the key {show.quoted(key)}{inside}",
        _keys_allowed(key if guess else "", tuple(names)),
        f"write {show.plain(near)}" if near else slips.mend_key(key) or "delete it",
        (*path, key),
        at_key=True,
        words=(near,) if near else (),
    )


@lru_cache(maxsize=64)
def _keys_allowed(key: str, names: tuple[str, ...]) -> str:
    """The keys of a mapping, those nearest to `key` first; "": in their own order."""
    return f"allowed: {show.listing(key, names, bool(key))}" if names else "allowed: no keys"


def _type(error: ValidationError, path: Path, hints: Hints) -> Fault:
    value: Any = error.validator_value
    types = frozenset([value] if isinstance(value, str) else value)
    return wrong_type(path, error.instance, types, hints)


def _word(error: ValidationError, path: Path, hints: Hints) -> Fault:
    words = tuple(show.word(each) for each in constants(error))
    return wrong_word(path, error.instance, words, hints)


def constants(error: ValidationError) -> list[object]:
    """What an `enum` or a `const` takes."""
    value: Any = error.validator_value
    return list(value) if error.validator == "enum" else [value]


def _form(error: ValidationError, path: Path, hints: Hints) -> Fault:
    pattern = shown_pattern(str(error.validator_value))
    form = hints.title or "text"
    if not hints.such_as and len(pattern) <= show.LONGEST:
        form += f", of the form {pattern}"
    text = str(error.instance)
    slip = slips.mend_form(text, str(error.validator_value)) if len(text) <= LONGEST_FORM else ""
    return Fault(
        path,
        "bad-form",
        show.value(text),
        f"allowed: {form}{hints.such_as}",
        hints.mend or slip or "write it in this form",
        path,
    )


_BOUNDS: Final = {
    "minimum": "at least",
    "exclusiveMinimum": "over",
    "maximum": "at most",
    "exclusiveMaximum": "under",
    "multipleOf": "a multiple of",
}
_ENTRIES: Final = {"minItems": "at least", "maxItems": "at most"}
_KEYS: Final = {"minProperties": "at least", "maxProperties": "at most"}
_LENGTH: Final = {"minLength": "at least", "maxLength": "at most"}


def _bounds(node: Node, words: dict[str, str], unit: str) -> str:
    """`at least 3 and at most 10 entries`, `exactly 3 entries`, `over 0`."""
    stated = [(said, node[key]) for key, said in words.items() if key in node]
    if len(stated) == 2 and stated[0][1] == stated[1][1]:
        stated = [("exactly", stated[0][1])]
    units = {"entries": "entry", "keys": "key", "characters": "character"}
    if stated[-1][1] == 1:
        unit = units.get(unit, unit)
    return " and ".join(f"{said} {bound:g}" for said, bound in stated) + (unit and f" {unit}")


def _range(error: ValidationError, path: Path, hints: Hints) -> Fault:
    found = show.value(error.instance)
    return _measured(error, path, hints, "out-of-range", found, _BOUNDS, "")


def _entries(error: ValidationError, path: Path, hints: Hints) -> Fault:
    found = show.value(error.instance)
    return _measured(error, path, hints, "wrong-count", found, _ENTRIES, "entries")


def _keys(error: ValidationError, path: Path, hints: Hints) -> Fault:
    mapping: Any = error.instance
    found = f"a mapping of {len(mapping)} keys" if mapping else "an empty mapping"
    return _measured(error, path, hints, "wrong-count", found, _KEYS, "keys")


def _length(error: ValidationError, path: Path, hints: Hints) -> Fault:
    long = f"a text of {len(str(error.instance))} characters"
    found = long if error.instance else show.value(error.instance)
    return _measured(error, path, hints, "wrong-length", found, _LENGTH, "characters")


def _measured(
    error: ValidationError,
    path: Path,
    hints: Hints,
    code: str,
    found: str,
    words: dict[str, str],
    unit: str,
) -> Fault:
    assert isinstance(error.schema, dict)
    bounds = _bounds(error.schema, words, unit)
    mend = hints.mend or f"write {bounds if unit else 'a number ' + bounds}"
    return Fault(path, code, found, _allowed(bounds, hints), mend, path)


def _repeated(error: ValidationError, path: Path, hints: Hints) -> Fault:
    return Fault(
        path,
        "repeated-item",
        f"{show.value(error.instance)} again",
        _allowed("each entry once", hints),
        hints.mend or "delete one of the two",
        path,
    )


def _forbidden(error: ValidationError, path: Path, hints: Hints) -> Fault:
    """`not`: of keys that exclude each other where it says so, else of the value as a whole."""
    refused: Any = error.validator_value
    if isinstance(refused, dict) and set(refused) == {"required"}:
        keys: list[str] = refused["required"]
        last = (*path, keys[-1])
        together = " and ".join(f"`{show.plain(key)}`" for key in keys)
        if len(keys) > 1:
            mend = hints.mend or "keep one of them"
            return Fault(
                last,
                "not-together",
                f"the keys {together} side by side",
                _allowed("one of them", hints),
                mend,
                last,
                at_key=True,
            )
        return not_allowed(last, f"the key {together}", hints)
    return not_allowed(path, show.value(error.instance), hints)


def not_allowed(path: Path, found: str, hints: Hints) -> Fault:
    """Something that must not stand here as things are."""
    because = f" because {hints.because}" if hints.because else ""
    title = f" ({hints.title})" if hints.title else ""
    return Fault(
        path,
        "not-allowed",
        found,
        f"not allowed here{because}{title}",
        hints.mend or "delete it",
        path,
        at_key=True,
    )


def _allowed(what: str, hints: Hints) -> str:
    inner = hints.title + hints.such_as if hints.title else hints.such_as.removeprefix(", ")
    because = f" because {hints.because}" if hints.because else ""
    return f"allowed{because}: {what}" + (f" ({inner})" if inner else "")


Maker = Callable[["ValidationError", Path, Hints], Fault]

MAKERS: Final[dict[str, Maker]] = {
    "type": _type,
    "enum": _word,
    "const": _word,
    "pattern": _form,
    **dict.fromkeys(_BOUNDS, _range),
    **dict.fromkeys(_ENTRIES, _entries),
    **dict.fromkeys(_KEYS, _keys),
    **dict.fromkeys(_LENGTH, _length),
    "uniqueItems": _repeated,
    "not": _forbidden,
}
"""Keyword -> the fault of its failing, for the keywords that concern one value by itself."""
