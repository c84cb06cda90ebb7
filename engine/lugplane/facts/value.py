"""One fact of a record: a number or a word, with its readings and the place it stands in."""

from __future__ import annotations

from dataclasses import dataclass, field

from lugplane.quantity.form import Form, Missing


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a number.

    `basis` is one of the schema's words, `name` the word in brackets, `assumed` tells that no ±
    was stated and the assumed one of the basis was taken.
    """

    lo: float
    hi: float
    nominal: float
    basis: str
    name: str = ""
    source: str = ""
    locator: str = ""
    date: str = ""
    assumed: bool = False


@dataclass(frozen=True, slots=True)
class Value:
    """A number that may have rival readings; the first one counts. No reading: not known.

    `path` is `<kind>.<key>[.<key>]`, the same words that `--set` takes; `at` is `file:line:column`.
    """

    path: str
    unit: str = ""
    readings: tuple[Reading, ...] = ()
    at: str = ""
    through: bool = False
    # Every setup with the part asks for it.
    _form: Form | None = field(default=None, init=False, repr=False, compare=False)

    @property
    def known(self) -> bool:
        return bool(self.readings)

    @property
    def reading(self) -> Reading:
        """The reading that counts. Raises `Missing`."""
        if not self.readings:
            raise Missing(self.path)
        return self.readings[0]

    @property
    def form(self) -> Form:
        """The value as a form of one input. Raises `Missing`."""
        if self._form is not None:
            return self._form
        r = self.reading
        made = Form(r.nominal) if r.lo == r.hi else Form.of(self.path, r.lo, r.hi, r.nominal)
        object.__setattr__(self, "_form", made)
        return made


@dataclass(frozen=True, slots=True)
class Word:
    """A fact that is a word, an id or yes/no (`true`, `false`); None: not known."""

    path: str
    text: str | None = None
    at: str = ""

    @property
    def word(self) -> str:
        """The word. Raises `Missing`."""
        if self.text is None:
            raise Missing(self.path)
        return self.text

    @property
    def known(self) -> bool:
        return self.text is not None


@dataclass(frozen=True, slots=True)
class Number:
    """A number that is counted or nominal and carries no doubt."""

    path: str
    value: float | None = None
    at: str = ""

    @property
    def known(self) -> bool:
        return self.value is not None

    @property
    def number(self) -> float:
        """The number. Raises `Missing`."""
        if self.value is None:
            raise Missing(self.path)
        return self.value


@dataclass(frozen=True, slots=True)
class Numbers:
    """A plain list of numbers that carry no doubt (bores, standard lengths)."""

    path: str
    items: tuple[float, ...] = ()
    at: str = ""

    @property
    def known(self) -> bool:
        return bool(self.items)

    @property
    def numbers(self) -> tuple[float, ...]:
        """The numbers. Raises `Missing`."""
        if not self.items:
            raise Missing(self.path)
        return self.items


@dataclass(frozen=True, slots=True)
class Words:
    """A plain list of words or ids."""

    path: str
    items: tuple[str, ...] = ()
    at: str = ""

    @property
    def known(self) -> bool:
        return bool(self.items)


@dataclass(frozen=True, slots=True)
class Points:
    """A list of points with one common ±."""

    path: str
    items: tuple[tuple[float, ...], ...] = ()
    plus_minus: float = 0.0
    at: str = ""

    @property
    def known(self) -> bool:
        return bool(self.items)

    @property
    def points(self) -> tuple[tuple[float, ...], ...]:
        """The points. Raises `Missing`."""
        if not self.items:
            raise Missing(self.path)
        return self.items


Fact = Value | Word | Number | Numbers | Words | Points
