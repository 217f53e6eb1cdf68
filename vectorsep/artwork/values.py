"""How the values of properties are computed, one by one (CSS Cascade 4, chapter 4)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from vectorsep.artwork.fonts import SIZES
from vectorsep.artwork.lengths import (
    NORMAL_LINE_HEIGHT,
    Frame,
    parse_font_size,
    parse_length,
    parse_number,
    parse_share,
)
from vectorsep.artwork.properties import CSS_WIDE, INHERITED, KEYWORDS, OPACITIES, PROPERTIES
from vectorsep.artwork.style import Style
from vectorsep.artwork.sums import is_sum, words_of

_FONT_RELATIVE = ("em", "ex", "ch", "ic", "cap", "lh", "rem", "rex", "rlh")


def resolved(name: str, text: str, parent: Style, frame: Frame) -> str | None:
    """The value to keep, or None where the declaration has no effect."""
    word = text.lower()
    if word == "inherit" or (word in ("unset", "revert") and name in INHERITED):
        return parent[name]
    if word in CSS_WIDE:
        return "visible" if name == "overflow" and word != "revert" else PROPERTIES[name]  # not as browsers start out
    if name in KEYWORDS:
        return word if word in KEYWORDS[name] else None
    if name == "display":
        return word
    special = SPECIAL.get(name)
    return text if special is None else special(text, parent, frame)


def _own_colour(text: str, parent: Style, _: Frame) -> str | None:
    return parent["color"] if text.lower() == "currentcolor" else text


def _share(text: str, _: Style, __: Frame) -> str | None:
    return text if parse_share(text) is not None else None


def _absolute_font_size(_: str, __: Style, frame: Frame) -> str | None:
    return f"{frame.font_size!r}px"


def _fixed_line_height(text: str, _: Style, frame: Frame) -> str | None:
    """A factor is inherited as such, a length as computed (CSS Inline 3, 4.1)."""
    return text if text.lower() == "normal" or parse_number(text) is not None else f"{frame.line_height!r}px"


def _fixed_length(text: str, _: Style, frame: Frame) -> str | None:
    """A length that is inherited as computed, so that lengths in font units are made absolute."""
    length = parse_length(text, frame, "diagonal")
    if length is None:
        return None
    return f"{length!r}px" if _is_relative(text) else text


def _is_relative(text: str) -> bool:
    """Whether a length goes by the font, or may."""
    return text.lower().endswith(_FONT_RELATIVE) or is_sum(text)


def _fixed_width(text: str, parent: Style, frame: Frame) -> str | None:
    length = parse_length(text, frame, "diagonal")
    if length is not None and length < 0 and is_sum(text):
        return "0"  # what a sum comes to is brought into the range allowed (CSS Values 4, 10.12)
    return None if length is None or length < 0 else _fixed_length(text, parent, frame)


def _miter_limit(text: str, _: Style, __: Frame) -> str | None:
    """Below 1 every corner is cut, as programs agree, though SVG 2, 13.5.5, knows no such limit; below 0 none is given,
    but for a sum, which is brought into the range allowed (CSS Values 4, 10.12)."""
    limit = parse_number(text)
    if limit is not None and limit < 0:
        return "0" if is_sum(text) else None
    return None if limit is None else text


def _fixed_dashes(text: str, _: Style, frame: Frame) -> str | None:
    """A dash list with its font-relative lengths made absolute, since it is inherited as computed."""
    fixed = []
    for word in words_of(text, commas=True):
        length = parse_length(word, frame, "diagonal")
        fixed.append(f"{length!r}px" if length is not None and _is_relative(word) else word)
    return " ".join(fixed)


SPECIAL: dict[str, Callable[[str, Style, Frame], str | None]] = {
    **dict.fromkeys(OPACITIES, _share),
    "color": _own_colour,
    "font-size": _absolute_font_size,
    "line-height": _fixed_line_height,
    "stroke-dasharray": _fixed_dashes,
    "stroke-dashoffset": _fixed_length,
    "stroke-miterlimit": _miter_limit,
    "stroke-width": _fixed_width,
}
"""How the values of some properties are judged and computed; None where the value counts as not declared."""


def with_fonts(declared: Mapping[str, str], parent: Style, frame: Frame) -> Frame:
    """The frame of lengths of an element, by the font size and line height declared there."""
    if declared.keys().isdisjoint(("font-size", "line-height")):
        return frame
    size = font_size(declared.get("font-size", "inherit").strip().lower(), frame)
    frame = frame if size is None else replace(frame, font_size=size)
    line_height = declared.get("line-height", "inherit").strip().lower()
    if line_height in CSS_WIDE:
        line_height = INHERITED["line-height"] if line_height == "initial" else parent["line-height"]
    if line_height == "normal":
        return replace(frame, line_height=frame.font_size * NORMAL_LINE_HEIGHT)
    factor = parse_number(line_height)
    length = frame.font_size * factor if factor is not None else parse_font_size(line_height, frame)
    return frame if length is None else replace(frame, line_height=length)


def font_size(word: str, frame: Frame) -> float | None:
    """The size that a word asks for; None for one that leaves it as it is around."""
    word = INHERITED["font-size"] if word == "initial" else word
    if word in SIZES:
        return SIZES[word]
    if word in ("larger", "smaller"):
        return frame.font_size * (1.2 if word == "larger" else 1 / 1.2)
    return parse_font_size(word, frame)
