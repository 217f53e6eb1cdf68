"""Values that mean something to programs and cannot be read here: they are refused, never passed over in silence."""

from __future__ import annotations

import re
from collections.abc import Mapping

from vectorsep.artwork.document import XLINK_HREF, Element, local_name
from vectorsep.artwork.lengths import (
    UNREAD_LENGTH,
    Frame,
    dimension_of,
    ends_in_dot,
    is_measure_like,
    is_spaced,
    parse_length,
    parse_number,
)
from vectorsep.artwork.properties import CSS_WIDE, GEOMETRY, KEYWORDS, LENGTHS, OPACITIES, REVERT_LAYER
from vectorsep.artwork.style import Style
from vectorsep.artwork.sums import is_sum
from vectorsep.artwork.validity import without_comments
from vectorsep.artwork.values import SPECIAL, font_size, resolved

_SUBSTITUTED = re.compile(r"\b(?:var|env|attr)\(", re.IGNORECASE)
"""Functions that stand for what nobody gave."""
_FORGIVING = frozenset({"display", *KEYWORDS, *SPECIAL}) - {"color", "line-height", "stroke-dasharray"}
"""Properties whose unreadable values count as not declared; those of all others are judged where they are used."""
_SIDES = frozenset({"width", "height"})
_LENGTHS = LENGTHS | {"font-size"}
_BY_ATTRIBUTE_ALONE = {"svg": GEOMETRY, "symbol": GEOMETRY, "use": _SIDES}
"""What browsers take from the element's own attributes and not from its style."""
_NUMBERS = OPACITIES | {"stroke-miterlimit"}
_LINES = frozenset({"auto", "dashed", "dotted", "double", "groove", "inset", "outset", "ridge", "solid"})
"""Styles of an outline that draw one."""
_PLAIN_ONLY: dict[str, tuple[str, str]] = {
    "content-visibility": ("visible", "is not read: use `display`"),
    **dict.fromkeys(
        ("overflow-x", "overflow-y", "overflow-inline", "overflow-block"), ("", "is not read: write it as `overflow`")
    ),
}
"""Properties that only browsers of today know, what of them changes nothing, and why the rest is refused."""

_FOREIGN_SPACE = re.compile(r"[^\S \t\n\r\f]")
"""A space that is none to XML or CSS (XML 1.0, 2.3; CSS Syntax 3, 4.2), such as a no-break space."""
_WITH_SPACES = ("d", "points", "transform", "viewBox", "preserveAspectRatio", "href", XLINK_HREF)
"""Attributes in which spaces count, beside those of properties."""


def foreign_space(element: Element, declared: Mapping[str, str]) -> str | None:
    """Why programs read a value of the element otherwise than people, who take every space for one."""
    given = ((name, element.get(name, "")) for name in _WITH_SPACES)
    for name, text in (*given, *declared.items()):
        if not text.isascii() and not name.startswith("font") and _FOREIGN_SPACE.search(text):
            return f"its {name} {text[:40]!r} holds a space that programs take for none: type a plain one"
    return None


def unread(values: Mapping[str, str], declared: Mapping[str, str], parent: Style, frame: Frame) -> str | None:
    """What is wrong with the first of these values that would be passed over though it means something.

    `declared` are the same as written, before the values of variables were put in.
    """
    for name, text in values.items():
        reason = _unread(name, text, parent, frame)
        if reason is not None:
            return f"its {name.removesuffix('-style')} {text[:40]!r} {reason}"
        if name == "font" and _SUBSTITUTED.search(declared["font"]) and text.lower() not in CSS_WIDE:
            return f"its {name} {text[:40]!r} hangs on a variable: write it out"
    return None


def _unread(name: str, text: str, parent: Style, frame: Frame) -> str | None:
    if text.lower() == REVERT_LAYER:
        return "is not read: write its value"
    if "(" in text and name in _FORGIVING and not _is_computed(name, text, parent, frame):
        return "is not computed: write its value"
    if name in _LENGTHS:
        return _unread_length(name, text, frame)
    if name in _NUMBERS and ends_in_dot(text):
        return "ends in a dot, and programs pass it over: write digits behind it"
    return _unread_words(name, text.strip().lower())


def _unread_length(name: str, text: str, frame: Frame) -> str | None:
    if name in _SIDES and is_sum(text) and parse_number(text) is not None:
        return "has no unit, and is passed over in a style: write its value"
    if is_spaced(text):
        return "is no length with a space before the unit, and programs pass it over: close it up"
    word = text.strip().lower()
    length = font_size(word, frame) if name == "font-size" else parse_length(word, frame, "diagonal")
    return UNREAD_LENGTH if is_measure_like(text) and length is None else None


def _unread_words(name: str, word: str) -> str | None:
    if name == "display" and word == "contents":
        return "takes away what it stands on: ungroup it"
    if name == "overflow" and (" " in word or word == "inherit"):
        return "is not read: write one word"
    if name == "outline-style" and not _LINES.isdisjoint(word.split()):
        return "draws an outline, which is not read: use a stroke"
    plain, reason = _PLAIN_ONLY.get(name, (word, ""))
    return reason if word != plain and word not in CSS_WIDE else None


def _is_computed(name: str, text: str, parent: Style, frame: Frame) -> bool:
    """Whether a value with brackets is a sum that can be computed."""
    if name == "font-size":
        return font_size(text.strip().lower(), frame) is not None
    return name in SPECIAL and not _SUBSTITUTED.search(text) and resolved(name, text.strip(), parent, frame) is not None


def uneven_size(element: Element, declared: Mapping[str, str], style: Style) -> str | None:
    """Why programs differ on a size or place that a style gives the element and not its own attribute."""
    for name in GEOMETRY.intersection(declared):
        text = style[name]
        if text == "auto" or declared[name].strip().lower() in CSS_WIDE:
            continue
        if text == without_comments(name, element.get(name, "")).strip():
            continue
        if name in _BY_ATTRIBUTE_ALONE.get(local_name(element) or "", ()):
            return f"its {name} is given by a style, which browsers pass over there: write it as an attribute"
        if (dimension_of(text) or (0.0, "px"))[1] == "" and parse_number(text) != 0:
            return f"its {name} {text!r} has no unit, and is passed over in a style: write px behind it"
    return None
