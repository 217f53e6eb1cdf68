"""What a pen makes of the points of its lines: a join on the outer side of a bend, the crossing on the inner one.

Many lines are worked on at once, since lettering and fine drawings have them by the hundred, of few points each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from vectorsep.geometry.arrays import Flags, Floats, Indices, ranges
from vectorsep.geometry.curves import Points
from vectorsep.geometry.traces import Trace, directions, end_to_end

Cap: TypeAlias = Literal["butt", "round", "square"]
Join: TypeAlias = Literal["miter", "miter-clip", "round", "bevel"]
MAX_MITER = 1000.0
"""Miters longer than this many widths, at angles below 0.1 degree, are bevelled whatever the limit says."""
ROUNDING = 1e-9
"""Turns in radians that differ by less come from rounding."""
NO_COSINE, NO_SINE = 1e-300, 1e-12
"""Keep turns by half a circle, and turns by nothing, from a division by nothing."""


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


@dataclass(frozen=True, slots=True, eq=False)
class Bends:
    """What happens at each point of many lines, end to end: where it lies and whether it ends a segment, the unit
    directions before and after, the turn between them in radians, whether it needs a join, and whether both chords
    leave room for the crossing on its inner side.

    The ends of an open line are no bends: they do not turn, and need neither join nor room.
    """

    points: Points
    corner: Flags
    arriving: Points
    leaving: Points
    turns: Floats
    sharp: Flags
    roomy: Flags
    firsts: Indices
    """Where each line begins."""
    lasts: Indices
    """Where it ends."""

    def parts(self, firsts: Indices, lasts: Indices) -> Bends:
        """The open lines from some points to others, both included."""
        line, rows = ranges(firsts, lasts + 1)
        begins, ends = np.searchsorted(line, np.arange(len(firsts))), np.cumsum(lasts + 1 - firsts) - 1
        arriving, leaving, turns = self.arriving[rows], self.leaving[rows], self.turns[rows]
        sharp, roomy = self.sharp[rows], self.roomy[rows]
        arriving[begins], leaving[ends] = leaving[begins], arriving[ends]
        _let_end(np.append(begins, ends), turns, sharp, roomy)
        return Bends(self.points[rows], self.corner[rows], arriving, leaving, turns, sharp, roomy, begins, ends)


def bends_of(traces: Sequence[Trace], pen: Pen, tolerance: float) -> Bends:
    """The bends of lines of two points or more, without repeats."""
    lines = end_to_end(traces)
    arriving, leaving = directions(lines)
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    turns = np.arctan2(cross, (arriving * leaving).sum(axis=1))
    half = pen.width / 2
    gentle = np.abs(turns) <= min(smooth_turn(half, tolerance) * (1 + ROUNDING), math.pi / 4)
    if pen.join in ("miter", "miter-clip"):
        pointed = np.cos(turns / 2) * min(pen.miter_limit, MAX_MITER) >= 1
    else:
        pointed = np.abs(turns) < ROUNDING
    lengths = np.hypot(*lines.steps().T)
    roomy = half * np.abs(np.tan(turns / 2)) <= np.minimum(lines.before(lengths), lengths) / 2
    sharp = ~(roomy & np.where(lines.corner, pointed, gentle))
    _let_end(np.append(lines.begins, lines.ends), turns, sharp, roomy)
    return Bends(lines.points, lines.corner, arriving, leaving, turns, sharp, roomy, lines.firsts, lines.lasts)


def _let_end(ends: Indices, turns: Floats, sharp: Flags, roomy: Flags) -> None:
    """Write down that lines end at some points."""
    turns[ends], sharp[ends], roomy[ends] = 0.0, False, True


def across(ways: Points, half: float) -> Points:
    """From the line to its left side, for unit directions."""
    return np.asarray(half * ways[:, ::-1] * (-1.0, 1.0))


def sides(bends: Bends, pen: Pen, tolerance: float) -> tuple[list[Points], list[Points]]:
    """The left and the right side of each line, both along it. Gentle bends take one point a side."""
    half = pen.width / 2
    shift = across(bends.arriving, half) - half * np.tan(bends.turns / 2)[:, None] * bends.arriving
    to_left = bends.turns > 0
    left = _side(bends, bends.points + shift, bends.sharp & to_left, pen, tolerance)
    return left, _side(bends, bends.points - shift, bends.sharp & ~to_left, pen, tolerance)


def _side(bends: Bends, plain: Points, inner: Flags, pen: Pen, tolerance: float) -> list[Points]:
    """One side of each line: what sharp bends make of it in place of the plain one's point."""
    within, without = np.flatnonzero(inner), np.flatnonzero(bends.sharp & ~inner)
    runs = np.ones(len(plain), dtype=np.intp)
    inside, runs[within] = inner_points(bends, within, pen)
    outside, runs[without] = outer_points(bends, without, pen, tolerance)
    after = np.cumsum(runs)
    begin = after - runs
    side = np.repeat(plain, runs, axis=0)
    side[ranges(begin[within], after[within])[1]] = inside
    side[ranges(begin[without], after[without])[1]] = outside
    return [side[a:b] for a, b in zip(begin[bends.firsts].tolist(), after[bends.lasts].tolist(), strict=True)]


