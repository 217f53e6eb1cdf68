"""Widening polylines into the region a stroke covers: caps, joins, miter limit (SVG 2, 13.5).

By definition the region is the union of one rectangle a chord, one wedge a join and one shape a cap. The boundaries
of all these, wound the same way, add up to one ring around an open line (two around a closed one): where rectangles
meet on the inner side of a bend, the ring runs through the vertex itself. Filling that ring by the non-zero rule
covers the union exactly. Where both chords are long enough, the overlap of two rectangles is cut off at the inner
side's own crossing instead, which leaves every place covered still covered, and most rings without a crossing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.boolean import union
from vectorsep.geometry.curves import Points
from vectorsep.geometry.dashes import dashed
from vectorsep.geometry.fill import simple_or_filled, uncrossed
from vectorsep.geometry.region import EMPTY
from vectorsep.geometry.traces import Trace, directions
from vectorsep.model import Region

Cap: TypeAlias = Literal["butt", "round", "square"]
Join: TypeAlias = Literal["miter", "miter-clip", "round", "bevel"]
MAX_MITER = 1000.0
"""Miters longer than this many widths, at angles below 0.1 degree, are bevelled whatever the limit says."""
ROUNDING = 1e-9
"""Turns in radians that differ by less come from rounding."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is widened, in the units of the line. `dashes` is empty, or an even number of lengths."""

    width: float
    cap: Cap = "butt"
    join: Join = "miter"
    miter_limit: float = 4.0
    dashes: tuple[float, ...] = ()
    dash_offset: float = 0.0


def smooth_turn(half_width: float, tolerance: float) -> float:
    """The turn in radians up to which a bend of a widened line may be drawn by one point a side."""
    return 2 * math.acos(max(0.0, 1 - tolerance / half_width)) if half_width > tolerance else math.pi / 4


def largest_turn(pen: Pen, tolerance: float) -> float:
    """How far the direction may change from chord to chord of a curve that the pen will follow.

    Dashes may end anywhere on a chord, across its direction rather than the curve's, and need finer ones.
    """
    return smooth_turn(pen.width / 2, tolerance) / (8 if pen.dashes else 1)


def stroked(lines: Sequence[Trace], pen: Pen, tolerance: float) -> Region:
    """The region that the pen covers along flattened subpaths; arcs are within the tolerance.

    Raises TooManyDashes for a dash pattern too fine to follow, Unfillable for a line crossing itself too often.
    """
    if not pen.width > 0:
        return EMPTY
    if pen.dashes:
        lines = [dash for line in lines for dash in dashed(line, pen.dashes, pen.dash_offset)]
    lines = [line.without_repeats() for line in lines]
    whole = uncrossed([_rings(line, pen, tolerance) for line in lines], [False] * len(lines))
    regions = [
        _covered(line, pen, tolerance) if region is None else region for line, region in zip(lines, whole, strict=True)
    ]
    return regions[0] if len(regions) == 1 else union(regions)


def _covered(line: Trace, pen: Pen, tolerance: float) -> Region:
    """The stroke of a line that crosses itself: stretches that do not, joins where bends leave no room, and caps."""
    opened = line.opened(2) if line.closed else line
    cap: Cap = "butt" if line.closed else pen.cap
    bends = _bends(opened, pen, tolerance)
    rings = _wedges(opened, bends, pen, tolerance)
    stretches = np.array(_stretches(bends))
    long = stretches[:, 1] > stretches[:, 0] + 1
    rings += _bands(opened, bends, stretches[~long, 0], pen.width / 2)
    rings += [_stretch(opened, bends, first, last, pen, tolerance) for first, last in stretches[long].tolist()]
    for end, way in ((0, -bends.leaving[0]), (-1, bends.arriving[-1])):
        side = pen.width / 2 * np.array([-way[1], way[0]])
        at, out = opened.points[end], _cap(opened.points[end], way, replace(pen, cap=cap), tolerance)
        rings.append(np.concatenate([[at, at + side], out, [at - side]]))
    return union(simple_or_filled(rings))


def _across(ways: Points, half: float) -> Points:
    """From the line to its left side, for unit directions."""
    return half * np.stack([-ways[:, 1], ways[:, 0]], axis=1)


def _bands(line: Trace, bends: _Bends, chords: NDArray[np.intp], half: float) -> list[Points]:
    """The rings around single chords, each through its end points."""
    start, end = line.points[chords], line.points[chords + 1]
    at_start, at_end = _across(bends.leaving[chords], half), _across(bends.arriving[chords + 1], half)
    corners = [start, start + at_start, end + at_end, end, end - at_end, start - at_start]
    return list(np.stack(corners, axis=1))


