"""The questions of `facts new` on a terminal. Enter leaves a fact unknown; `.` ends the asking."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from datetime import date
from typing import Any, Final

import click

from lugplane.check.finding import is_error
from lugplane.draft.fields import Field, leaves
from lugplane.draft.new import Desk, put
from lugplane.draft.written import scalar, typed
from lugplane.errors import BadInput
from lugplane.render.check import finding_line

_END: Final = "."


class _Ended(Exception):
    """The user has said all there is to say."""


def ask_for(
    desk: Desk, kind: str, id_: str | None, data: dict[str, Any], like: str
) -> tuple[str, dict[str, Any]]:
    """The id and the facts of a new record. Raises `BadInput`, `click.Abort`."""
    click.echo(
        f"New: {desk.forms.title(kind)}. Enter leaves a fact unknown, {_END} ends.", err=True
    )
    id_ = _id(desk, kind, id_)
    model = desk.like(kind, like) if like else {}
    fields = desk.forms.facts(kind)
    head = {field.key: field for field in desk.forms.all(kind)}
    interview = _Interview(desk, kind, id_, deepcopy(data))
    if "title" not in data:
        interview.must(head["title"])
    for field in leaves(fields):
        if field.required and not interview.states(field.path):
            interview.must(field)
    try:
        if any(field.unit for field in leaves(fields)) and "readings" not in data:
            interview.reading(head["readings"])
        for field in leaves(fields):
            if not field.required and not field.free and not interview.states(field.path):
                interview.may(field, _at(model, field.path))
    except _Ended:
        pass
    return id_, interview.data


class _Interview:
    """Facts as they are said; what would be turned down is asked for again."""

    def __init__(self, desk: Desk, kind: str, id_: str, data: dict[str, Any]) -> None:
        self.data = data
        self._desk, self._kind, self._id = desk, kind, id_

    def states(self, path: tuple[str, ...]) -> bool:
        return _at(self.data, path) is not None

    def must(self, field: Field) -> None:
        """Ask until there is an answer that will do."""
        while not (text := _prompt(_question(field))) or not self._take(field, text):
            pass

    def may(self, field: Field, model: Any) -> None:
        """Ask; Enter leaves it unknown. Raises `_Ended`."""
        hint = "" if model is None else f" (there: {scalar(model)})"
        while text := _prompt(_question(field) + hint):
            if text == _END:
                raise _Ended
            if self._take(field, text):
                return

    def reading(self, field: Field) -> None:
        """Ask what the values rest on. Raises `_Ended`."""
        click.echo(f"{field.title[:1].upper()}{field.title[1:]}:", err=True)
        while True:
            name = _prompt("  name of the reading, such as bench")
            if name == _END:
                raise _Ended
            if not name:
                return
            body: dict[str, Any] = {"basis": _prompt("  basis (measured, catalogue, drawing ...)")}
            for key, question in (
                ("source", "  id of its source"),
                ("date", f"  date, such as {date.today().isoformat()}"),
                ("plus_minus_mm", "  ± of its lengths, mm"),
            ):
                if text := _prompt(question):
                    body[key] = text
            if "plus_minus_mm" in body:
                body["plus_minus_mm"] = _number(body["plus_minus_mm"])

            def state(data: dict[str, Any], name: str = name, body: Any = body) -> None:
                put(data, ("readings", name), body)
                data["unless_said"] = name

            if self._try(state):
                return

    def _take(self, field: Field, text: str) -> bool:
        return self._try(lambda data: put(data, field.path, typed(text, field)))

    def _try(self, state: Callable[[dict[str, Any]], None]) -> bool:
        """State something; takes it back and says why where it brings a problem."""
        before = self._errors(self.data)
        changed = deepcopy(self.data)
        try:
            state(changed)
        except BadInput as error:
            click.echo(f"  {error}", err=True)
            return False
        told = [line for line in self._errors(changed) if line not in before]
        for line in told:
            click.echo(f"  {line.partition(': ')[2]}", err=True)
        if not told:
            self.data = changed
        return not told

    def _errors(self, data: dict[str, Any]) -> list[str]:
        """The errors of a record, without their places, which move as it grows."""
        draft = self._desk.draft(self._kind, self._id, data)
        lines = [finding_line(each) for each in draft.findings if is_error(each)]
        return [": " + line.split(": ", 1)[1] for line in lines]


def _id(desk: Desk, kind: str, id_: str | None) -> str:
    while True:
        said = id_ or _prompt("id, as the file is to be called")
        try:
            desk.file(kind, said)
        except BadInput as error:
            if id_:
                raise
            click.echo(f"  {error}", err=True)
            continue
        return said


def _prompt(question: str) -> str:
    return str(click.prompt(question, default="", show_default=False, err=True)).strip()


def _question(field: Field) -> str:
    unit = f", {field.unit}" if field.unit not in ("", "1", "money") else ""
    words = f": {' | '.join(field.words)}" if field.words else ""
    return f"{field.dotted} ({field.title}{unit}{words})"


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _at(data: Any, path: tuple[str, ...]) -> Any:
    for key in path:
        data = data.get(key) if isinstance(data, dict) else None
    return data
