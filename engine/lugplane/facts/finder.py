"""All faults of a record, each said once.

The validator says *that* a keyword failed and where. Errors of a group of keys are taken apart,
alternatives are narrowed down to the one that was meant, and a complaint that follows from
another one is dropped.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, cast

from lugplane.facts import show
from lugplane.facts.faults import (
    MAKERS,
    Fault,
    constants,
    missing,
    no_form,
    unknown,
    wrong_type,
)
from lugplane.facts.hints import Hints, Lookup, describe, trail, type_of, wanted_types
from lugplane.facts.schema_files import LONGEST_FORM, SCHEME, Node
from lugplane.facts.yaml12 import Path

if TYPE_CHECKING:
    from jsonschema.exceptions import ValidationError
    from jsonschema.protocols import Validator


def validator(schema: Node, files: Mapping[str, Node], lookup: Lookup) -> Validator:
    """A validator of `schema`, whose references lead into `files` and nowhere else.

    References are absolute, so `lookup` finds them without regard to where they stand; the
    library's resolver takes as long as all the rest. It still serves `unevaluatedProperties`.
    """
    from jsonschema import Draft202012Validator
    from jsonschema.validators import extend
    from referencing import Registry, Resource
    from referencing.jsonschema import DRAFT202012

    registry: Registry[Any] = Registry().with_resources(
        (SCHEME + name, Resource.from_contents(node, default_specification=DRAFT202012))
        for name, node in files.items()
    )

    def refer(
        check: Any, reference: str, instance: object, _schema: object
    ) -> Iterator[ValidationError]:
        yield from check.descend(instance, lookup(reference))

    each: Any = Draft202012Validator.VALIDATORS["items"]

    def entries(
        check: Any, items: object, instance: object, schema: Any
    ) -> Iterator[ValidationError]:
        # Of a list that is too long, only that is told: it has to be written anew anyway.
        if isinstance(instance, list) and len(instance) > schema.get("maxItems", len(instance)):
            return
        yield from each(check, items, instance, schema)

    changed = {"uniqueItems": _each_once, "$ref": refer, "pattern": _of_form, "items": entries}
    build: Any = extend(Draft202012Validator, changed)  # type: ignore[no-untyped-call]
    return cast("Validator", build(schema, registry=registry))


_GUESSES: Final = 10
"""So many misspelt keys of one mapping are compared with those allowed; guessing takes time."""


class Finder:
    """Finds the faults of records of one kind."""

    def __init__(self, schema: Node, files: Mapping[str, Node], lookup: Lookup) -> None:
        self._validator = validator(schema, files, lookup)
        self._schema = schema
        self._lookup = lookup
        self._known_hints: dict[tuple[object, ...], Hints] = {}

    def faults(self, data: Any) -> list[Fault]:
        """All faults of `data`."""
        return _settled(
            fault for error in self._validator.iter_errors(data) for fault in self._of(error)
        )

    def _of(self, error: ValidationError) -> Iterator[Fault]:
        path: Path = tuple(error.absolute_path)
        hints = self._hints(error)
        # The names of a mapping's keys are checked under the path of the mapping.
        named = "propertyNames" in error.absolute_schema_path
        if named:
            path = (*path, str(error.instance))
        match error.validator:
            case "anyOf":
                found = self._alternatives(error, path, hints)
            case "additionalProperties" | "unevaluatedProperties":
                found = self._unknown_keys(error, path, hints)
            case "required" | "dependentRequired":
                found = self._missing_keys(error, path, hints)
            case keyword:
                found = iter((MAKERS[str(keyword)](error, path, hints),))
        for fault in found:
            if named:
                fault = replace(fault, at_key=True, found=f"the key {show.quoted(str(path[-1]))}")
            yield fault

    def _hints(self, error: ValidationError) -> Hints:
        steps = tuple(error.absolute_schema_path)
        found = self._known_hints.get((*steps, id(error.schema)))
        if found is None:
            found = trail(self._schema, steps[:-1], error.schema, self._lookup)
            self._known_hints[(*steps, id(error.schema))] = found
        return found

    def _alternatives(self, error: ValidationError, path: Path, hints: Hints) -> Iterator[Fault]:
        branches: dict[object, list[ValidationError]] = {}
        for part in error.context or ():
            branches.setdefault(part.relative_schema_path[0], []).append(part)
        meant = [parts for parts in branches.values() if not any(map(_of_wrong_type, parts))]
        if len(meant) == 1:
            for part in meant[0]:
                yield from self._of(part)
        elif not meant:
            types = wanted_types(error.schema, self._lookup)
            yield wrong_type(path, error.instance, types, hints)
        else:
            forms = [
                describe(part, self._lookup) for part in cast("list[Any]", error.validator_value)
            ]
            words = [
                show.word(word)
                for parts in meant
                for part in parts
                if part.validator in ("enum", "const") and not part.relative_path
                for word in constants(part)
            ]
            yield no_form(path, error.instance, forms, words, hints)

    def _unknown_keys(self, error: ValidationError, path: Path, hints: Hints) -> Iterator[Fault]:
        instance = cast("dict[str, Any]", error.instance)
        if error.validator == "unevaluatedProperties":
            names, patterns = self._declared(error.schema, instance)
        else:
            names, patterns = _own_keys(error.schema)
        free = [name for name in names if name not in instance]
        told = 0
        for key in instance:
            if key not in names and not any(re.search(pattern, key) for pattern in patterns):
                yield unknown(path, key, names, free, hints, guess=told < _GUESSES)
                told += 1

    def _declared(self, node: Any, instance: dict[str, Any]) -> tuple[list[str], list[str]]:
        """The keys (names, patterns) that a schema and its parts in force know.

        Of alternatives those that hold count, or all when none does; parts of `allOf` count even
        when they fail, because what is wrong with them is said elsewhere.
        """
        if not isinstance(node, dict):
            return [], []
        names, patterns = _own_keys(node)
        parts: list[Any] = list(node.get("allOf", ()))
        if "$ref" in node:
            parts.append(self._lookup(node["$ref"]))
        choices = node.get("anyOf", ())
        parts += [part for part in choices if self._holds(part, instance)] or choices
        if "if" in node:
            holds = self._holds(node["if"], instance)
            parts += [node["if"], node.get("then")] if holds else [node.get("else")]
        for part in parts:
            more_names, more_patterns = self._declared(part, instance)
            names += [name for name in more_names if name not in names]
            patterns += more_patterns
        return names, patterns

    def _holds(self, node: Any, instance: Any) -> bool:
        return self._validator.evolve(schema=node).is_valid(instance)

    def _missing_keys(self, error: ValidationError, path: Path, hints: Hints) -> Iterator[Fault]:
        instance = cast("dict[str, Any]", error.instance)
        asked: Any = error.validator_value
        if error.validator == "required":
            wanted = [(key, hints.because) for key in asked]
        else:
            wanted = [
                (key, f"`{show.plain(other)}` is there")
                for other, keys in asked.items()
                if other in instance
                for key in keys
            ]
        for key, because in wanted:
            if key not in instance:
                yield missing(path, key, because, hints, self._property(key, hints))

    def _property(self, key: str, mapping: Hints) -> Hints:
        """What the schemas of a mapping say of one of its keys."""
        nodes: list[Node] = []
        for node in mapping.nodes:
            part = node.get("properties", {}).get(key)
            while isinstance(part, dict):
                nodes.append(part)
                part = self._lookup(part["$ref"]) if "$ref" in part else None
        return Hints(tuple(nodes))


def _own_keys(node: Any) -> tuple[list[str], list[str]]:
    """The names and patterns of the keys that a schema itself states."""
    patterns = list(node.get("patternProperties", ()))
    if node.get("additionalProperties", False) is not False:
        patterns.append("")
    return list(node.get("properties", ())), patterns


def _of_wrong_type(error: ValidationError) -> bool:
    """Whether an alternative failed because it is for another type of value."""
    if error.relative_path:
        return False
    match error.validator:
        case "type":
            return True
        case "enum" | "const":
            return type_of(error.instance) not in map(type_of, constants(error))
        case "anyOf":
            branches: dict[object, bool] = {}
            for part in error.context or ():
                branch = part.relative_schema_path[0]
                branches[branch] = branches.get(branch, False) or _of_wrong_type(part)
            return all(branches.values())
    return False


def _each_once(
    check: Validator, wanted: bool, instance: object, schema: object
) -> Iterator[ValidationError]:
    """`uniqueItems` in one pass, with the place of each repeated entry.

    The library's own compares each entry with each other one where they cannot be sorted.
    """
    from jsonschema.exceptions import ValidationError

    if not wanted or not isinstance(instance, list):
        return
    seen: set[str] = set()
    for index, item in enumerate(instance):
        text = json.dumps(_bare(item), sort_keys=True)
        if text in seen:
            yield ValidationError("", path=(index,), instance=item)
        seen.add(text)


def _of_form(
    check: Validator, pattern: str, instance: object, schema: object
) -> Iterator[ValidationError]:
    """`pattern`, refusing what is longer than any form is."""
    from jsonschema.exceptions import ValidationError

    if isinstance(instance, str) and (
        len(instance) > LONGEST_FORM or not re.search(pattern, instance)
    ):
        yield ValidationError("")


def _bare(value: object) -> object:
    """A value in which 1 and 1.0 are the same, as they are to the standard."""
    match value:
        case float():
            return int(value) if value.is_integer() else value
        case list():
            return [_bare(item) for item in value]
        case dict():
            return {key: _bare(item) for key, item in value.items()}
    return value


_WHOLE: Final = ("wrong-type", "no-form-fits", "not-allowed", "wrong-word", "bad-form")
"""A fault that has the value written anew, the weightiest first: no other is then told of it."""


def _settled(found: Iterator[Fault]) -> list[Fault]:
    """Without what is said twice or follows from another fault."""
    faults = list(dict.fromkeys(found))
    meant = {
        (fault.path[:-1], word)
        for fault in faults
        if fault.code == "unknown-key"
        for word in fault.words
    }
    mistyped = {fault.path for fault in faults if fault.code == "wrong-type"}
    by_place: dict[tuple[Path, bool], list[Fault]] = {}
    for fault in faults:
        if fault.code == "missing-key" and (fault.path, fault.about[-1]) in meant:
            continue  # it is there, misspelt
        if any(fault.path[:length] in mistyped for length in range(len(fault.path))):
            continue  # what it would be within is no mapping or list at all
        by_place.setdefault((fault.path, fault.at_key), []).append(fault)
    return [fault for group in by_place.values() for fault in _weightiest(group)]


def _weightiest(group: list[Fault]) -> list[Fault]:
    for code in _WHOLE:
        same = [fault for fault in group if fault.code == code]
        if same:
            # The one that leaves the fewest words is the one that will hold in the end.
            return [min(same, key=lambda fault: len(fault.words))]
    return group
