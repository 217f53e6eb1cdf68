"""Widening polylines into the region a stroke covers: caps, joins, miter limit (SVG 2, 13.5).

By definition the region is the union of one rectangle a chord, one wedge a join and one shape a cap. The boundaries
of all these, wound the same way, add up to one ring around an open line (two around a closed one): where rectangles
meet on the inner side of a bend, the ring runs through the vertex itself. Filling that ring by the non-zero rule
covers the union exactly. Where both chords are long enough, the overlap of two rectangles is cut off at the inner
side's own crossing instead, which leaves every place covered still covered, and most rings without a crossing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TypeAlias

import numpy as np

from vectorsep.geometry.arrays import Indices
from vectorsep.geometry.bends import (
    Bends,
    Pen,
    across,
    angles_of,
    arc_steps,
    bends_of,
    outer_points,
    sides,
    smooth_turn,
    unit,
)
from vectorsep.geometry.boolean import union
from vectorsep.geometry.curves import Points
from vectorsep.geometry.dashes import dashed
from vectorsep.geometry.fill import filled_rings, uncrossed
from vectorsep.geometry.region import EMPTY
from vectorsep.geometry.traces import Trace
from vectorsep.model import Region

SLIP_SHARE = 5e-5
"""Steps shorter than this share of the pen's width are a slip of rounding, as where a path written in relative numbers
comes back beside its start. They point nowhere in particular, and a pointed join to one is a spike of two widths.
Browsers leave out steps below 1/4096 of a pixel, whatever the pen (seen in their outcome)."""
_Rings: TypeAlias = tuple[Indices, Sequence[Points] | Points]
"""Rings, and for each a point of the line that it is of."""


def stroked_each(strokes: Sequence[Sequence[Trace]], pen: Pen, tolerance: float) -> list[Region]:
    """The regions that the pen covers along the flattened subpaths of each stroke; arcs are within the tolerance.

    Raises TooManyDashes for a dash pattern too fine to follow, Unfillable for a line crossing itself too often.
    """
    if not pen.width > 0:
        return [EMPTY] * len(strokes)
    if pen.dashes:
        strokes = [
            [dash for line in stroke for dash in dashed(line, pen.dashes, pen.dash_offset)] for stroke in strokes
        ]
    covered = iter(_covered_each([line for stroke in strokes for line in stroke], pen, tolerance))
    return [_united(list(islice(covered, len(stroke)))) for stroke in strokes]


def _united(regions: Sequence[Region]) -> Region:
    return regions[0] if len(regions) == 1 else union(regions)


def _covered_each(lines: Sequence[Trace], pen: Pen, tolerance: float) -> list[Region]:
    """What the pen covers along each line."""
    lines = [line.without_repeats(SLIP_SHARE * pen.width) for line in lines]
    around = iter(_rings([line for line in lines if len(line.points) > 1], pen, tolerance))
    rings = [next(around) if len(line.points) > 1 else _dot(line.points, pen, tolerance) for line in lines]
    whole = uncrossed(rings, [False] * len(lines))
    crossing = [line for line, region in zip(lines, whole, strict=True) if region is None]
    covered = iter(_covered(crossing, pen, tolerance))
    return [next(covered) if region is None else region for region in whole]


def _rings(lines: Sequence[Trace], pen: Pen, tolerance: float) -> list[list[Points]]:
    """For each line the rings whose non-zero filling is its stroke."""
    if not lines:
        return []
    bends = bends_of(lines, pen, tolerance)
    ends = _caps(bends.points[bends.lasts], bends.arriving[bends.lasts], pen, tolerance)
    starts = _caps(bends.points[bends.firsts], -bends.leaving[bends.firsts], pen, tolerance)
    return [
        [left, right[::-1]] if line.closed else [np.concatenate([left, end, right[::-1], start])]
        for line, left, right, end, start in zip(lines, *sides(bends, pen, tolerance), ends, starts, strict=True)
    ]


def _dot(point: Points, pen: Pen, tolerance: float) -> list[Points]:
    """A subpath without length, at a (1, 2) point: a disc or an upright square (SVG 2, 13.5.4), nothing for butt
    caps."""
    if pen.cap == "butt":
        return []
    east = np.array([[1.0, 0.0]])
    if pen.cap == "round":
        return [_arcs(point, pen.width / 2, np.zeros(1), 2 * math.pi, tolerance)[0, :-1]]
    return [np.concatenate([_caps(point, east, pen, tolerance)[0], _caps(point, -east, pen, tolerance)[0]])]


def _caps(at: Points, ways: Points, pen: Pen, tolerance: float) -> Points:
    """The points of caps (k, n, 2) from the left side to the right side of lines that arrive at (k, 2) points by the
    given ways."""
    half = pen.width / 2
    if pen.cap == "butt":
        return np.empty((len(at), 0, 2))
    if pen.cap == "round":
        return _arcs(at, half, angles_of(ways) + math.pi / 2, -math.pi, tolerance)
    side, out = across(ways, half), half * ways
    return np.stack([at + side + out, at - side + out], axis=1)


def _arcs(centres: Points, radius: float, starts: Points, sweep: float, tolerance: float) -> Points:
    """Points (k, n, 2) of circular arcs, both ends included."""
    count = int(arc_steps(sweep, radius, tolerance))
    return centres[:, None] + radius * unit(starts[:, None] + sweep * np.arange(count + 1) / count)


def _covered(lines: Sequence[Trace], pen: Pen, tolerance: float) -> list[Region]:
    """The strokes of lines that cross themselves, each the union of stretches that do not, joins where bends leave no
    room, and caps."""
    if not lines:
        return []
    bends = bends_of([line.opened(2) if line.closed else line for line in lines], pen, tolerance)
    stretches = np.array(_stretches(bends), dtype=np.intp).reshape(-1, 2)
    long = stretches[:, 1] > stretches[:, 0] + 1
    groups = [
        *_wedges(bends, pen, tolerance),
        _bands(bends, stretches[~long, 0], pen.width / 2),
        _long(bends, stretches[long], pen, tolerance),
        *_ends(bends, [line.closed for line in lines], pen, tolerance),
    ]
    rings: list[list[Points]] = [[] for _ in lines]
    for at, shapes in groups:
        for line, ring in zip(np.searchsorted(bends.lasts, at).tolist(), shapes, strict=True):
            rings[line].append(ring)
    pieces = iter(filled_rings([ring for of_line in rings for ring in of_line]))
    return [union(islice(pieces, len(of_line))) for of_line in rings]


def _stretches(bends: Bends) -> list[tuple[int, int]]:
    """First and last point of stretches of the lines that turn by a quarter at most.

    They end at bends without room, or one chord after the next stretch begins, so that every other bend lies inside
    some stretch.
    """
    stretches = []
    turns, rooms = np.abs(bends.turns).tolist(), bends.roomy.tolist()
    for first, last in zip(bends.firsts.tolist(), bends.lasts.tolist(), strict=True):
        begin, turned = first, 0.0
        for i in range(first + 1, last):
            turned += turns[i]
            if not rooms[i]:
                stretches.append((begin, i))
                begin, turned = i, 0.0
            elif turned > math.pi / 2 and i - 1 > begin:
                stretches.append((begin, i))
                begin, turned = i - 1, turns[i]
        stretches.append((begin, last))
    return stretches


def _wedges(bends: Bends, pen: Pen, tolerance: float) -> Iterator[_Rings]:
    """The joins at all bends without room, as rings through the vertex; slight ones are triangles."""
    half = pen.width / 2
    slight = ~bends.roomy & ~bends.corner & (np.abs(bends.turns) <= smooth_turn(half, tolerance))
    side = np.where(bends.turns[slight] > 0, -1.0, 1.0)[:, None]
    at = bends.points[slight]
    ends = [at + side * across(ways[slight], half) for ways in (bends.arriving, bends.leaving)]
    yield np.flatnonzero(slight), np.stack([at, *ends], axis=1)
    rows = np.flatnonzero(~bends.roomy & ~slight)
    outer, counts = outer_points(bends, rows, pen, tolerance)
    joins = np.split(outer, np.cumsum(counts)[:-1])
    yield rows, [np.concatenate([bends.points[[i]], join]) for i, join in zip(rows.tolist(), joins, strict=False)]


def _bands(bends: Bends, chords: Indices, half: float) -> _Rings:
    """The rings around single chords, each through its end points."""
    start, end = bends.points[chords], bends.points[chords + 1]
    at_start, at_end = across(bends.leaving[chords], half), across(bends.arriving[chords + 1], half)
    return chords, np.stack([start, start + at_start, end + at_end, end, end - at_end, start - at_start], axis=1)


def _long(bends: Bends, stretches: Indices, pen: Pen, tolerance: float) -> _Rings:
    """The rings around parts of lines, (k, 2) first and last points, through these and without caps."""
    first, last = stretches.T
    left_right = zip(*sides(bends.parts(first, last), pen, tolerance), strict=True)
    starts, ends = bends.points[first, None], bends.points[last, None]
    rings = [
        np.concatenate([start, left, end, right[::-1]])
        for start, end, (left, right) in zip(starts, ends, left_right, strict=True)
    ]
    return first, rings


def _ends(bends: Bends, closed: Sequence[bool], pen: Pen, tolerance: float) -> Iterator[_Rings]:
    """The caps of the lines as rings through their end points; those of closed lines have no area."""
    for at, ways in ((bends.firsts, -bends.leaving), (bends.lasts, bends.arriving)):
        points, way = bends.points[at], ways[at]
        side, caps = across(way, pen.width / 2), _caps(points, way, pen, tolerance)
        yield (
            at,
            [
                np.concatenate([[point, point + out], cap[: 0 if is_closed else None], [point - out]])
                for point, out, cap, is_closed in zip(points, side, caps, closed, strict=True)
            ],
        )
