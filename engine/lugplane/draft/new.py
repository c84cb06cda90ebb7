"""A new record made up, looked at and given a place; nothing is written here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from lugplane.check.finding import Finding
from lugplane.check.one import Yardstick, content_findings
from lugplane.check.run import source_days
from lugplane.draft.fields import Field, Forms, leaves
from lugplane.draft.scaffold import scaffold
from lugplane.draft.written import typed
from lugplane.errors import BadInput
from lugplane.facts import show
from lugplane.facts.families import Single
from lugplane.facts.folders import shown_path
from lugplane.facts.kinds import FOLDER_OF, is_id, nearest_id
from lugplane.facts.references import reference_problems
from lugplane.facts.scan import SourceFile
from lugplane.facts.schema import Schemas


@dataclass(frozen=True, slots=True)
class Draft:
    """A record's text, the file it belongs in, and what is to be said of it."""

    text: str
    file: Path
    findings: tuple[Finding, ...]


class Desk:
    """Where new records are made up: the facts there are, and what to hold new ones against."""

    def __init__(
        self, parts: Sequence[Single], into: Path, forms: Forms, schemas: Schemas, by: Yardstick
    ) -> None:
        self.forms = forms
        self._parts = parts
        self._into = into
        self._schemas = schemas
        self._by = Yardstick(by.plausible, by.assumed, by.today, source_days(parts))

    @cached_property
    def _by_id(self) -> Mapping[str, Single]:
        families = {single.family: single for single in self._parts if single.family}
        return families | {single.id: single for single in self._parts}

    def kind(self, said: str) -> str:
        """The kind that is meant. Raises `BadInput`."""
        if said in FOLDER_OF:
            return said
        near = show.closest(said, FOLDER_OF)
        hint = f"did you mean {near}?" if near else f"kinds: {', '.join(FOLDER_OF)}"
        raise BadInput(f"there is no kind '{show.plain(said)}'; {hint}")

    def file(self, kind: str, id_: str) -> Path:
        """The file that a new id belongs in. Raises `BadInput` for a bad one or one in use."""
        if not is_id(id_):
            near = nearest_id(id_)
            raise BadInput(
                f"'{show.plain(id_)}' is no id: small letters and digits, parted by single - or ."
                + (f"; write {near}" if near else "")
            )
        file = self._into / FOLDER_OF[kind] / f"{id_}.yaml"
        there = self._by_id.get(id_)
        if there is not None:
            raise BadInput(f"'{id_}' is there already: {there.raw.shown}")
        if file.exists() or file.is_symlink():
            raise BadInput(f"{shown_path(file)} is there already: take another id")
        return file

    def like(self, kind: str, id_: str) -> Mapping[str, Any]:
        """The facts of a record of this kind, without its readings. Raises `BadInput`."""
        there = self._by_id.get(id_)
        if there is None or there.kind != kind:
            pool = [i for i, single in self._by_id.items() if single.kind == kind]
            near = show.closest(id_, pool)
            raise BadInput(
                f"no {kind} is called '{show.plain(id_)}'"
                + (f"; close to it: {near}" if near else "")
            )
        return {
            field.key: _bare(there.data[field.key])
            for field in self.forms.facts(kind)
            if field.key in there.data
        }

    def setting(self, kind: str, said: str) -> tuple[tuple[str, ...], Any]:
        """Path and value of `path=value`. Raises `BadInput`."""
        path, equals, text = said.partition("=")
        keys = tuple(path.strip().split("."))
        if not equals or not all(keys) or not text.strip():
            raise BadInput(f"--set {said}: write path=value, as in diameter_mm=300±0.1")
        known = {field.key for field in self.forms.all(kind)} | {"members"}
        if keys[0] == kind and len(keys) > 1 and keys[0] not in known:
            keys = keys[1:]
        if keys[0] in ("kind", "id"):
            raise BadInput(f"--set {said}: kind and id are the arguments of the command")
        if keys[0] not in known:
            near = show.closest(keys[0], known)
            listed = f"did you mean {near}?" if near else f"there are: {', '.join(sorted(known))}"
            raise BadInput(f"--set {said}: a {kind} has no `{show.plain(keys[0])}`; {listed}")
        # A member states facts as its family does.
        inner = keys[2:] if keys[0] == "members" else keys
        return keys, typed(text.strip(), self._field(kind, inner))

    def _field(self, kind: str, keys: tuple[str, ...]) -> Field | None:
        return next((f for f in leaves(self.forms.all(kind)) if f.path == keys), None)

    def draft(self, kind: str, id_: str, data: Mapping[str, Any], like: str = "") -> Draft:
        """The text of a new record and all that is to be said of it. Raises `BadInput`."""
        file = self.file(kind, id_)
        whole = {"kind": kind, "id": id_, **data}
        model = self.like(kind, like) if like else {}
        text = scaffold(self.forms, kind, whole, model, like)
        shown = f"{shown_path(self._into)}/{FOLDER_OF[kind]}/{id_}.yaml"
        source = SourceFile(kind, id_, file, shown)
        findings, own = content_findings(source, text.encode(), self._schemas, self._by)
        references = reference_problems([*self._parts, *own])
        findings += [Finding(p) for p in references if p.file == shown]
        return Draft(text, file, tuple(sorted(findings)))


def put(data: dict[str, Any], keys: tuple[str, ...], value: Any) -> None:
    """State a value within nested data. Raises `BadInput` where something else stands there."""
    at = data
    for key in keys[:-1]:
        inner = at.setdefault(key, {})
        if not isinstance(inner, dict):
            raise BadInput(f"{'.'.join(keys)}: `{key}` is a value already")
        at = inner
    if keys[-1] in at:
        raise BadInput(f"{'.'.join(keys)} is stated twice")
    at[keys[-1]] = value


def reading(said: str) -> tuple[str, dict[str, Any]]:
    """Name and body of `NAME=BASIS[,KEY=VALUE]...`. Raises `BadInput`."""
    name, equals, rest = said.partition("=")
    basis, *others = rest.split(",")
    body: dict[str, Any] = {"basis": basis.strip()}
    for other in others:
        key, given, text = other.partition("=")
        if not given or not text.strip():
            raise BadInput(f"--reading {said}: '{other}' is not key=value")
        text = text.strip()
        number = key.strip().startswith("plus_minus")
        try:
            body[key.strip()] = float(text) if number else text
        except ValueError as error:
            raise BadInput(f"--reading {said}: '{text}' is not a number") from error
    if not equals or not name.strip() or not basis.strip():
        raise BadInput(
            f"--reading {said}: write NAME=BASIS,source=ID,date=DAY,plus_minus_mm=0.1, as in "
            "bench=measured,source=bench-14,date=2026-03-14,plus_minus_mm=0.15"
        )
    return name.strip(), body


def _bare(value: Any) -> Any:
    """A value without the names of readings, which belong to the file it stands in."""
    if isinstance(value, str) and value.endswith(")"):
        return value.rpartition("(")[0].strip()
    if isinstance(value, list):
        return [_bare(each) for each in value]
    if isinstance(value, Mapping):
        return {key: _bare(each) for key, each in value.items()}
    return value
