"""Custom properties and `var()`: values that a drawing names once and uses in many places (CSS Variables 1).

A value that names what nobody gave is left as it was written, and so refused where it is used: a browser would paint
something else in its place, and the art's own colour is most likely in the web page that it was copied from.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypeAlias

import tinycss2
from tinycss2.ast import FunctionBlock, Node

from vectorsep.artwork.properties import CSS_WIDE

MAX_VALUE = 1000
"""Characters of a value with all that it names. A few that name each other twice would grow without end (CSS
Variables 1, 3.3)."""
MAX_BRACKETS = 60
"""Brackets within brackets, in a style as in a value; none needs ten, and each takes a piece of the parser's stack."""
MAX_CHAIN = 30
"""Values that name each other in a row, for the same reason."""

Variables: TypeAlias = Mapping[str, str]
"""The custom properties that hold on an element, and their values with all that they name put in."""


def is_custom(name: str) -> bool:
    """Whether a property is one that the drawing made up; two dashes alone are none (CSS Variables 1, chapter 2)."""
    return name.startswith("--") and name != "--"


def substituted(declared: Mapping[str, str], around: Variables) -> tuple[Mapping[str, str], Variables]:
    """The declarations of an element with the values of all variables put in, its custom properties apart; and the
    custom properties that hold there, where `around` hold on its parent (CSS Variables 1, chapter 3)."""
    if not any(is_custom(name) or names_any(value) for name, value in declared.items()):
        return declared, around
    values = _Values(declared, around)
    own = {name: values.of(name) for name in declared if is_custom(name)}
    holding = {name: value for name, value in {**around, **own}.items() if value is not None}
    return {name: values.put_in(text) for name, text in declared.items() if not is_custom(name)}, holding


def names_any(text: str) -> bool:
    """Whether a value may hold a `var()`."""
    return "(" in text and "var(" in text.lower()  # path data is long, and has no bracket


class _Unreadable(Exception):
    """A value that no drawing needs, or none at all to a browser: what that takes in its place stood elsewhere."""


class _Values:
    """The custom properties of one element; each is worked out when it is first named."""

    def __init__(self, declared: Mapping[str, str], around: Variables) -> None:
        self._declared = declared
        self._around = around
        self._known: dict[str, str | None] = {}
        self._open: list[str] = []
        self._circular: set[str] = set()

    def put_in(self, text: str) -> str:
        """A value with all that it names; as it stands where some of that has no value or is unreadable."""
        try:
            return self._within(text) or text
        except _Unreadable:
            return text

    def of(self, name: str) -> str | None:
        """The value of a custom property, or None where it has none: not given, taken back, or by way of itself."""
        try:
            return self._value(name)
        except _Unreadable:
            return self._declared[name]  # with its `var()`, which is refused where it is used

    def _value(self, name: str) -> str | None:
        if name in self._open:
            self._circular.update(self._open[self._open.index(name) :])
            return None
        if name not in self._known:
            if len(self._open) == MAX_CHAIN:
                raise _Unreadable
            self._open.append(name)
            try:
                value = self._given(name)
            finally:
                self._open.pop()
            self._known[name] = None if name in self._circular else value
        return self._known[name]

    def _given(self, name: str) -> str | None:
        value = self._within(self._declared.get(name, "inherit").strip())
        word = value.lower() if value else ""
        if word in CSS_WIDE:  # `var()` may have come down to one, too
            return None if word == "initial" else self._around.get(name)
        return value

    def _within(self, text: str) -> str | None:
        """A value with all that it names put in, or None where some of that has no value."""
        if not names_any(text):
            return text
        if text.count("(") > MAX_BRACKETS:
            raise _Unreadable
        nodes = tinycss2.parse_component_value_list(text)
        if not all(map(_is_sound, nodes)):
            raise _Unreadable
        return self._written(nodes)

    def _written(self, nodes: Iterable[Node]) -> str | None:
        parts: list[str] = []
        for node in nodes:
            part = self._of_function(node) if isinstance(node, FunctionBlock) else node.serialize()
            if part is None:
                return None
            if _is_unit(node) and parts and parts[-1].endswith(" ") and parts[-1].rstrip()[-1:].isdigit():
                raise _Unreadable  # right behind a number from elsewhere: no browser joins the two
            parts.append(part)
        value = "".join(parts)
        if len(value) > MAX_VALUE:
            raise _Unreadable
        return value.strip()

    def _of_function(self, node: FunctionBlock) -> str | None:
        if node.lower_name == "var":
            value = self._named(node.arguments)
            return None if value is None else f" {value} "  # what stands beside it stays a word of its own
        inner = self._written(node.arguments)
        return None if inner is None else f"{node.name}({inner})"

    def _named(self, arguments: list[Node]) -> str | None:
        """What `var()` with these arguments stands for: the name's value, or what is to hold in its place."""
        head, end = _head(arguments)
        value = self._value(head[0].value)
        return value if value is not None or end == len(arguments) else self._written(arguments[end + 1 :])


def _head(arguments: list[Node]) -> tuple[list[Node], int]:
    """What stands before the first comma, without space, and the comma's place."""
    end = next((i for i, node in enumerate(arguments) if node == ","), len(arguments))
    return [node for node in arguments[:end] if node.type not in ("whitespace", "comment")], end


def _is_unit(node: Node) -> bool:
    return bool(node.type == "ident" or node == "%")


def _is_sound(node: Node) -> bool:
    """Whether every `var()` in a piece of a value, in what it holds in place of another too, names one custom
    property (CSS Variables 1, chapter 3). A declaration with any other is none."""
    if isinstance(node, FunctionBlock) and node.lower_name == "var":
        head, _ = _head(node.arguments)
        if not (len(head) == 1 and head[0].type == "ident" and is_custom(head[0].value)):
            return False
    inner = getattr(node, "arguments", None) or getattr(node, "content", None) or ()
    return all(map(_is_sound, inner))
