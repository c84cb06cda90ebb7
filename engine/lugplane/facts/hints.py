"""What the schemas themselves say of a value: titles, examples and mends, found along the way.

A property often is a reference to a shared piece with a title of its own beside it; so the words
are looked for from the outermost schema that speaks of the value to the innermost.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from lugplane.facts import show
from lugplane.facts.schema_files import Node

Lookup = Callable[[str], Any]

_DEEPER: Final = frozenset(
    {"properties", "patternProperties", "additionalProperties", "unevaluatedProperties"}
    | {"items", "prefixItems", "propertyNames"}
)
_TYPE_WORDS: Final = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "object": "a mapping",
    "array": "a list",
    "null": "nothing",
}


@dataclass(frozen=True, slots=True)
class Hints:
    """The words of the schemas that speak of one value, outermost first.

    `around`: those that speak of the list it is an entry of, for want of words of its own.
    `because`: the condition under which they hold, where there is one.
    """

    nodes: tuple[Node, ...]
    because: str = ""
    around: tuple[Node, ...] = ()

    @property
    def title(self) -> str:
        """What the value is called, or ""."""
        return str(
            _first(self.nodes, "title")
            or _first(self.nodes, "description")
            or _first(self.around, "title")
            or ""
        )

    @property
    def mend(self) -> str:
        """How the schema would mend it, or ""."""
        return str(_first(self.nodes, "x-mend") or "")

    @property
    def such_as(self) -> str:
        """`, such as ...` with the examples, or ""."""
        examples = _first(self.nodes, "examples") or [
            each for each in _first(self.around, "examples") or [] if not isinstance(each, list)
        ]
        if not examples:
            return ""
        return ", such as " + show.either([f"`{show.word(each)}`" for each in examples[:3]])


def trail(root: Node, path: Sequence[str | int], target: object, lookup: Lookup) -> Hints:
    """The schemas between `root` and `target`, reached by `path`, that speak of the same value.

    `path` is a validator's schema path without the failing keyword; it leaves out references,
    so where a reference and its neighbours could both lead on, both are tried.
    """
    found = _walk(root, tuple(path), target, lookup, ())
    if found is None:
        return Hints((target,) if isinstance(target, dict) else ())
    steps = [index for index, (_, deeper) in enumerate(found) if deeper]
    since = steps[-1] if steps else 0
    within = found[steps[-2] if len(steps) > 1 else 0 : since]
    entry = any(found[since][0] in _entries_of(node) for node, _ in within)
    because = [
        _condition(node, found[index + 1][0])
        for index, (node, _) in enumerate(found[:-1])
        if "if" in node
    ]
    return Hints(
        tuple(node for node, _ in found[since:]),
        next((text for text in reversed(because) if text), ""),
        tuple(node for node, _ in within) if entry else (),
    )


def wanted_types(node: object, lookup: Lookup) -> frozenset[str]:
    """The types that a schema takes; empty: any."""
    if not isinstance(node, dict):
        return frozenset()
    if "type" in node:
        types = node["type"]
        return frozenset([types] if isinstance(types, str) else types)
    if "const" in node or "enum" in node:
        return frozenset(type_of(each) for each in node.get("enum", [node.get("const")]))
    if "anyOf" in node:
        return frozenset().union(*(wanted_types(part, lookup) for part in node["anyOf"]))
    return wanted_types(lookup(node["$ref"]), lookup) if "$ref" in node else frozenset()


def type_words(types: frozenset[str]) -> str:
    """`text, a number or a list`, in an order of its own."""
    return show.either([words for name, words in _TYPE_WORDS.items() if name in types])


def describe(node: object, lookup: Lookup) -> str:
    """What a schema takes, in a few words."""
    if not isinstance(node, dict):
        return "anything"
    if "const" in node or "enum" in node:
        words = node.get("enum", [node.get("const")])
        return show.either([f"`{show.word(each)}`" for each in words])
    chain = [node]
    while "$ref" in chain[-1]:
        chain.append(lookup(chain[-1]["$ref"]))
    hints = Hints(tuple(chain))
    return (hints.title or type_words(wanted_types(node, lookup)) or "another form") + hints.such_as


def _first(nodes: Sequence[Node], keyword: str) -> Any:
    return next((node[keyword] for node in nodes if keyword in node), None)


def _entries_of(node: Node) -> list[Any]:
    return [node.get("items"), *node.get("prefixItems", ())]


def _walk(
    node: Any,
    path: tuple[str | int, ...],
    target: object,
    lookup: Lookup,
    passed: tuple[tuple[Node, bool], ...],
    deeper: bool = False,
) -> tuple[tuple[Node, bool], ...] | None:
    if not isinstance(node, dict):
        return None
    passed = (*passed, (node, deeper))
    if not path and node is target:
        return passed
    if path and path[0] in node:
        keyword, rest = str(path[0]), path[1:]
        part = node[keyword]
        # A named or numbered part takes one more step of the path.
        if keyword in ("properties", "patternProperties", "$defs") or isinstance(part, list):
            part, rest = (part[rest[0]], rest[1:]) if rest else (None, rest)
        found = _walk(part, rest, target, lookup, passed, keyword in _DEEPER)
        if found is not None:
            return found
    if "$ref" in node:
        return _walk(lookup(node["$ref"]), path, target, lookup, passed)
    return None


def _condition(node: Node, taken: Node) -> str:
    """`body is fixed`, for the simple conditions; "" for others."""
    branch = next((word for word in ("then", "else") if node.get(word) is taken), None)
    asked = node["if"].get("properties", {}) if isinstance(node["if"], dict) else {}
    if branch is None or len(asked) != 1:
        return ""
    ((key, part),) = asked.items()
    if not isinstance(part, dict) or not ("const" in part or "enum" in part):
        return ""
    words = show.either([show.word(each) for each in part.get("enum", [part.get("const")])])
    return f"{key} is {'' if branch == 'then' else 'not '}{words}"


def type_of(constant: object) -> str:
    """The JSON Schema type of a value."""
    match constant:
        case bool():
            return "boolean"
        case int() | float():
            return "number"
        case str():
            return "string"
        case dict():
            return "object"
        case list():
            return "array"
    return "null"
