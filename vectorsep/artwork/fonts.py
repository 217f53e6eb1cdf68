"""The property `font`, which sets all that tells of a font at once (CSS Fonts 4, 2.7)."""

from __future__ import annotations

import tinycss2
from tinycss2.ast import Node

from vectorsep.artwork.lengths import Frame, parse_font_size, parse_length, parse_number
from vectorsep.artwork.properties import CSS_WIDE

SIZES = {
    "xx-small": 9.6, "x-small": 12.0, "small": 14.2, "medium": 16.0, "large": 19.2, "x-large": 24.0, "xx-large": 32.0,
    "xxx-large": 48.0,
}  # fmt: skip
"""Absolute size keywords at a 16 px medium (CSS Fonts 4, 2.5: ratios 3/5, 3/4, 8/9, 1, 6/5, 3/2, 2, 3)."""
_ASIDE = {
    "font-style": frozenset({"italic", "oblique"}),
    "font-variant": frozenset({"small-caps"}),
    "font-weight": frozenset({"bold", "bolder", "lighter"}),
    "font-stretch": frozenset(
        {"ultra-condensed", "extra-condensed", "condensed", "semi-condensed", "semi-expanded", "expanded"}
        | {"extra-expanded", "ultra-expanded"}
    ),
}
"""What may stand before the size, in any order, and its keywords."""
_RESET = (
    "font-feature-settings", "font-kerning", "font-variant-alternates", "font-variant-caps", "font-variant-east-asian",
    "font-variant-ligatures", "font-variant-numeric", "font-variant-position", "font-variation-settings",
)  # fmt: skip
"""What it takes back besides, each to `normal`."""
_FRAME = Frame(1.0, 1.0)


def font_longhands(value: str) -> dict[str, str]:
    """All that a `font` sets. One that cannot be read sets itself alone, for text to be refused by.

    A value in error is passed over otherwise, as browsers do.
    """
    word = value.lower()
    if word in CSS_WIDE:
        return dict.fromkeys(
            ("font", *_ASIDE, *_RESET, "font-size", "font-size-adjust", "line-height", "font-family"), word
        )
    nodes = [
        node for node in tinycss2.parse_component_value_list(value, skip_comments=True) if node.type != "whitespace"
    ]
    aside = _taken_aside(nodes)
    size = tinycss2.serialize(nodes[:1])
    if aside is None or not _is_size(size):
        return {"font": value}
    rest, line_height = nodes[1:], "normal"
    if rest and rest[0] == "/":
        rest, line_height = rest[2:], tinycss2.serialize(rest[1:2])
    family = _family(rest)
    if family is None or not _is_line_height(line_height):
        return {"font": value}
    usual = dict.fromkeys((*_ASIDE, *_RESET), "normal") | {"font-size-adjust": "none"}
    return usual | aside | {"font-size": size, "line-height": line_height, "font-family": family, "font": ""}


def _taken_aside(nodes: list[Node]) -> dict[str, str] | None:
    """What stands before the size, taken out of the nodes; None where something is said twice."""
    found: dict[str, str] = {}
    spare = len(_ASIDE)
    while nodes and (name := _aside_name(nodes[0])) is not None:
        word = tinycss2.serialize(nodes[:1])
        del nodes[0]
        spare -= 1
        if name in found or spare < 0:
            return None
        if name:
            found[name] = word
    return found


def _aside_name(node: Node) -> str | None:
    """The property that a word before the size is for; empty for `normal`, which any of them may be."""
    if node.type == "number":
        return "font-weight" if 1 <= node.value <= 1000 else None
    if node.type != "ident":
        return None
    word = node.lower_value
    return "" if word == "normal" else next((name for name, words in _ASIDE.items() if word in words), None)


def _is_size(text: str) -> bool:
    size = parse_font_size(text, _FRAME)
    is_length = size is not None and size >= 0 and parse_number(text) is None
    return is_length or text.lower() in SIZES or text.lower() in ("larger", "smaller")


def _is_line_height(text: str) -> bool:
    return text.lower() == "normal" or parse_number(text) is not None or parse_length(text, _FRAME, "y") is not None


def _family(nodes: list[Node]) -> str | None:
    """The list of families, each a string or words; None where it is no such list."""
    names: list[list[Node]] = [[]]
    for node in nodes:
        if node == ",":
            names.append([])
        else:
            names[-1].append(node)
    for name in names:
        is_string = len(name) == 1 and name[0].type == "string"
        are_words = bool(name) and all(node.type == "ident" and node.lower_value not in CSS_WIDE for node in name)
        if not (is_string or are_words):
            return None
    return ", ".join(" ".join(str(node.value) for node in name) for name in names)
