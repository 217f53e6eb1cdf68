"""Basic shapes as outlines (SVG 2, chapter 10)."""

from __future__ import annotations

import math

import numpy as np

from vectorsep.geometry.curves import (
    CURVE,
    LINE,
    MOVE,
    NO_OUTLINE,
    PIECE,
    Outline,
    arc_cubics,
    polyline_outline,
)
from vectorsep.remember import remembered_for

ELLIPSES = 64
"""Ellipses that are remembered: what is drawn once and used all over the page is walked at every use."""
_QUARTERS = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])


@remembered_for(ELLIPSES)
def ellipse_outline(cx: float, cy: float, rx: float, ry: float) -> Outline:
    """Four quarter arcs from 3 o'clock, clockwise on the page; nothing where a radius is not positive."""
    if not (rx > 0 and ry > 0):
        return NO_OUTLINE
    starts = np.array([cx, cy]) + _QUARTERS * (rx, ry)
    knots, handles = _quarter_arcs(starts, np.roll(starts, -1, axis=0), rx, ry)
    steps = np.array([MOVE] + _arc_steps(len(knots) // 4) * 4, dtype=np.uint8)
    return Outline(np.concatenate([starts[:1], knots]), steps, handles, np.array([True]))


def _quarter_arcs(starts: np.ndarray, ends: np.ndarray, rx: float, ry: float) -> tuple[np.ndarray, np.ndarray]:
    count = len(starts)
    radii, flags = np.tile([rx, ry], (count, 1)), np.tile([0.0, 1.0], (count, 1))
    pieces, _ = arc_cubics(starts, radii, np.zeros(count), flags, ends)
    return pieces[:, 2], pieces[:, :2]


def _arc_steps(pieces: int) -> list[int]:
    return [PIECE] * (pieces - 1) + [CURVE]


def rect_outline(x: float, y: float, width: float, height: float, rx: float, ry: float) -> Outline:
    """Clockwise from the top left (after its corner); radii are clamped to half the sides."""
    if not (width > 0 and height > 0):
        return NO_OUTLINE
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    right, bottom = x + width, y + height
    if not (rx > 0 and ry > 0):
        return polyline_outline(np.array([[x, y], [right, y], [right, bottom], [x, bottom]]), closed=True)
    starts = np.array([[right - rx, y], [right, bottom - ry], [x + rx, bottom], [x, y + ry]])
    ends = np.array([[right, y + ry], [right - rx, bottom], [x, bottom - ry], [x + rx, y]])
    knots, handles = _quarter_arcs(starts, ends, rx, ry)
    per_corner = len(knots) // 4
    corners = [np.concatenate([starts[i : i + 1], knots[i * per_corner : (i + 1) * per_corner]]) for i in range(4)]
    steps = np.array([MOVE] + ([LINE, *_arc_steps(per_corner)]) * 4, dtype=np.uint8)
    first = np.array([[x + rx, y]])
    return Outline(
        np.concatenate([first, *corners]),
        steps,
        handles,
        np.array([True]),
    )


EVERYWHERE = rect_outline(-1e9, -1e9, 2e9, 2e9, 0.0, 0.0)
"""Stands for what may lie anywhere, told by identity."""


def line_outline(x1: float, y1: float, x2: float, y2: float) -> Outline:
    """One open line; it has no inside and is never filled."""
    return polyline_outline(np.array([[x1, y1], [x2, y2]]), closed=False)


def points_outline(numbers: list[float], *, closed: bool) -> Outline:
    """The line through pairs of coordinates; an odd last number is left out (SVG 2, 10.7). A single point, closed, is a
    line of no length, which round and square pens dot."""
    points = np.array(numbers[: len(numbers) // 2 * 2], dtype=float).reshape(-1, 2)
    return polyline_outline(points, closed=closed) if len(points) > (0 if closed else 1) else NO_OUTLINE


def resolved_radii(rx: float | None, ry: float | None) -> tuple[float, float]:
    """Corner or ellipse radii where one may be left out (SVG 2, 7.4 and 10.2): `auto` takes the other's value."""
    rx = None if rx is not None and (rx < 0 or math.isnan(rx)) else rx
    ry = None if ry is not None and (ry < 0 or math.isnan(ry)) else ry
    if rx is None and ry is None:
        return 0.0, 0.0
    return (ry or 0.0 if rx is None else rx), (rx or 0.0 if ry is None else ry)
