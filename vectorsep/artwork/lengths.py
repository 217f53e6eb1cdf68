"""Lengths and numbers of SVG attributes, in user units (1 px each)."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from vectorsep.artwork.sums import Quantity, is_sum, summed
from vectorsep.units import MM_PER_UNIT, NUMBER, split_dimension

Axis: TypeAlias = Literal["x", "y", "diagonal"]
RECTANGLE = ("x", "y", "width", "height")
"""The attributes that tell of a rectangle."""

PX_MM = MM_PER_UNIT["px"]
"""A CSS pixel in mm."""
NORMAL_LINE_HEIGHT = 1.2
"""What `line-height: normal` comes to where no font is asked (CSS Inline 3 leaves it to the font, 1.0 to 1.2)."""
CAP_HEIGHT = 0.7
"""Height of capitals over font size where no font is asked; common fonts have 0.66 to 0.73 (from memory)."""

UNREAD_LENGTH = "is no length that is read here: write a number, and px or mm right behind it"

_NUMBERS = re.compile(rf"\s*{NUMBER}(?:(?:\s*,\s*|\s+|(?=[+-.])){NUMBER})*\s*", re.ASCII)
_SPACED = re.compile(rf"\s*+{NUMBER}\s++(?:[a-zA-Z]++|%)\s*+")
_NUMBER_TOKEN = re.compile(NUMBER)
_DOTTED = re.compile(r"\.(?![0-9])")
_MEASURE_LIKE = re.compile(r"\s*+[-+.0-9]|.*[(\\]|.*/\*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Frame:
    """What relative lengths refer to: the viewport's size and the font sizes, all in user units."""

    width: float
    height: float
    font_size: float = 16.0
    root_font_size: float = 16.0
    line_height: float = 16.0 * NORMAL_LINE_HEIGHT
    root_line_height: float = 16.0 * NORMAL_LINE_HEIGHT

    def of_root(self) -> Frame:
        """The same where its font is the outermost element's."""
        return replace(self, root_font_size=self.font_size, root_line_height=self.line_height)

    def within(self, width: float, height: float) -> Frame:
        """The same in a viewport of that size, in user units."""
        return replace(self, width=width, height=height)

    def whole(self, axis: Axis) -> float:
        """What 100 % means along the axis (SVG 2, 8.9)."""
        if axis == "diagonal":
            return math.hypot(self.width, self.height) / math.sqrt(2)
        return self.width if axis == "x" else self.height


SHARES = Frame(1.0, 1.0)
"""What lengths refer to that are told in shares of a box, as percentages or as numbers (SVG 2, 8.11)."""


def axis_of(name: str) -> Axis:
    """The axis that an attribute for a place or size is measured along, by its name: `x`, `rx`, `refX`, `x1`, `width`,
    `markerWidth` and the like; radii of circles go by both (SVG 2, 8.9)."""
    word = name.rstrip("12").lower()
    return "x" if word.endswith(("x", "width")) else "y" if word.endswith(("y", "height")) else "diagonal"


def dimension_of(text: str) -> tuple[float, str] | None:
    """A number and its unit, or None for anything else; a unit stands right behind its number (CSS Syntax 3, 4.3.3)."""
    return None if is_spaced(text) or ends_in_dot(text) else _split(text)


def _split(text: str) -> tuple[float, str] | None:
    """A number and its unit, or None where programs see something else: a no-break space is none to XML and CSS."""
    return split_dimension(text) if text.isascii() else None


def ends_in_dot(text: str) -> bool:
    """Whether a number has a dot with nothing behind it, which is none in CSS and was one in SVG 1.1."""
    return _DOTTED.search(text) is not None


def is_measure_like(text: str) -> bool:
    """Whether a text may be a number or length to some program, in whatever unit or by whatever function."""
    return _MEASURE_LIKE.match(text) is not None


def is_unread(text: str | None) -> bool:
    """Whether a text that may be a length to some program is none here."""
    return text is not None and is_measure_like(text) and parse_length(text, SHARES, "x") is None


def is_spaced(text: str) -> bool:
    """Whether a number and its unit stand apart, which is a length to people alone."""
    return _SPACED.fullmatch(text) is not None


def parse_number(text: str) -> float | None:
    """One finite number and nothing else, or None."""
    if is_sum(text):
        quantity = summed(text, lambda number, unit: None)
        return None if quantity is None else quantity.value
    dimension = _split(text)
    return None if dimension is None or dimension[1] else _finite(dimension[0])


def parse_share(text: str) -> float | None:
    """A number or percentage such as an opacity, clamped to 0..1, or None."""
    if is_sum(text):
        quantity = summed(text, lambda number, unit: Quantity(number / 100, "share") if unit == "%" else None)
        share = math.nan if quantity is None else quantity.value
    else:
        number, unit = dimension_of(text) or (math.nan, "")
        share = number / 100 if unit == "%" else math.nan if unit else number
    return min(1.0, max(0.0, share)) if math.isfinite(share) else None


def parse_length(text: str, frame: Frame, axis: Axis) -> float | None:
    """A length in user units, or None where the text is no length."""
    return _length(text, frame, frame.whole(axis))


def length_or_none(text: str, frame: Frame, axis: Axis) -> float | None:
    """The same of a property, None for `auto` too."""
    return None if text == "auto" else parse_length(text, frame, axis)


def parse_font_size(text: str, frame: Frame) -> float | None:
    """The same of a font's size, whose percentages refer to the size around it (CSS Fonts 4, 2.5)."""
    return _length(text, frame, frame.font_size)


def _length(text: str, frame: Frame, whole: float) -> float | None:
    if is_sum(text):
        quantity = summed(text, lambda number, unit: _as_length(_in_user_units(number, unit, frame, whole)))
        return None if quantity is None else quantity.value
    dimension = dimension_of(text)
    return None if dimension is None else _in_user_units(dimension[0], dimension[1] or "px", frame, whole)


def _as_length(length: float | None) -> Quantity | None:
    return None if length is None else Quantity(length, "length")


def _in_user_units(number: float, unit: str, frame: Frame, whole: float) -> float | None:
    if unit == "%":
        return _finite(number / 100 * whole)
    if unit in MM_PER_UNIT:
        return _finite(number if unit == "px" else number * MM_PER_UNIT[unit] / PX_MM)
    relative = {
        "em": frame.font_size,
        "ex": frame.font_size / 2,
        "ch": frame.font_size / 2,
        "ic": frame.font_size,
        "cap": frame.font_size * CAP_HEIGHT,
        "lh": frame.line_height,
        "rem": frame.root_font_size,
        "rex": frame.root_font_size / 2,
        "rlh": frame.root_line_height,
    }
    return _finite(number * relative[unit]) if unit in relative else None


def parse_numbers(text: str) -> list[float] | None:
    """A list of finite numbers parted by spaces or commas, or None where it is something else."""
    if not text.strip():
        return []
    if not _NUMBERS.fullmatch(text):
        return None
    numbers = [float(token) for token in _NUMBER_TOKEN.findall(text)]
    return numbers if all(map(math.isfinite, numbers)) else None


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None
