"""Conditions of `@supports` (CSS Conditional Rules 3, chapter 6).

A browser knows more than this reader does. So a condition is met by what every program that draws SVG 2 must know, and
for the rest no answer is given: none is ever taken to be unknown to browsers.
"""

from __future__ import annotations

from collections.abc import Sequence

import tinycss2
from tinycss2.ast import Node, ParenthesesBlock

from vectorsep.artwork.css_colours import is_colour
from vectorsep.artwork.lengths import Frame, parse_length, parse_number, parse_share
from vectorsep.artwork.properties import (
    COLOURS,
    CSS_WIDE,
    GEOMETRY,
    KEYWORDS,
    LENGTHS,
    NEVER_NEGATIVE,
    OPACITIES,
    PAINTS,
)
from vectorsep.artwork.urls import parse_reference
from vectorsep.artwork.variables import is_custom

_KEYWORDS = KEYWORDS | {
    "stroke-linejoin": frozenset({"miter", "round", "bevel"}),
    "display": frozenset({"block", "flex", "grid", "inline", "inline-block", "none"}),
}
_FRAME = Frame(1.0, 1.0)


def is_supported(condition: Sequence[Node]) -> bool | None:
    """Whether the condition holds in every browser; None where that is not known."""
    words = [node for node in condition if node.type not in ("whitespace", "comment")]
    if len(words) == 1:
        return _in_brackets(words[0])
    if len(words) == 2 and _is_word(words[0], "not"):
        answer = _in_brackets(words[1])
        return None if answer is None else not answer
    for joiner, decisive in (("and", False), ("or", True)):
        if len(words) % 2 and all(_is_word(word, joiner) for word in words[1::2]):
            answers = [_in_brackets(word) for word in words[::2]]
            return decisive if decisive in answers else None if None in answers else not decisive
    return None


def _is_word(node: Node, word: str) -> bool:
    return bool(node.type == "ident" and node.lower_value == word)


def _in_brackets(node: Node) -> bool | None:
    if not isinstance(node, ParenthesesBlock):
        return None
    declaration = tinycss2.parse_one_declaration(node.content, skip_comments=True)
    if declaration.type != "declaration":
        return is_supported(node.content)
    return _knows(declaration.name, tinycss2.serialize(declaration.value).strip()) or None


def _knows(name: str, value: str) -> bool:
    """Whether this is a declaration that every browser takes."""
    if is_custom(name):
        return True
    name, word = name.lower(), value.lower()
    if name in COLOURS:
        reference = parse_reference(value)
        fallback = "" if reference is None else reference.fallback
        is_paint = name in PAINTS and (word == "none" or (reference is not None and fallback in ("", "none")))
        return is_paint or word in CSS_WIDE or is_colour(value)
    if name in LENGTHS:
        length = parse_length(value, _FRAME, "x")
        lacks_unit = name in GEOMETRY and parse_number(value) not in (None, 0)
        return length is not None and not lacks_unit and (length >= 0 or name not in NEVER_NEGATIVE)
    if name in OPACITIES:
        return parse_share(value) is not None
    return word in _KEYWORDS.get(name, ())
