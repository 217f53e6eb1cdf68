"""Sums that CSS computes: `calc()`, `min()`, `max()` and `clamp()` (CSS Values 4, chapter 10)."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import tinycss2
from tinycss2.ast import FunctionBlock, Node, ParenthesesBlock

MAX_LENGTH = 1000
"""Characters of a sum; none needs a hundred."""
MAX_BRACKETS = 30
"""Brackets in it, each of which takes a piece of the stack."""
_LOOSE_COMMA = re.compile(r"^\s*,|,\s*(?:,|$)")
_SUM = re.compile(r"\s*+(?:calc|min|max|clamp)\(", re.IGNORECASE)

Kind: TypeAlias = Literal["number", "length", "share"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number and what it counts; kinds do not mix (CSS Values 4, 10.9)."""

    value: float
    kind: Kind = "number"


Unit: TypeAlias = Callable[[float, str], Quantity | None]
"""What a number with a unit in lower case, `%` among them, comes to; None for one that is not known."""


class _Unreadable(Exception):
    """No sum, or one of things that do not add up."""


def is_sum(text: str) -> bool:
    """Whether a value is to be computed."""
    return "(" in text and _SUM.match(text) is not None


def summed(text: str, unit: Unit) -> Quantity | None:
    """What a sum comes to, or None where it cannot be read or is not finite."""
    if len(text) > MAX_LENGTH or text.count("(") > MAX_BRACKETS:
        return None
    nodes = [node for node in tinycss2.parse_component_value_list(text, skip_comments=True) if not _is_space(node)]
    try:
        quantity = _value(nodes[0], unit) if len(nodes) == 1 else None
    except (_Unreadable, OverflowError, ZeroDivisionError):
        return None
    return quantity if quantity is not None and math.isfinite(quantity.value) else None


def words_of(text: str, *, commas: bool = False) -> list[str]:
    """The words of a list parted by spaces, or by commas as well; a sum is one word.

    A comma with nothing beside it makes the whole one word, which is none of any list.
    """
    if commas and _LOOSE_COMMA.search(text):
        return [text]
    depth, parted = 0, []
    for character in text:
        depth += (character == "(") - (character == ")")
        parts = depth == 0 and (character.isspace() or (commas and character == ","))
        parted.append("\0" if parts else character)
    return [word for word in "".join(parted).split("\0") if word]


def _is_space(node: Node) -> bool:
    return bool(node.type in ("whitespace", "comment"))


def _value(node: Node, unit: Unit) -> Quantity:
    quantity: Quantity | None = None
    if node.type == "number":
        quantity = Quantity(node.value)
    elif node.type == "percentage":
        quantity = unit(node.value, "%")
    elif node.type == "dimension":
        quantity = unit(node.value, node.lower_unit)
    elif isinstance(node, ParenthesesBlock):
        quantity = _sum(node.content, unit)
    elif isinstance(node, FunctionBlock):
        quantity = _function(node, unit)
    if quantity is None:
        raise _Unreadable
    return quantity


def _function(node: FunctionBlock, unit: Unit) -> Quantity:
    terms = [_sum(part, unit) for part, _ in _parted(node.arguments, ",")]
    kind, values = _common_kind(terms), [term.value for term in terms]
    if node.lower_name == "calc" and len(values) == 1:
        return terms[0]
    if node.lower_name in ("min", "max"):
        return Quantity(min(values) if node.lower_name == "min" else max(values), kind)
    if node.lower_name == "clamp" and len(values) == 3:
        least, wanted, most = values
        return Quantity(max(least, min(wanted, most)), kind)
    raise _Unreadable


def _sum(nodes: Sequence[Node], unit: Unit) -> Quantity:
    """Products added up. Signs stand between spaces, or they are part of a number."""
    terms = []
    for part, sign in _parted(nodes, "+-"):
        product = _product(part, unit)
        terms.append(Quantity(-product.value, product.kind) if sign == "-" else product)
    return Quantity(sum(term.value for term in terms), _common_kind(terms))


def _product(nodes: Sequence[Node], unit: Unit) -> Quantity:
    factors = _parted([node for node in nodes if not _is_space(node)], "*/")
    total = Quantity(1.0)
    for part, sign in factors:
        if len(part) != 1:
            raise _Unreadable
        factor = _value(part[0], unit)
        if factor.kind != "number" and (sign == "/" or total.kind != "number"):
            raise _Unreadable
        value = total.value / factor.value if sign == "/" else total.value * factor.value
        total = Quantity(value, total.kind if factor.kind == "number" else factor.kind)
    return total


def _parted(nodes: Sequence[Node], signs: str) -> Iterator[tuple[list[Node], str]]:
    """What stands between these signs, and the sign before each."""
    part: list[Node] = []
    before = ""
    for i, node in enumerate(nodes):
        if node.type == "literal" and node.value in signs:
            if signs == "+-" and not (0 < i < len(nodes) - 1 and _is_space(nodes[i - 1]) and _is_space(nodes[i + 1])):
                raise _Unreadable
            yield part, before
            part, before = [], node.value
        else:
            part.append(node)
    yield part, before


def _common_kind(terms: Sequence[Quantity]) -> Kind:
    kinds = {term.kind for term in terms}
    if len(kinds) != 1:
        raise _Unreadable
    return kinds.pop()
