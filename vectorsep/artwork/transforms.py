"""Transform lists (CSS Transforms 1, chapters 8 and 12; SVG 2, 8.5) and transform-origin."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import TypeAlias

from vectorsep.artwork.lengths import (
    Axis,
    Frame,
    dimension_of,
    ends_in_dot,
    parse_length,
    parse_number,
    parse_numbers,
)
from vectorsep.artwork.properties import ORIGIN_KEYWORDS
from vectorsep.artwork.sums import words_of
from vectorsep.geometry.affine import IDENTITY, Affine
from vectorsep.units import NUMBER, counted

_FUNCTION = r"([a-zA-Z]++)\s*+\(([^()]*+)\)"
_Counts: TypeAlias = tuple[int, ...]
_Function: TypeAlias = tuple[_Counts, Callable[[Sequence[str]], Affine]]
"""How many values a function takes, and what it makes of them."""
_DEGREES = {"": 1.0, "deg": 1.0, "grad": 0.9, "rad": 180 / math.pi, "turn": 360.0}


class TransformError(ValueError):
    """A text that is no transform list."""


def parse_transform(text: str) -> Affine:
    """Read a transform list as attributes write it: bare numbers, degrees (SVG 1.1, 7.6). Raises TransformError.

    Browsers know no other writing in an attribute: units, percentages and further functions are for styles alone.
    """
    return _read(text, _ATTRIBUTE_FUNCTIONS, ",?", _bare_numbers)


def parse_style_transform(text: str, frame: Frame) -> Affine:
    """Read a transform list as styles write it: commas, and a unit to every length and angle but 0 (CSS Transforms 1,
    chapter 12). Raises TransformError."""
    return _read(text.lower(), {name: _in_frame(made, frame) for name, made in _STYLE_FUNCTIONS.items()}, "", _words)


def _read(text: str, functions: Mapping[str, _Function], joint: str, parted: Callable[[str], list[str]]) -> Affine:
    rest = text.strip()
    if rest.lower() in ("", "none"):
        return IDENTITY
    total, between = IDENTITY, ""
    while rest:
        match = re.match(rf"\s*+{between}\s*+{_FUNCTION}", rest)
        known = functions.get(match[1]) if match else None
        if match is None or known is None:
            raise TransformError(f"{text[:60]!r} is no transform")
        arguments = parted(match[2])
        if len(arguments) not in known[0]:
            raise TransformError(f"{match[1]}() with {counted(len(arguments), 'value')} is no transform")
        total, rest, between = total @ known[1](arguments), rest[match.end() :], joint
    if not total.is_finite:
        raise TransformError(f"{text[:60]!r} is not finite")
    return total


def _bare_numbers(text: str) -> list[str]:
    if parse_numbers(text) is None or ends_in_dot(text):
        raise TransformError(f"{text[:40]!r} are no plain numbers, as an attribute has them")
    return re.findall(NUMBER, text)


def _words(text: str) -> list[str]:
    return [word.strip() for word in text.split(",")]


def _in_frame(made: tuple[_Counts, Callable[[Sequence[str], Frame], Affine]], frame: Frame) -> _Function:
    return made[0], lambda arguments: made[1](arguments, frame)


def _number(text: str) -> float:
    number, unit = dimension_of(text) or (0.0, "?")
    if unit:
        raise TransformError(f"{text[:40]!r} is no number")
    return number


def parse_angle(text: str) -> float:
    """An angle in degrees, which is also the unit of a bare number. Raises TransformError."""
    number, unit = dimension_of(text) or (0.0, "?")
    if unit not in _DEGREES:
        raise TransformError(f"{text[:40]!r} is no angle")
    degrees = number * _DEGREES[unit]
    if not math.isfinite(degrees):
        raise TransformError(f"{text[:40]!r} is not finite")
    return degrees


def _angle(text: str) -> float:
    """An angle of a style."""
    degrees = parse_angle(text)
    if degrees != 0 and dimension_of(text) == (degrees, ""):
        raise TransformError(f"{text[:40]!r} has no unit, as a style must")
    return degrees


def _length(text: str, frame: Frame, axis: Axis) -> float:
    """A length of a style."""
    length = parse_length(text, frame, axis)
    if length is None:
        raise TransformError(f"{text[:40]!r} is no length")
    if length != 0 and dimension_of(text) == (length, ""):
        raise TransformError(f"{text[:40]!r} has no unit, as a style must")
    return length


def _rotated(degrees: float, x: float = 0.0, y: float = 0.0) -> Affine:
    return Affine.translation(x, y) @ Affine.rotation(degrees) @ Affine.translation(-x, -y)


def _skewed(x_degrees: float, y_degrees: float = 0.0) -> Affine:
    return Affine(c=math.tan(math.radians(x_degrees)), b=math.tan(math.radians(y_degrees)))


_ATTRIBUTE_FUNCTIONS: dict[str, _Function] = {
    "matrix": ((6,), lambda a: Affine(*map(float, a))),
    "translate": ((1, 2), lambda a: Affine.translation(float(a[0]), float(a[1]) if len(a) > 1 else 0.0)),
    "scale": ((1, 2), lambda a: Affine.scaling(float(a[0]), float(a[-1]))),
    "rotate": ((1, 3), lambda a: _rotated(*map(float, a))),
    "skewX": ((1,), lambda a: _skewed(float(a[0]))),
    "skewY": ((1,), lambda a: _skewed(0.0, float(a[0]))),
}
_STYLE_FUNCTIONS: dict[str, tuple[_Counts, Callable[[Sequence[str], Frame], Affine]]] = {
    "matrix": ((6,), lambda a, f: Affine(*map(_number, a))),
    "translate": (
        (1, 2), lambda a, f: Affine.translation(_length(a[0], f, "x"), _length(a[1], f, "y") if len(a) > 1 else 0.0)
    ),
    "translatex": ((1,), lambda a, f: Affine.translation(_length(a[0], f, "x"), 0.0)),
    "translatey": ((1,), lambda a, f: Affine.translation(0.0, _length(a[0], f, "y"))),
    "scale": ((1, 2), lambda a, f: Affine.scaling(_factor(a[0]), _factor(a[-1]))),
    "scalex": ((1,), lambda a, f: Affine.scaling(_factor(a[0]), 1.0)),
    "scaley": ((1,), lambda a, f: Affine.scaling(1.0, _factor(a[0]))),
    "rotate": ((1,), lambda a, f: _rotated(_angle(a[0]))),
    "skew": ((1, 2), lambda a, f: _skewed(*map(_angle, a))),
    "skewx": ((1,), lambda a, f: _skewed(_angle(a[0]))),
    "skewy": ((1,), lambda a, f: _skewed(0.0, _angle(a[0]))),
}  # fmt: skip


def parse_longhands(translate: str, rotate: str, scale: str, frame: Frame) -> Affine:
    """The properties of these names, in the order in which they apply before `transform`. Raises TransformError.

    Source: CSS Transforms 2, "Individual Transform Properties" and "Current Transformation Matrix".
    """
    return _translate_property(translate, frame) @ _rotate_property(rotate) @ _scale_property(scale)


def _translate_property(text: str, frame: Frame) -> Affine:
    words = text.split()
    if words == ["none"]:
        return IDENTITY
    if len(words) not in (1, 2) or any(parse_number(word) for word in words):
        raise TransformError(f"translate {text[:40]!r} is no move in the plane")
    return Affine.translation(_length(words[0], frame, "x"), _length(words[1], frame, "y") if len(words) > 1 else 0.0)


def _rotate_property(text: str) -> Affine:
    words = [word for word in text.lower().split() if word != "z"]
    if words == ["none"]:
        return IDENTITY
    if len(words) != 1 or parse_number(words[0]):
        raise TransformError(f"rotate {text[:40]!r} is no turn in the plane")
    return Affine.rotation(parse_angle(words[0]))


def _scale_property(text: str) -> Affine:
    if text == "none":
        return IDENTITY
    factors = [_factor(word) for word in text.split()]
    if len(factors) not in (1, 2):
        raise TransformError(f"scale {text[:40]!r} is no scale in the plane")
    return Affine.scaling(factors[0], factors[-1])


def _factor(word: str) -> float:
    return _number(word[:-1]) / 100 if word.endswith("%") else _number(word)


_VERTICAL, _HORIZONTAL = ("top", "bottom"), ("left", "right")


def parse_origin(text: str, frame: Frame, *, is_attribute: bool) -> tuple[float, float]:
    """Read a transform-origin within a box of the frame's size (CSS Transforms 1, chapter 6). Raises TransformError.

    Attributes alone may leave units out.
    """
    words = words_of(text.lower())
    if len(words) == 1:
        words = ["center", words[0]] if words[0] in _VERTICAL else [words[0], "center"]
    if ORIGIN_KEYWORDS.keys() >= set(words[:2]) and (words[0] in _VERTICAL or words[1] in _HORIZONTAL):
        words[:2] = words[1], words[0]
    if not 2 <= len(words) <= 3 or words[0] in _VERTICAL or words[1] in _HORIZONTAL:
        raise TransformError(f"transform-origin {text[:40]!r} is no point")
    return _origin(words[0], frame, "x", is_attribute), _origin(words[1], frame, "y", is_attribute)


def _origin(word: str, frame: Frame, axis: Axis, is_attribute: bool) -> float:
    if word in ORIGIN_KEYWORDS:
        return frame.whole(axis) * ORIGIN_KEYWORDS[word]
    if is_attribute and (number := parse_number(word)) is not None:
        return number
    return _length(word, frame, axis)


def about(origin: tuple[float, float], transform: Affine) -> Affine:
    """The transform with its fixed point at the origin given."""
    if origin == (0, 0):
        return transform
    return Affine.translation(*origin) @ transform @ Affine.translation(-origin[0], -origin[1])
