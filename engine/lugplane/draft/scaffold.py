"""A record as text: what is known stands there, all else as comments to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from lugplane.draft.fields import Field, Forms
from lugplane.draft.written import scalar
from lugplane.facts import show

_COLUMN: Final = 34
"""Comments begin here where the key leaves room."""

_HEAD: Final = ("kind", "id", "title", "notes", "readings", "unless_said")


def scaffold(
    forms: Forms, kind: str, data: Mapping[str, Any], like: Mapping[str, Any], like_id: str = ""
) -> str:
    """The text of a new record that states `data`; `like` stands as comments beside the keys."""
    title = forms.title(kind)
    lines = [
        f"# {title[:1].upper()}{title[1:]}. Take the `#` away from what you know and fill it in;",
        "# what you do not know stays out: nothing is assumed for it.",
    ]
    if like:
        lines.append(f"# Values behind a `#` are those of {like_id}: measure yours.")
    lines += [f"{key}: {scalar(data[key])}" for key in ("kind", "id", "title") if key in data]
    if "notes" in data:
        lines.append(f"notes: {scalar(data['notes'])}")
    head = {field.key: field for field in forms.all(kind)}
    lines += _readings(head["readings"], data.get("readings"))
    if "unless_said" in data:
        lines.append(f"unless_said: {scalar(data['unless_said'])}")
    else:
        lines.append(_commented("# unless_said:", head["unless_said"]))
    for field in forms.facts(kind):
        lines += _lines(field, data, like, 0)
    members = data.get("members")
    if members:
        lines.append("members:")
        lines += [f"  {scalar(str(name))}: {scalar(own)}" for name, own in members.items()]
    return "\n".join(lines) + "\n"


def _readings(field: Field, readings: Mapping[str, Any] | None) -> Iterator[str]:
    if readings:
        yield "readings:"
        for name, said in readings.items():
            yield f"  {scalar(str(name))}: {scalar(said)}"
    else:
        yield _commented("# readings:", field)
        yield ('#   bench: {basis: measured, source: ID, date: "YYYY-MM-DD", plus_minus_mm: 0.15}')


def _lines(
    field: Field,
    data: Mapping[str, Any],
    like: Mapping[str, Any],
    depth: int,
    column: int = _COLUMN,
) -> Iterator[str]:
    own, model = data.get(field.key), like.get(field.key)
    blanks = "  " * depth
    if not field.fields:
        if own is not None:
            yield _commented(f"{blanks}{field.key}: {scalar(own)}", field, column)
        elif model is not None:
            line = f"{blanks}# {field.key}: {scalar(model)}"
            yield _commented(line, field, column, examples=False)
        else:
            yield _commented(f"{blanks}# {field.key}:", field, column)
        return
    inner = own if isinstance(own, Mapping) else {}
    of_model = model if isinstance(model, Mapping) else {}
    if inner:
        yield _commented(f"{blanks}{field.key}:", field, column)
        for each in field.fields:
            yield from _lines(each, inner, of_model, depth + 1, column)
        return
    # As one comment, its keys set in behind the sign, so that taking the signs away is enough.
    yield _commented(f"{blanks}# {field.key}:", field, column)
    for each in field.fields:
        for line in _lines(each, {}, of_model, 0, column - len(blanks) - 2):
            yield f"{blanks}#   {_bare(line)}"


def _bare(line: str) -> str:
    """A commented line without its first sign."""
    kept = line.lstrip(" ")
    return line[: len(line) - len(kept)] + kept.removeprefix("# ").removeprefix("#")


def _commented(line: str, field: Field, column: int = _COLUMN, examples: bool = True) -> str:
    said = [field.title] if field.title else []
    if field.unit and field.unit not in ("1", "money"):
        said.append(field.unit)
    if field.words:
        said.append(show.either(field.words))
    elif field.types == {"boolean"}:
        said.append("true or false")
    elif examples and field.examples and not field.fields:
        said.append(f"such as {scalar(field.examples[0])}")
    if not said:
        return line
    return f"{line.ljust(column)}  # {'; '.join(said)}"
