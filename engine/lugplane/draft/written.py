"""Plain data as the YAML of our facts, and a typed word as plain data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import yaml

from lugplane.draft.fields import Field
from lugplane.errors import BadInput
from lugplane.facts import yaml12
from lugplane.facts.yaml12 import Document


def scalar(value: Any) -> str:
    """A value on one line: plain where it then reads as the same value, else between quotes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{scalar(str(k))}: {scalar(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(scalar(each) for each in value) + "]"
    text = str(value)
    # Within brackets, so that what is plain there is plain everywhere.
    found = yaml12.read(f"v: [{text}]\nw: {{a: {text}}}\n", "")
    same = isinstance(found, Document) and found.data == {"v": [text], "w": {"a": text}}
    return text if same and _same_by_1_1(text) else json.dumps(text, ensure_ascii=False)


def _same_by_1_1(text: str) -> bool:
    """Whether YAML 1.1, which takes days, `yes` and `1:30` for something else, reads it as text.

    An editor may still read so.
    """
    try:
        return bool(yaml.safe_load(text) == text)
    except yaml.YAMLError:
        return False


def typed(text: str, field: Field | None) -> Any:
    """What a user typed for a field, as the data of its file. Raises `BadInput`.

    A text is taken as it stands where the field takes text only; `yes` and `no` are true and
    false. A list or a mapping is typed as YAML has it on one line.
    """
    types = field.types if field is not None else frozenset()
    if types and types <= {"string"}:
        return text
    if types == {"boolean"} and text.casefold() in ("yes", "no"):
        return text.casefold() == "yes"
    if field is not None and field.words and text in field.words:
        return text
    found = yaml12.read(f"v: {text}\n", "")
    if isinstance(found, Document) and isinstance(found.data, dict) and set(found.data) == {"v"}:
        value = found.data["v"]
        if value is not None:
            return value
    if "array" in types or ("object" in types and not types & {"string", "number"}):
        what = field.dotted if field is not None else ""
        raise BadInput(f"{what}={text}: write a list as [1, 2] and a mapping as {{a: 1}}")
    return text
