"""Transform lists (CSS Transforms 1, chapters 8 and 12; SVG 2, 8.5) and transform-origin."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

from vectorsep.artwork.lengths import Frame, dimension_of, parse_length, parse_number
from vectorsep.geometry.affine import IDENTITY, Affine
from vectorsep.units import counted

_FUNCTION = re.compile(r"\s*+([a-zA-Z]++)\s*+\(([^()]*+)\)\s*+,?")
_DEGREES = {"": 1.0, "deg": 1.0, "grad": 0.9, "rad": 180 / math.pi, "turn": 360.0}
_GLUED = re.compile(r"(?<=[0-9.])(?=[+-])")
"""Where a sign ends one number and starts the next."""


class TransformError(ValueError):
    """A text that is no transform list."""


def parse_transform(text: str, frame: Frame) -> Affine:
    """Read a transform list, with or without CSS units. Raises TransformError."""
    stripped = text.strip()
    if stripped in ("", "none"):
        return IDENTITY
    total, end = IDENTITY, 0
    while end < len(stripped):
        match = _FUNCTION.match(stripped, end)
        if match is None:
            raise TransformError(f"{text[:60]!r} is no transform")
        arguments = _GLUED.sub(" ", match[2]).replace(",", " ").split()
        total, end = total @ _single(match[1], arguments, frame), match.end()
    if not total.is_finite:
        raise TransformError(f"{text[:60]!r} is not finite")
    return total


def _single(name: str, arguments: Sequence[str], frame: Frame) -> Affine:
    known = _FUNCTIONS.get(name.lower())
    if known is None or len(arguments) not in known[0]:
        raise TransformError(f"{name}() with {counted(len(arguments), 'value')} is no transform")
    return known[1](arguments, frame)


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


def _x(text: str, frame: Frame) -> float:
    length = parse_length(text, frame, "x")
    if length is None:
        raise TransformError(f"{text[:40]!r} is no length")
    return length


def _y(text: str, frame: Frame) -> float:
    length = parse_length(text, frame, "y")
    if length is None:
        raise TransformError(f"{text[:40]!r} is no length")
    return length


def _rotate(arguments: Sequence[str], frame: Frame) -> Affine:
    turn = Affine.rotation(parse_angle(arguments[0]))
    if len(arguments) == 1:
        return turn
    x, y = _x(arguments[1], frame), _y(arguments[2], frame)
    return Affine.translation(x, y) @ turn @ Affine.translation(-x, -y)


def _skew(x_text: str, y_text: str) -> Affine:
    return Affine(c=math.tan(math.radians(parse_angle(x_text))), b=math.tan(math.radians(parse_angle(y_text))))


_FUNCTIONS: dict[str, tuple[tuple[int, ...], Callable[[Sequence[str], Frame], Affine]]] = {
    "matrix": ((6,), lambda a, f: Affine(*map(_number, a))),
    "translate": ((1, 2), lambda a, f: Affine.translation(_x(a[0], f), _y(a[1], f) if len(a) > 1 else 0.0)),
    "translatex": ((1,), lambda a, f: Affine.translation(_x(a[0], f), 0.0)),
    "translatey": ((1,), lambda a, f: Affine.translation(0.0, _y(a[0], f))),
    "scale": ((1, 2), lambda a, f: Affine.scaling(_number(a[0]), _number(a[-1]))),
    "scalex": ((1,), lambda a, f: Affine.scaling(_number(a[0]), 1.0)),
    "scaley": ((1,), lambda a, f: Affine.scaling(1.0, _number(a[0]))),
    "rotate": ((1, 3), _rotate),
    "skew": ((1, 2), lambda a, f: _skew(a[0], a[1] if len(a) > 1 else "0")),
    "skewx": ((1,), lambda a, f: _skew(a[0], "0")),
    "skewy": ((1,), lambda a, f: _skew("0", a[0])),
}


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
    return Affine.translation(_x(words[0], frame), _y(words[1], frame) if len(words) > 1 else 0.0)


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


_KEYWORD_SHARES = {"left": 0.0, "right": 1.0, "top": 0.0, "bottom": 1.0, "center": 0.5}


def parse_origin(text: str, frame: Frame) -> tuple[float, float] | None:
    """Read a transform-origin within a box of the frame's size, or None where it is unreadable."""
    words = text.split()
    if not 1 <= len(words) <= 3:
        return None
    if len(words) == 1:
        words = ["center", words[0]] if words[0] in ("top", "bottom") else [words[0], "center"]
    if words[0] in ("top", "bottom") or words[1] in ("left", "right"):
        words[:2] = words[1], words[0]
    if words[0] in ("top", "bottom") or words[1] in ("left", "right"):
        return None
    x = frame.width * _KEYWORD_SHARES[words[0]] if words[0] in _KEYWORD_SHARES else parse_length(words[0], frame, "x")
    y = frame.height * _KEYWORD_SHARES[words[1]] if words[1] in _KEYWORD_SHARES else parse_length(words[1], frame, "y")
    return None if x is None or y is None else (x, y)


def about(origin: tuple[float, float], transform: Affine) -> Affine:
    """The transform with its fixed point at the origin given."""
    if origin == (0, 0):
        return transform
    return Affine.translation(*origin) @ transform @ Affine.translation(-origin[0], -origin[1])