def _wedges(line: Trace, bends: _Bends, pen: Pen, tolerance: float) -> list[Points]:
    """The joins at all bends without room, as rings through the vertex; slight ones are triangles, made at once."""
    half = pen.width / 2
    crowded = ~bends.roomy & (np.arange(len(bends.turns)) % (len(bends.turns) - 1) > 0)
    slight = crowded & ~line.corner & (np.abs(bends.turns) <= smooth_turn(half, tolerance))
    side = np.where(bends.turns[slight] > 0, -1.0, 1.0)[:, None]
    at = line.points[slight]
    ends = [at + side * _across(ways[slight], half) for ways in (bends.arriving, bends.leaving)]
    rings = list(np.stack([at, *ends], axis=1))
    for i in np.flatnonzero(crowded & ~slight).tolist():
        turn = float(bends.turns[i])
        row = (line.points[i], bends.arriving[i], bends.leaving[i], turn, True)
        sides = _bend(*row, _pen_at(line, i, pen), tolerance)
        rings.append(np.concatenate([line.points[i : i + 1], sides[1 if turn > 0 else 0]]))
    return rings


def _stretches(bends: _Bends) -> list[tuple[int, int]]:
    """First and last point of stretches that turn by a quarter at most.

    They end at bends without room, or one chord after the next stretch begins, so that every other bend lies inside
    some stretch.
    """
    stretches, first, turned = [], 0, 0.0
    turns, rooms = np.abs(bends.turns).tolist(), bends.roomy.tolist()
    for i in range(1, len(turns) - 1):
        turned += turns[i]
        if not rooms[i]:
            stretches.append((first, i))
            first, turned = i, 0.0
        elif turned > math.pi / 2 and i - 1 > first:
            stretches.append((first, i))
            first, turned = i - 1, turns[i]
    return [*stretches, (first, len(turns) - 1)]


def _stretch(line: Trace, bends: _Bends, first: int, last: int, pen: Pen, tolerance: float) -> Points:
    """The ring around part of a line, through its end points and without caps."""
    part = line.part(first, last)
    left, right = _sides(part, bends.part(first, last), pen, tolerance)
    return np.concatenate([part.points[:1], left, part.points[-1:], right[::-1]])


def _rings(line: Trace, pen: Pen, tolerance: float) -> list[Points]:
    """The rings whose non-zero filling is the stroke of one subpath."""
    if len(line.points) < 2:
        return _dot(line.points[0], pen, tolerance)
    bends = _bends(line, pen, tolerance)
    left, right = _sides(line, bends, pen, tolerance)
    if line.closed:
        return [left, right[::-1]]
    end = _cap(line.points[-1], bends.arriving[-1], pen, tolerance)
    start = _cap(line.points[0], -bends.leaving[0], pen, tolerance)
    return [np.concatenate([left, end, right[::-1], start])]


def _dot(point: Points, pen: Pen, tolerance: float) -> list[Points]:
    """A subpath without length: a disc or an upright square (SVG 2, 13.5.4), nothing for butt caps."""
    half, east = pen.width / 2, np.array([1.0, 0.0])
    if pen.cap == "butt":
        return []
    if pen.cap == "round":
        return [_arc(point, half, 0.0, 2 * math.pi, tolerance)[:-1]]
    return [np.concatenate([_cap(point, east, pen, tolerance), _cap(point, -east, pen, tolerance)])]


def _cap(point: Points, way: Points, pen: Pen, tolerance: float) -> Points:
    """The points of a cap from the left side to the right side of a line that arrives by the given way."""
    half = pen.width / 2
    if pen.cap == "butt":
        return np.empty((0, 2))
    if pen.cap == "round":
        return _arc(point, half, math.atan2(way[1], way[0]) + math.pi / 2, -math.pi, tolerance)
    side, out = half * np.array([-way[1], way[0]]), half * way
    return np.stack([point + side + out, point - side + out])


@dataclass(frozen=True, slots=True, eq=False)
class _Bends:
    """What happens at each point: the unit directions before and after, the turn between them in radians, whether
    it needs a join, and whether both chords leave room for the crossing on its inner side.

    The ends of an open line are no bends: they do not turn, and need neither join nor room.
    """

    arriving: Points
    leaving: Points
    turns: Points
    sharp: NDArray[np.bool_]
    roomy: NDArray[np.bool_]

    def part(self, first: int, last: int) -> _Bends:
        """The bends of an open part of the line, whose ends do not turn."""
        rows = slice(first, last + 1)
        arriving, leaving, turns = self.arriving[rows].copy(), self.leaving[rows].copy(), self.turns[rows].copy()
        sharp, roomy = self.sharp[rows].copy(), self.roomy[rows].copy()
        arriving[0], leaving[-1] = leaving[0], arriving[-1]
        turns[[0, -1]], sharp[[0, -1]], roomy[[0, -1]] = 0.0, False, True
        return _Bends(arriving, leaving, turns, sharp, roomy)