def inner_points(bends: Bends, rows: Indices, pen: Pen) -> tuple[Points, Indices]:
    """The points of some sharp bends on their inner sides, one after the other, and how many each has: the crossing
    of the two sides, or where there is no room for it, their ends and the vertex between them."""
    if not len(rows):
        return np.empty((0, 2)), rows
    half, at, before, turns = pen.width / 2, bends.points[rows], bends.arriving[rows], bends.turns[rows]
    inward = np.where(turns > 0, 1.0, -1.0)[:, None]
    first, second = across(before, half), across(bends.leaving[rows], half)
    crossing = at + inward * (first - half * tangents(turns / 2)[:, None] * before)
    points = np.stack([at + inward * first, at, at + inward * second], axis=1)
    roomy = bends.roomy[rows]
    points[roomy, 0] = crossing[roomy]
    kept = np.ones((len(rows), 3), dtype=bool)
    kept[roomy, 1:] = False
    return points[kept], kept.sum(axis=1)


def outer_points(bends: Bends, rows: Indices, pen: Pen, tolerance: float) -> tuple[Points, Indices]:
    """The points of some sharp bends on their outer sides, one after the other, and how many each has: the ends of
    the two sides and the join between them. Inside a curve there are no joins, the pen just turns."""
    if not len(rows):
        return np.empty((0, 2)), rows
    half, at, turns = pen.width / 2, bends.points[rows], bends.turns[rows]
    outward = np.where(turns > 0, -1.0, 1.0)[:, None]
    first, second = (outward * across(ways[rows], half) for ways in (bends.arriving, bends.leaving))
    half_turn, limit = np.abs(turns) / 2, min(pen.miter_limit, MAX_MITER)
    is_round = ~bends.corner[rows] | (pen.join == "round")
    mitred = ~is_round & (pen.join in ("miter", "miter-clip"))
    pointed = mitred & (1 / np.maximum(np.cos(half_turn), NO_COSINE) <= limit)
    clipped = mitred & ~pointed & (pen.join == "miter-clip")
    steps = np.where(is_round, arc_steps(turns, half, tolerance), 1)
    counts = steps + 1 + pointed + 2 * clipped
    after = np.cumsum(counts)
    begin = after - counts
    points = np.empty((int(counts.sum()), 2))
    points[begin], points[after - 1] = at + first, at + second
    bend, step = ranges(np.ones_like(steps), steps)
    start = angles_of(first)
    points[begin[bend] + step] = at[bend] + half * unit(start[bend] + turns[bend] * step / steps[bend])
    reach = np.where(pointed, half * tangents(half_turn), _clipped_reach(half, half_turn, limit))[:, None]
    tipped = pointed | clipped
    points[begin[tipped] + 1] = (at + first + reach * bends.arriving[rows])[tipped]
    points[begin[clipped] + 2] = (at + second - reach * bends.leaving[rows])[clipped]
    return points, counts


def _clipped_reach(half: float, half_turn: Floats, limit: float) -> Floats:
    """How far beyond the vertex the outer edges run until a miter clipped at half the limit times the width.

    The clip line stands across the bisector, limit x half from the vertex (SVG 2, 13.5.5, miter-clip).
    """
    from_bevel = limit * half - half * np.cos(half_turn)
    return np.maximum(0.0, from_bevel / np.maximum(np.sin(half_turn), NO_SINE))


def arc_steps(sweep: Floats | float, radius: float, tolerance: float) -> Indices:
    """How many chords circular arcs take, so that they lie within the tolerance: r (1 - cos(step / 2))."""
    return np.maximum(1, np.ceil(np.abs(sweep) / smooth_turn(radius, tolerance))).astype(np.intp)


def unit(angles: Floats) -> Points:
    """Points of the unit circle, one more axis than the angles have."""
    return np.stack([np.cos(angles), np.sin(angles)], axis=-1)


# For joins and caps these are the C library's functions: numpy's own differ in the last bit, by the processor too, and
# the last bit of a stroke decides tenths of micrometres on a film.


def tangents(angles: Floats) -> Floats:
    """The tangent of each angle."""
    return np.array([math.tan(angle) for angle in angles.tolist()])


def angles_of(ways: Points) -> Floats:
    """The angle of each direction (k, 2), in radians."""
    return np.array([math.atan2(y, x) for x, y in ways.tolist()])
