"""What the rule grammar does not offer, told apart, so that each refusal can say what to do."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lugplane.deduce.strict import Listing, Node, Word


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something is not offered, and what to write in its place."""

    code: str
    allowed: str
    mend: str


JOIN = Refusal(
    "join",
    "a pattern only compares words for equality",
    "let a rule deduce a fact that carries what is shared, and match that fact",
)
COMPARISON = Refusal(
    "comparison",
    "a pattern only compares words for equality",
    "let a measure give the number and `judge` name its band, and match that word",
)
ARITHMETIC = Refusal(
    "arithmetic",
    "a pattern only compares words for equality",
    "let a measure do the sum, and match its state",
)
REGEX = Refusal(
    "regex", "a pattern only compares whole words", "write the word out, or one rule for each word"
)
NEGATION = Refusal(
    "negation",
    "a pattern only asks for what is there",
    "let a rule deduce a word for the opposite case, and match that word",
)
ALTERNATIVES = Refusal(
    "alternatives", "all patterns of a rule must be filled", "write one rule for each alternative"
)
PRIORITY = Refusal(
    "priority",
    "all rules fire, in any order",
    "take it out; make a rule ask for what it needs",
)
GUARD = Refusal(
    "guard", "patterns in `when` are the only condition", "let a rule deduce a word, and match that"
)
NESTED = Refusal("nested", "one word is expected", "write the word, as in {kind: caliper}")

# Refused wherever a name stands; as the name of a pattern or key they would read as logic.
_LOGIC = (
    (NEGATION, "not no none unless without"),
    (ALTERNATIVES, "any or either all and"),
    (GUARD, "if"),
)
# Refused as a key of a rule or of what stands in place of a word; ordinary words elsewhere.
_ASKED = (
    *_LOGIC,
    (NEGATION, "absent missing except"),
    (ALTERNATIVES, "one_of one-of in exists"),
    (PRIORITY, "priority pri salience rank weight order"),
    (GUARD, "guard test where given condition"),
    (COMPARISON, "lt gt le ge lte gte eq ne neq less greater above below between"),
    (ARITHMETIC, "add sub mul div plus minus times sum"),
    (REGEX, "regex regexp re matches imatches pattern like"),
)
_UNEQUAL = re.compile(r"!|≠|<>")
_COMPARED = re.compile(r"[<>=!≤≥≠]")
_SUM = re.compile(r"\S\s+[-+*/%×·]\s+\S")
_EXPRESSION = re.compile(r"/.*/[a-z]*|\^.*|.*\$|.*(\.\*|\.\+|\\[dws]).*|~.*", re.DOTALL)


def name(text: str) -> Refusal | None:
    """The name of a pattern or of a key in it that asks for something not offered."""
    return COMPARISON if _COMPARED.search(text) else _look_up(text, _LOGIC)


def key(text: str) -> Refusal | None:
    """A key, of a rule or in place of a word, that asks for something not offered."""
    return COMPARISON if _COMPARED.search(text) else _look_up(text, _ASKED)


def value(node: Node) -> Refusal | None:
    """A value of a pattern that asks for something not offered; None for a plain word."""
    if isinstance(node, Word):
        text = node.text.strip()
        if text.startswith("$"):
            return JOIN
        if _UNEQUAL.match(text):
            return NEGATION
        if _COMPARED.match(text):
            return COMPARISON
        if _EXPRESSION.fullmatch(text):
            return REGEX
        return ARITHMETIC if _SUM.search(text) else None
    if isinstance(node, Listing):
        return ALTERNATIVES
    return next((found for word, _ in node.rows if (found := key(word.text))), NESTED)


def _look_up(text: str, table: tuple[tuple[Refusal, str], ...]) -> Refusal | None:
    bare = text.lower().strip("$")
    return next((refusal for refusal, names in table if bare in names.split()), None)