def _bends(line: Trace, pen: Pen, tolerance: float) -> _Bends:
    arriving, leaving = directions(line)
    lengths = np.hypot(*(np.roll(line.points, -1, axis=0) - line.points).T)
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    turns = np.arctan2(cross, (arriving * leaving).sum(axis=1))
    half = pen.width / 2
    gentle = np.abs(turns) <= min(smooth_turn(half, tolerance) * (1 + ROUNDING), math.pi / 4)
    if pen.join in ("miter", "miter-clip"):
        pointed = np.cos(turns / 2) * min(pen.miter_limit, MAX_MITER) >= 1
    else:
        pointed = np.abs(turns) < ROUNDING
    roomy = half * np.abs(np.tan(turns / 2)) <= np.minimum(np.roll(lengths, 1), lengths) / 2
    sharp = ~(roomy & np.where(line.corner, pointed, gentle))
    if not line.closed:
        turns[[0, -1]], sharp[[0, -1]], roomy[[0, -1]] = 0.0, False, True
    return _Bends(arriving, leaving, turns, sharp, roomy)


def _sides(line: Trace, bends: _Bends, pen: Pen, tolerance: float) -> tuple[Points, Points]:
    """The left and the right side, both along the line. Gentle bends take one point a side, all computed at once."""
    half, before = pen.width / 2, bends.arriving
    shift = _across(before, half) - half * np.tan(bends.turns / 2)[:, None] * before
    left, right = line.points + shift, line.points - shift
    lefts, rights = [], []
    done = 0
    for i in np.flatnonzero(bends.sharp).tolist():
        lefts.append(left[done:i])
        rights.append(right[done:i])
        row = (line.points[i], before[i], bends.leaving[i], float(bends.turns[i]), bool(bends.roomy[i]))
        here = _bend(*row, _pen_at(line, i, pen), tolerance)
        lefts.append(here[0])
        rights.append(here[1])
        done = i + 1
    return np.concatenate([*lefts, left[done:]]), np.concatenate([*rights, right[done:]])


def _pen_at(line: Trace, i: int, pen: Pen) -> Pen:
    """The pen for a bend: inside a curve there are no joins, the pen just turns."""
    return pen if line.corner[i] else replace(pen, join="round")


def _bend(  # noqa: PLR0913, PLR0917 - one row of the arrays above
    at: Points, before: Points, after: Points, turn: float, roomy: bool, pen: Pen, tolerance: float
) -> tuple[Points, Points]:
    """The left and right points of one sharp bend: a join on the outer side, the crossing or the vertex inside."""
    half = pen.width / 2
    first, second = half * np.array([-before[1], before[0]]), half * np.array([-after[1], after[0]])
    outer_side = -1.0 if turn > 0 else 1.0
    join = _join(at, outer_side * first, before, after, turn, pen, tolerance)
    outer = np.concatenate([[at + outer_side * first], join, [at + outer_side * second]])
    if roomy:
        inner = (at - outer_side * (first - half * math.tan(turn / 2) * before))[None]
    else:
        inner = np.stack([at - outer_side * first, at, at - outer_side * second])
    return (inner, outer) if turn > 0 else (outer, inner)


def _join(  # noqa: PLR0913, PLR0917 - as above
    at: Points, first: Points, before: Points, after: Points, turn: float, pen: Pen, tolerance: float
) -> Points:
    """The points of a join between the ends of the two outer edges. `first` leads from the vertex to the first end."""
    half = pen.width / 2
    if pen.join == "round":
        return _arc(at, half, math.atan2(first[1], first[0]), turn, tolerance)[1:-1]
    half_turn = abs(turn) / 2
    ratio = 1 / max(math.cos(half_turn), 1e-300)
    if pen.join in ("miter", "miter-clip") and ratio <= min(pen.miter_limit, MAX_MITER):
        return (at + first + half * math.tan(half_turn) * before)[None]
    if pen.join == "miter-clip":
        reach = _clipped_reach(half, half_turn, min(pen.miter_limit, MAX_MITER))
        side = -1.0 if turn > 0 else 1.0
        second = side * half * np.array([-after[1], after[0]])
        return np.stack([at + first + reach * before, at + second - reach * after])
    return np.empty((0, 2))


def _clipped_reach(half: float, half_turn: float, limit: float) -> float:
    """How far beyond the vertex the outer edges run until a miter clipped at half the limit times the width.

    The clip line stands across the bisector, limit x half from the vertex (SVG 2, 13.5.5, miter-clip).
    """
    from_bevel = limit * half - half * math.cos(half_turn)
    return max(0.0, from_bevel / max(math.sin(half_turn), 1e-12))


def _arc(centre: Points, radius: float, start: float, sweep: float, tolerance: float) -> Points:
    """Points of a circular arc, both ends included, its chords within the tolerance: r (1 - cos(step / 2))."""
    count = max(1, math.ceil(abs(sweep) / smooth_turn(radius, tolerance)))
    angles = start + sweep * np.arange(count + 1) / count
    return centre + radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
