"""From a shape element to its outline, lengths resolved."""

from __future__ import annotations

import re
from collections.abc import Mapping

import numpy as np

from vectorsep.artwork.basic_shapes import (
    ellipse_outline,
    line_outline,
    points_outline,
    rect_outline,
    resolved_radii,
)
from vectorsep.artwork.document import Element, local_name
from vectorsep.artwork.lengths import Frame, axis_of, parse_length, parse_numbers
from vectorsep.artwork.pathdata import PathError, parse_path, parse_paths
from vectorsep.artwork.pathtokens import read_rows
from vectorsep.artwork.properties import NEVER_NEGATIVE
from vectorsep.artwork.style import Style
from vectorsep.artwork.sums import is_sum
from vectorsep.geometry.curves import NO_OUTLINE, Outline

SHAPES = frozenset({"circle", "ellipse", "line", "path", "polygon", "polyline", "rect"})
_CSS_PATH = re.compile(r"""path\(\s*(["'])(.*)\1\s*\)""", re.DOTALL | re.IGNORECASE)


class OutlineError(ValueError):
    """A shape whose geometry cannot be read."""


def read_ahead(root: Element) -> dict[str, Outline]:
    """The outlines of all plain path data in the drawing, by text as styles have it, without spaces around it: reading
    them together is far quicker."""
    return parse_paths(element.get("d", "").strip() for element in root.iter("{*}path"))


def outline_of(
    element: Element, style: Style, frame: Frame, known: Mapping[str, Outline]
) -> tuple[Outline, str | None]:
    """The outline of a shape element in user units, and what cut its path data short, if anything did.

    `known` holds outlines by path data, from `read_ahead`.
    Raises OutlineError where nothing can be drawn.
    """
    if local_name(element) == "path":
        if _CSS_PATH.fullmatch(element.get("d", "").strip()):
            raise OutlineError("its d is written as a style has it, which an attribute does not take: leave out path()")
        return _path(style, known)
    return _basic_outline(element, style, frame), None


def _basic_outline(element: Element, style: Style, frame: Frame) -> Outline:
    name = local_name(element)
    if name in ("polygon", "polyline"):
        numbers = parse_numbers(element.get("points", ""))
        if numbers is None:
            raise OutlineError("its points are unreadable: write pairs of numbers")
        return points_outline(numbers, closed=name == "polygon")
    if name == "line":
        return line_outline(*(_attribute(element, key, frame) for key in ("x1", "y1", "x2", "y2")))
    if name == "rect":
        return _rect(style, frame)
    return _ellipse(style, frame, is_circle=name == "circle")


def numbers_of(element: Element, style: Style) -> tuple[str, str]:
    """Where a shape has its list of numbers, `d` or `points`, and the list; no text for one that has none."""
    if local_name(element) == "path":
        return "d", _path_data(style)
    return "points", element.get("points", "") if local_name(element) in ("polygon", "polyline") else ""


def has_uneven_vertices(style: Style) -> bool:
    """Whether readable path data moves where it draws nothing, or goes on behind a close without a move: programs
    differ on the vertices there."""
    text = _path_data(style)
    if not text.strip():
        return False
    command = read_rows(text).command
    moves, closes = command == ord("M"), command == ord("Z")
    follows_move = np.append(moves[1:], True)
    goes_on = np.append(~(moves | closes)[1:], False)
    return bool(((moves & follows_move) | (closes & goes_on)).any())


def point_of(element: Element, style: Style) -> Outline:
    """Where a shape that draws no line stands, as a line of no length: for the boxes that it takes part in (SVG 2,
    8.10). Browsers take a path's last point."""
    name = local_name(element)
    try:
        if name == "path":
            return parse_path(f"{_path_data(style)}l0 0")[0]
    except PathError:
        return NO_OUTLINE
    numbers = parse_numbers(element.get("points", "")) if name in ("polygon", "polyline") else None
    return points_outline(numbers[:2] * 2, closed=False) if numbers is not None and len(numbers) > 1 else NO_OUTLINE


def _path(style: Style, known: Mapping[str, Outline]) -> tuple[Outline, str | None]:
    text = _path_data(style)
    if text in known:
        return known[text], None
    try:
        return parse_path(text)
    except PathError as error:
        raise OutlineError(f"its path data is unreadable: {error}") from error


def _path_data(style: Style) -> str:
    text = "" if style["d"] == "auto" else style["d"]
    css = _CSS_PATH.fullmatch(text)
    return css[2] if css else text


def _attribute(element: Element, name: str, frame: Frame) -> float:
    return _checked(element.get(name, "0"), name, frame)


def _checked(text: str, name: str, frame: Frame) -> float:
    length = parse_length(text, frame, axis_of(name))
    if length is None:
        raise OutlineError(f"its {name} {text[:40]!r} is no length: write a number, and its unit right behind it")
    return max(length, 0.0) if name in NEVER_NEGATIVE and is_sum(text) else length


def _given(style: Style, name: str, frame: Frame) -> float | None:
    return None if style[name] == "auto" else _checked(style[name], name, frame)


def _rect(style: Style, frame: Frame) -> Outline:
    x, y = _given(style, "x", frame) or 0.0, _given(style, "y", frame) or 0.0
    width, height = _given(style, "width", frame) or 0.0, _given(style, "height", frame) or 0.0
    rx, ry = resolved_radii(_given(style, "rx", frame), _given(style, "ry", frame))
    return rect_outline(x, y, width, height, rx, ry)


def _ellipse(style: Style, frame: Frame, *, is_circle: bool) -> Outline:
    cx, cy = _given(style, "cx", frame) or 0.0, _given(style, "cy", frame) or 0.0
    if is_circle:
        rx = ry = _given(style, "r", frame) or 0.0
    else:
        rx, ry = resolved_radii(_given(style, "rx", frame), _given(style, "ry", frame))
    return ellipse_outline(cx, cy, rx, ry)
