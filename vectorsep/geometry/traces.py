"""Flattened lines that remember the true directions of their curves, for widening and dashing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vectorsep.geometry.arrays import Flags, Indices
from vectorsep.geometry.curves import Outline, Points, chords

STUB_SHARE = 1e-3
"""Handles shorter than this share of their curve are stubs left by rounding, and point nowhere in particular."""
LAST_BITS = 8
"""Points so many times the last bit of their coordinates apart are one: a curve from a point to itself is cut into
such, and none of them says which way it goes."""


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """One flattened subpath. All arrays have a row a point.

    `corner` marks the ends of segments, which take joins. `arriving` and `leaving` are the true directions of the
    curves that end or begin at a point, (0, 0) where the chord itself is the direction.
    """

    points: Points
    corner: Flags
    arriving: Points
    leaving: Points
    closed: bool

    def opened(self, extra: int) -> Trace:
        """A closed line cut at its start and led on over its first `extra` points."""
        rows = np.concatenate([np.arange(len(self.points)), np.arange(extra)])
        return Trace(self.points[rows], self.corner[rows], self.arriving[rows], self.leaving[rows], False)

    def without_repeats(self, slip: float = 0.0) -> Trace:
        """Points no farther than a slip from the one that stays before them merged with it; on a closed line, the last
        with the first. Where nothing but one point would be left, only those equal but for the last bits are merged."""
        first = _staying(self.points, slip)
        last = np.append(first[1:], len(self.points)) - 1
        corner = np.logical_or.reduceat(self.corner, first)
        points, arriving, leaving = self.points[first], self.arriving[first], self.leaving[last]
        if self.closed and len(points) > 1 and (np.abs(points[0] - points[-1]) <= slip).all():
            arriving[0] = arriving[-1]
            corner[0] |= corner[-1]
            points, corner, arriving, leaving = points[:-1], corner[:-1], arriving[:-1], leaving[:-1]
        least = LAST_BITS * float(np.spacing(np.abs(self.points).max(initial=0.0)))
        if slip > least and len(points) == 1:
            return self.without_repeats(least)
        return Trace(points, corner, arriving, leaving, self.closed)


def _staying(points: Points, slip: float) -> Indices:
    """Which points stay where each one no farther than a slip from the last that stays is merged with it. To ask from
    each to the next is not enough: all of a tight curve under a wide pen may be drawn in steps of less, and steps out
    and back may end where they began."""
    if (np.abs(np.diff(points, axis=0)).max(axis=1) > slip).all():
        return np.arange(len(points))
    staying, (last_x, last_y) = [0], points[0]
    for i, (x, y) in enumerate(points.tolist()):
        if max(abs(x - last_x), abs(y - last_y)) > slip:
            staying.append(i)
            last_x, last_y = x, y
    return np.array(staying, dtype=np.intp)


def trace(outline: Outline, tolerance: float, turn: float) -> list[Trace]:
    """Flatten an outline to within the tolerance and the turn in radians from chord to chord.

    Raises TooManyPoints.
    """
    if outline.is_empty:
        return []
    points, corner, last = chords(outline, tolerance, turn)
    arriving, leaving = np.zeros_like(points), np.zeros_like(points)
    curve = np.flatnonzero(outline.curved)
    if len(curve):
        start, end = outline.knots[curve - 1], outline.knots[curve]
        first, second = outline.handles[:, 0], outline.handles[:, 1]
        leaving[last[curve - 1]] = _direction(start, first, second, end)
        arriving[last[curve]] = -_direction(end, second, first, start)
    starts = last[outline.starts]
    ends = [*starts[1:], len(points)]
    return [
        Trace(points[a:b], corner[a:b], arriving[a:b], leaving[a:b], bool(closed))
        for a, b, closed in zip(starts, ends, outline.closed, strict=True)
    ]


def _direction(at: Points, *others: Points) -> Points:
    """From each point towards the first of the others that is not just a stub away; (0, 0) where all coincide."""
    ways = np.stack([other - at for other in others])
    reach = np.abs(ways).max(axis=2)
    way = np.zeros_like(at)
    for towards, length in zip(ways[::-1], reach[::-1], strict=True):
        drawn = (length > 0) & (length >= STUB_SHARE * reach.max(axis=0))
        way[drawn] = towards[drawn]
    return way


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Many lines end to end, each of two points or more and without repeats. Rows of points are as a trace has them."""

    points: Points
    corner: Flags
    arriving: Points
    leaving: Points
    firsts: Indices
    """Where each line begins."""
    lasts: Indices
    """Where it ends."""
    is_open: Flags
    """Which lines are not closed."""

    @property
    def begins(self) -> Indices:
        """Where open lines begin."""
        return self.firsts[self.is_open]

    @property
    def ends(self) -> Indices:
        """Where open lines end."""
        return self.lasts[self.is_open]

    def steps(self) -> Points:
        """From each point to the next on its line; from the last one to the first."""
        following = np.arange(1, len(self.points) + 1)
        following[self.lasts] = self.firsts
        return np.asarray(self.points[following] - self.points)

    def before(self, steps: Points) -> Points:
        """The step before each point."""
        preceding = np.arange(-1, len(self.points) - 1)
        preceding[self.firsts] = self.lasts
        return np.asarray(steps[preceding])


def end_to_end(lines: Sequence[Trace]) -> Lines:
    """Lines of two points or more, without repeats, put together."""
    counts = np.array([len(line.points) for line in lines], dtype=np.intp)
    lasts = np.cumsum(counts) - 1
    points, corner, arriving, leaving = (
        np.concatenate([getattr(line, name) for line in lines]) for name in ("points", "corner", "arriving", "leaving")
    )
    is_open = np.array([not line.closed for line in lines])
    return Lines(points, corner, arriving, leaving, lasts - counts + 1, lasts, is_open)


def directions(lines: Lines) -> tuple[Points, Points]:
    """Unit directions in which the lines arrive at each point and leave it.

    At the ends of an open line, the one that is missing equals the other.
    """
    steps, begins, ends = lines.steps(), lines.begins, lines.ends
    arriving = np.where((lines.arriving != 0).any(axis=1, keepdims=True), lines.arriving, lines.before(steps))
    leaving = np.where((lines.leaving != 0).any(axis=1, keepdims=True), lines.leaving, steps)
    arriving[begins], leaving[ends] = leaving[begins], arriving[ends]
    return _unit(arriving), _unit(leaving)


def _unit(ways: Points) -> Points:
    scaled = ways / np.abs(ways).max(axis=1)[:, None]
    return np.asarray(scaled / np.hypot(scaled[:, 0], scaled[:, 1])[:, None])
