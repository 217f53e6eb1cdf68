"""Widening polylines into the region a stroke covers: caps, joins, miter limit (SVG 2, 13.5).

The region is the union of its parts by definition: one rectangle a chord, one wedge a join, one shape a cap.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.curves import Points, Polyline
from vectorsep.geometry.dashes import dashed
from vectorsep.geometry.region import EMPTY, polygons_only
from vectorsep.model import Region

Cap: TypeAlias = Literal["butt", "round", "square"]
Join: TypeAlias = Literal["miter", "miter-clip", "round", "bevel"]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is widened, in the units of the line. `dashes` is empty, or an even number of lengths."""

    width: float
    cap: Cap = "butt"
    join: Join = "miter"
    miter_limit: float = 4.0
    dashes: tuple[float, ...] = ()
    dash_offset: float = 0.0


def stroked(lines: Sequence[Polyline], pen: Pen, tolerance: float) -> Region:
    """The region that the pen covers along flattened subpaths; arcs are within the tolerance.

    Raises TooManyDashes for a dash pattern too fine to follow.
    """
    if not pen.width > 0:
        return EMPTY
    if pen.dashes:
        lines = [dash for line in lines for dash in dashed(line, pen.dashes, pen.dash_offset)]
    parts = [part for line in lines for part in _parts(_without_repeats(line), pen, tolerance)]
    if not parts:
        return EMPTY
    return polygons_only(shapely.union_all(np.concatenate(parts)))


def _without_repeats(line: Polyline) -> Polyline:
    """Drop points equal to their forerunner, and a last point equal to the first of a closed line."""
    moves = np.concatenate([[True], (line.points[1:] != line.points[:-1]).any(axis=1)])
    points, corner = line.points[moves], line.corner[moves]
    if line.closed and len(points) > 1 and (points[0] == points[-1]).all():
        points, corner = points[:-1], corner[:-1]
    return Polyline(points, corner, line.closed)


def _parts(line: Polyline, pen: Pen, tolerance: float) -> list[NDArray[np.object_]]:
    """Arrays of polygons that together cover the stroke of one subpath."""
    half = pen.width / 2
    if len(line.points) < 2:
        return _dot(line.points[0], half, pen.cap, tolerance)
    points = np.concatenate([line.points, line.points[:1]]) if line.closed else line.points
    steps = np.diff(points, axis=0)
    ways = steps / np.hypot(steps[:, 0], steps[:, 1])[:, None]
    across = half * np.stack([-ways[:, 1], ways[:, 0]], axis=1)
    parts = [_bands(points, across)]
    if line.closed:
        before, after, at = np.roll(np.arange(len(ways)), 1), np.arange(len(ways)), points[:-1]
    else:
        before, after, at = np.arange(len(ways) - 1), np.arange(1, len(ways)), points[1:-1]
        parts += _cap(points[0], -ways[0], half, pen.cap, tolerance)
        parts += _cap(points[-1], ways[-1], half, pen.cap, tolerance)
    sharp = line.corner if line.closed else line.corner[1:-1]
    return parts + _joins(at, ways[before], ways[after], sharp, pen, tolerance)


def _bands(points: Points, across: Points) -> NDArray[np.object_]:
    """One rectangle a chord, with the chord's ends among its corners so that neighbours share whole edges."""
    a, b = points[:-1], points[1:]
    return np.asarray(shapely.polygons(np.stack([a + across, a, a - across, b - across, b, b + across], axis=1)))


def _dot(point: Points, half: float, cap: Cap, tolerance: float) -> list[NDArray[np.object_]]:
    """A subpath without length: a disc or an upright square (SVG 2, 13.5.4), nothing for butt caps."""
    if cap == "round":
        return [_discs(point[None], half, tolerance)]
    if cap == "square":
        return [np.array([shapely.box(*(point - half), *(point + half))])]
    return []


def _cap(point: Points, way: Points, half: float, cap: Cap, tolerance: float) -> list[NDArray[np.object_]]:
    if cap == "butt":
        return []
    if cap == "round":
        return [_discs(point[None], half, tolerance)]
    side, out = half * np.array([-way[1], way[0]]), half * way
    return [np.array([shapely.polygons([point + side, point + side + out, point - side + out, point - side, point])])]


def _joins(
    at: Points, before: Points, after: Points, sharp: NDArray[np.bool_], pen: Pen, tolerance: float
) -> list[NDArray[np.object_]]:
    half = pen.width / 2
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    cosine = (before * after).sum(axis=1)
    turn = np.abs(np.arctan2(cross, cosine))
    bends = turn > 0
    round_ = bends & (half * (1 - np.cos(turn / 2)) > tolerance) & (~sharp | (pen.join == "round"))
    wedge = bends & ~round_
    parts = [_discs(at[round_], half, tolerance)] if round_.any() else []
    if not wedge.any():
        return parts
    side = np.where(cross[wedge] > 0, -half, half)[:, None]
    first = at[wedge] + side * np.stack([-before[wedge, 1], before[wedge, 0]], axis=1)
    second = at[wedge] + side * np.stack([-after[wedge, 1], after[wedge, 0]], axis=1)
    parts.append(np.asarray(shapely.polygons(np.stack([at[wedge], first, second], axis=1))))
    pointed = sharp[wedge] & (turn[wedge] < math.pi)
    if pen.join in ("miter", "miter-clip") and pointed.any():
        rows = (
            first[pointed],
            second[pointed],
            before[wedge][pointed],
            after[wedge][pointed],
            turn[wedge][pointed],
        )
        parts += _miters(*rows, pen)
    return parts


def _miters(
    first: Points, second: Points, before: Points, after: Points, turn: Points, pen: Pen
) -> list[NDArray[np.object_]]:
    """The tips beyond the bevels. Miter length over width is 1 / sin(angle / 2), the angle being pi - turn."""
    ratio = 1 / np.cos(turn / 2)
    fits = ratio <= pen.miter_limit
    reach = (pen.width / 2 * np.tan(turn / 2))[:, None]
    tips = [
        np.asarray(shapely.polygons(np.stack([f, f + r * b, s], axis=1)))
        for f, s, b, r in [(first[fits], second[fits], before[fits], reach[fits])]
        if len(f)
    ]
    if pen.join == "miter" or fits.all():
        return tips
    half = pen.width / 2
    bevel = half * np.cos(turn[~fits] / 2)
    clip = pen.miter_limit * half
    share = np.clip((clip - bevel) / np.maximum(half / np.cos(turn[~fits] / 2) - bevel, 1e-300), 0, 1)[:, None]
    f, s = first[~fits], second[~fits]
    cut = [f, f + share * reach[~fits] * before[~fits], s - share * reach[~fits] * after[~fits], s]
    return [*tips, np.asarray(shapely.polygons(np.stack(cut, axis=1)))]


def _discs(centres: Points, radius: float, tolerance: float) -> NDArray[np.object_]:
    """Regular polygons within the tolerance of circles: radius (1 - cos(pi / n)) <= tolerance."""
    count = 8
    if tolerance < radius:
        count = max(count, 4 * math.ceil(math.pi / math.acos(1 - tolerance / radius) / 4))
    angles = 2 * math.pi * np.arange(count) / count
    circle = radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
    return np.asarray(shapely.polygons(centres[:, None] + circle))
