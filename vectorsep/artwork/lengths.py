"""Lengths and numbers of SVG attributes, in user units (1 px each)."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

from vectorsep.units import MM_PER_INCH, MM_PER_UNIT

Axis: TypeAlias = Literal["x", "y", "diagonal"]

PX_PER_MM = 96 / MM_PER_INCH
NORMAL_LINE_HEIGHT = 1.2
"""What `line-height: normal` comes to where no font is asked (CSS Inline 3 leaves it to the font, 1.0 to 1.2)."""
CAP_HEIGHT = 0.7
"""Height of capitals over font size where no font is asked; common fonts have 0.66 to 0.73 (from memory)."""

_NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_LENGTH = re.compile(rf"\s*+({_NUMBER})\s*+([a-zA-Z]++|%)?\s*+")
_NUMBERS = re.compile(rf"\s*{_NUMBER}(?:(?:\s*,\s*|\s+|(?=[+-.])){_NUMBER})*\s*")
_NUMBER_TOKEN = re.compile(_NUMBER)


@dataclass(frozen=True, slots=True)
class Frame:
    """What relative lengths refer to: the viewport's size and the font sizes, all in user units."""

    width: float
    height: float
    font_size: float = 16.0
    root_font_size: float = 16.0
    line_height: float = 16.0 * NORMAL_LINE_HEIGHT
    root_line_height: float = 16.0 * NORMAL_LINE_HEIGHT

    def whole(self, axis: Axis) -> float:
        """What 100 % means along the axis (SVG 2, 8.9)."""
        if axis == "diagonal":
            return math.hypot(self.width, self.height) / math.sqrt(2)
        return self.width if axis == "x" else self.height


def parse_number(text: str) -> float | None:
    """One finite number and nothing else, or None."""
    match = _LENGTH.fullmatch(text)
    if match is None or match[2]:
        return None
    return _finite(float(match[1]))


def parse_share(text: str) -> float | None:
    """A number or percentage such as an opacity, clamped to 0..1, or None."""
    match = _LENGTH.fullmatch(text)
    if match is None or match[2] not in (None, "%"):
        return None
    share = float(match[1]) / (100 if match[2] else 1)
    return min(1.0, max(0.0, share)) if math.isfinite(share) else None


def parse_length(text: str, frame: Frame, axis: Axis) -> float | None:
    """A length in user units, or None where the text is no length."""
    match = _LENGTH.fullmatch(text)
    if match is None:
        return None
    number, unit = float(match[1]), (match[2] or "px").lower()
    if unit == "%":
        return _finite(number / 100 * frame.whole(axis))
    if unit in MM_PER_UNIT:
        return _finite(number if unit == "px" else number * MM_PER_UNIT[unit] * PX_PER_MM)
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
        "vw": frame.width / 100,
        "vh": frame.height / 100,
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
