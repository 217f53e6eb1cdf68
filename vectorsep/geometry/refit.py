"""Smooth outlines of plates: few cubic curves and lines in place of thousands of chords, within a stated tolerance.

Corners and straight edges are found first and kept exactly. What lies between is covered by cubics; a piece that
misses is cut at its worst vertex, and neighbours that one cubic can hold are joined again. All pieces of a plate are
fitted at once, as arrays. Where the polygon is rough, pieces may meet at an angle that the tolerance allows over
their length; no film shows it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.geometry.cubic_fit import Indices, Stretches, fit_cubics
from vectorsep.geometry.curves import CURVE, FLATNESS_MM, LINE, MOVE, Outline, Points, flatten, joined, polyline_outline
from vectorsep.geometry.region import GRID_MM, polygons
from vectorsep.model import Region

REFIT_TOLERANCE_MM = 0.005
"""How far a refitted outline may lie from its polygon, and the polygon from it: a dot at 5,080 dpi."""
REFIT_GUARD_MM = 2 * (REFIT_TOLERANCE_MM + FLATNESS_MM)
"""What two refitted outlines can lose of the distance between their polygons, once read back: each may have moved by
the tolerance, and each is flattened again by the reader. Plates that must keep a distance carry this beyond it."""
FILM_GUARD_MM = REFIT_GUARD_MM + 2 * FLATNESS_MM
"""What plates must keep beyond a clearance they promise, so that films which are refitted, read back and measured
on the pessimistic side still hold it; without it a stack made exactly to its clearance would be called unsafe."""
AIMS = (0.85, 0.6, 0.3)
"""The fit looks at vertices and edges' middles and aims at this share of the tolerance there, to hold it everywhere;
a ring that misses is fitted anew at the next share."""
CORNER_SAG_MM = 0.005
"""A vertex whose chords would bulge by more, were they chords of an arc, is a corner that somebody drew: the chords
of flattened curves bulge by FLATNESS_MM at most, those of grown edges by the offset's tolerance and smoothing."""
THINNING_MM = 0.0005
"""Vertices nearer than this to a line through their neighbours only cost time; the outcome is held to all of them."""
FIRST_TURN = 3 * math.pi / 4
"""Pieces turn by no more than this before the first fit. A cubic is off a quarter circle by 2.7e-4 of its radius, and
by the sixth power of the turn: 3e-3 here, enough for a grown corner."""
MOST_NEIGHBOURS, SPAN_MM = 4, 0.3
"""A vertex' tangent looks at most so many neighbours and so far to either side."""
EDGE_MM = 0.2
"""Longer edges on curves are split for the fit, and lines longer than this stay lines."""
JOINING_ROUNDS = 4


@dataclass(frozen=True, slots=True, eq=False)
class _Samples:
    """Rings as one row of points: a vertex at every even place, its edge's middle after it; each ring is closed.

    `before` and `after` are unit tangents, arriving and leaving; `along` the length run so far (mm).
    """

    points: Points
    before: Points
    after: Points
    along: Points


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    """Stretches of the samples, `first` to `last`; `handles` hold their cubics, `bent` whether it is one at all."""

    first: Indices
    last: Indices
    handles: Points
    bent: NDArray[np.bool_]


def refit(region: Region, tolerance_mm: float = REFIT_TOLERANCE_MM) -> list[Outline]:
    """Outlines of a region's pieces, in the order of `polygons`, outer ring first, on the plates' grid.

    No point of an outline lies farther than the tolerance from its polygon's edge, nor the other way round; a
    ring for which that cannot be had keeps its vertices.
    """
    rings, owner = shapely.get_rings(polygons(region), return_index=True)
    loops = [shapely.get_coordinates(ring)[:-1] for ring in rings]
    smooth = _smoothed(loops, tolerance_mm, AIMS)
    ends = np.searchsorted(owner, np.arange(len(polygons(region)) + 1))
    return [joined(smooth[start:end]) for start, end in pairwise(ends)]


def _smoothed(loops: list[Points], tolerance_mm: float, aims: tuple[float, ...]) -> list[Outline]:
    """An outline for each loop: fitted at the first aim that truly holds the tolerance, else with its own vertices.

    What thinning took away lies within its own tolerance, which is kept back when the rest is measured.
    """
    if not loops or not aims:
        return [polyline_outline(loop, closed=True) for loop in loops]
    thinned = [_thinned(loop) for loop in loops]
    outlines = _fitted_outlines(thinned, aims[0] * tolerance_mm)
    held = tolerance_mm - THINNING_MM
    missed = [i for i, loop in enumerate(thinned) if apart_mm(outlines[i], loop) > held]
    for i, outline in zip(missed, _smoothed([loops[i] for i in missed], tolerance_mm, aims[1:]), strict=True):
        outlines[i] = outline
    return outlines


def _thinned(loop: Points) -> Points:
    return shapely.get_coordinates(shapely.simplify(shapely.linearrings(loop), THINNING_MM))[:-1]


def _fitted_outlines(loops: list[Points], aim_mm: float) -> list[Outline]:
    parts = [_sample(loop) for loop in loops]
    starts = np.cumsum([0, *(len(samples.points) for samples, _ in parts)])
    columns = zip(*((part.points, part.before, part.after, part.along) for part, _ in parts), strict=True)
    samples = _Samples(*(np.concatenate(column) for column in columns))
    cuts = [start + cut for start, (_, cut) in zip(starts, parts, strict=False)]
    first = np.concatenate([cut[:-1] for cut in cuts])
    pieces = _fitted(samples, _unfitted(first, np.concatenate([cut[1:] for cut in cuts])), aim_mm)
    pieces = _joined_pieces(samples, pieces, aim_mm)
    return [_outline(samples, pieces, start, end) for start, end in pairwise(starts)]


def _unfitted(first: Indices, last: Indices) -> _Pieces:
    return _Pieces(first, last, np.zeros((len(first), 2, 2)), last - first > 2)


def _sample(loop: Points) -> tuple[_Samples, Indices]:
    """One loop's samples, started at a cut, and the places of its cuts, first and last the loop's end.

    Long edges that are not straight ones by themselves are split, so that a curve cannot stray between samples. The
    row ends with the first vertex again and one filler, so that every vertex has an even place.
    """
    legs = np.roll(loop, -1, axis=0) - loop
    lengths = _lengths(legs)
    turns = np.abs(_turns(legs / lengths[:, None]))
    corner = turns * np.minimum(lengths, np.roll(lengths, 1)) / 8 > CORNER_SAG_MM
    straight = lengths * np.minimum(turns, np.roll(turns, -1)) / 8 > CORNER_SAG_MM
    sharp = corner | straight | np.roll(straight, 1)
    start = int(np.argmax(sharp))
    order = np.append(np.roll(np.arange(len(loop)), -start), start)
    vertices, home = _densely(
        loop[order], np.where(straight, 1, np.ceil(lengths / EDGE_MM))[order[:-1]].astype(np.intp)
    )
    before, after = (_between(tangents[order], home, vertices) for tangents in _tangents(loop, corner, straight))
    sharp_here, turns_here = np.zeros(len(vertices), dtype=bool), np.zeros(len(vertices))
    sharp_here[home], turns_here[home] = sharp[order], np.where(corner, 0.0, turns)[order]
    cut = sharp_here | _turning_points(turns_here, sharp_here)
    cut[0] = cut[-1] = True
    points = _interleaved(vertices)
    steps = np.diff(points[:-1], axis=0)
    along = np.append(np.append(0.0, np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))), 0.0)
    samples = _Samples(points, np.repeat(before, 2, axis=0), np.repeat(after, 2, axis=0), along)
    return samples, 2 * np.flatnonzero(cut)


def _densely(vertices: Points, counts: Indices) -> tuple[Points, Indices]:
    """An open row of vertices with each edge split into so many parts, and where the given vertices come to stand."""
    home = np.append(0, np.cumsum(counts))
    edge = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(home[-1]) - home[edge]) / counts[edge]
    inner = vertices[edge] + share[:, None] * (vertices[edge + 1] - vertices[edge])
    return np.append(inner, vertices[-1:], axis=0), home


def _between(tangents: Points, home: Indices, vertices: Points) -> Points:
    """Tangents of all vertices: the given ones at home, along the edge where an edge was split."""
    spread = np.append(_unit(np.diff(vertices, axis=0)), tangents[-1:], axis=0)
    spread[home] = tangents
    return spread


def _interleaved(vertices: Points) -> Points:
    """Every vertex, and after it the middle of its edge; the last one twice."""
    middles = np.append((vertices[:-1] + vertices[1:]) / 2, vertices[-1:], axis=0)
    return np.stack([vertices, middles], axis=1).reshape(-1, 2)


def _turning_points(turns: Points, cut: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Where a stretch has turned by FIRST_TURN since the last cut, or once more by as much."""
    whole = np.cumsum(turns)
    since = np.floor((whole - np.maximum.accumulate(np.where(cut, whole, 0.0))) / FIRST_TURN)
    return np.diff(since, prepend=0.0) > 0


def _turns(units: Points) -> Points:
    """By how many radians the direction changes at each vertex, from the edge before it to the edge after it."""
    came = np.roll(units, 1, axis=0)
    cross = came[:, 0] * units[:, 1] - came[:, 1] * units[:, 0]
    return np.asarray(np.arctan2(cross, (came * units).sum(axis=1)))


def _tangents(loop: Points, corner: NDArray[np.bool_], straight: NDArray[np.bool_]) -> tuple[Points, Points]:
    """Unit tangents arriving at and leaving each vertex.

    At a smooth vertex that of the circle through it and two of its neighbours, as far out as SPAN_MM and the next
    corner allow, for near ones tell more of rounding than of the curve; of a straight edge the edge's own; at a
    corner that of the circle which has the tangent of a vertex further on.
    """
    sharp = corner | straight | np.roll(straight, 1)
    tangent, clear = np.zeros_like(loop), ~sharp
    for reach in range(1, MOST_NEIGHBOURS + 1):
        came, goes = loop - np.roll(loop, reach, axis=0), np.roll(loop, -reach, axis=0) - loop
        before, after = _lengths(came), _lengths(goes)
        use = clear & ((reach == 1) | (np.maximum(before, after) <= SPAN_MM))
        tangent[use] = _unit(came / (before**2)[:, None] + goes / (after**2)[:, None])[use]
        clear = use & ~np.roll(sharp, reach) & ~np.roll(sharp, -reach)
    units = _unit(np.roll(loop, -1, axis=0) - loop)
    for edge_is_straight, unit in ((np.roll(straight, 1), np.roll(units, 1, axis=0)), (straight, units)):
        tangent[edge_is_straight] = unit[edge_is_straight]
    tangent[corner] = 0.0
    before = np.where(corner[:, None], _mirrored(np.roll(tangent, 1, axis=0), np.roll(units, 1, axis=0)), tangent)
    after = np.where(corner[:, None], _mirrored(np.roll(tangent, -1, axis=0), units), tangent)
    return before, after


def _lengths(vectors: Points) -> Points:
    return np.maximum(np.hypot(vectors[:, 0], vectors[:, 1]), GRID_MM)


def _unit(vectors: Points) -> Points:
    return vectors / _lengths(vectors)[:, None]


def _mirrored(tangent: Points, chord: Points) -> Points:
    """Tangents of circles at the other ends of their chords; the chord itself where no tangent is given."""
    mirrored = 2 * (tangent * chord).sum(axis=1)[:, None] * chord - tangent
    return np.where((tangent == 0).all(axis=1)[:, None], chord, mirrored)


def _fitted(samples: _Samples, pieces: _Pieces, aim_mm: float) -> _Pieces:
    """Halve pieces until each is a single edge or within the aim."""
    done: list[_Pieces] = []
    while len(pieces.first):
        handles, off_mm, worst = _fit(samples, pieces.first, pieces.last, aim_mm)
        good = (off_mm <= aim_mm) | ~pieces.bent
        done.append(_Pieces(pieces.first[good], pieces.last[good], handles[good], pieces.bent[good]))
        first, last, worst = pieces.first[~good], pieces.last[~good], worst[~good]
        pieces = _unfitted(np.concatenate([first, worst]), np.concatenate([worst, last]))
    return _in_order(done)


def _in_order(parts: list[_Pieces]) -> _Pieces:
    first, last, handles, bent = (
        np.concatenate([getattr(part, name) for part in parts]) for name in ("first", "last", "handles", "bent")
    )
    order = np.argsort(first)
    return _Pieces(first[order], last[order], handles[order], bent[order])


def _joined_pieces(samples: _Samples, pieces: _Pieces, aim_mm: float) -> _Pieces:
    """Join neighbours, two by two, that meet smoothly and that one cubic holds within the aim.

    Long edges stay lines: they have too few samples to hold a curve to them.
    """
    for round_ in range(JOINING_ROUNDS):
        free = pieces.bent | (samples.along[pieces.last] - samples.along[pieces.first] <= EDGE_MM)
        left = np.arange(round_ % 2, len(pieces.first) - 1, 2)
        meet = (samples.before[pieces.last[left]] == samples.after[pieces.last[left]]).all(axis=1)
        left = left[(pieces.last[left] == pieces.first[left + 1]) & meet & free[left] & free[left + 1]]
        if not len(left):
            continue
        handles, off_mm, _ = _fit(samples, pieces.first[left], pieces.last[left + 1], aim_mm)
        good = left[off_mm <= aim_mm]
        merged = _Pieces(
            pieces.first[good], pieces.last[good + 1], handles[off_mm <= aim_mm], np.ones(len(good), dtype=bool)
        )
        rest = np.ones(len(pieces.first), dtype=bool)
        rest[good] = rest[good + 1] = False
        kept = _Pieces(pieces.first[rest], pieces.last[rest], pieces.handles[rest], pieces.bent[rest])
        pieces = _in_order([kept, merged])
    return pieces


def _fit(samples: _Samples, first: Indices, last: Indices, aim_mm: float) -> tuple[Points, Points, Indices]:
    """The best cubic for each stretch: its handles (k, 2, 2), how far (mm) samples lie off, the worst inner vertex."""
    counts = last - first + 1
    starts = np.cumsum(counts) - counts
    owner = np.repeat(np.arange(len(first)), counts)
    place = np.arange(counts.sum()) - (starts - first)[owner]
    ends = np.stack([samples.points[first], samples.points[last]], axis=1)
    tangents = np.stack([samples.after[first], -samples.before[last]], axis=1)
    length = samples.along[last] - samples.along[first]
    stretches = Stretches(starts, owner, samples.points[place], ends, tangents, length)
    share = (samples.along[place] - samples.along[first][owner]) / length[owner]
    handles, off = fit_cubics(stretches, share, aim_mm)
    inner = (place % 2 == 0) & (place > first[owner]) & (place < last[owner])
    ranked = np.where(inner, off, -1.0)
    is_worst = ranked == stretches.worst(ranked)[owner]
    return handles, stretches.worst(off), np.maximum.reduceat(np.where(is_worst, place, -1), starts)


def _outline(samples: _Samples, pieces: _Pieces, start: int, end: int) -> Outline:
    """One ring's pieces, between two places of the samples, as a closed outline on the plates' grid."""
    here = slice(*np.searchsorted(pieces.first, (start, end)))
    bent, first, last = pieces.bent[here], pieces.first[here], pieces.last[here]
    ends_straight = not bent[-1]
    knots = samples.points[np.append(first[:1], last[:-1] if ends_straight else last)]
    steps = np.append(MOVE, np.where(bent, CURVE, LINE)[: len(knots) - 1]).astype(np.uint8)
    handles = pieces.handles[here][bent]
    return Outline(_rounded(knots), steps, _rounded(handles), np.array([True]))


def _rounded(points: Points) -> Points:
    return np.asarray(np.rint(points / GRID_MM) * GRID_MM)


def apart_mm(outline: Outline, loop: Points) -> float:
    """The farthest that a closed outline of one ring and a loop of vertices lie from each other, either way.

    Chords are compared by their ends and middles, the outline's at a tenth of the tolerance.
    """
    curve = flatten(outline, REFIT_TOLERANCE_MM / 10)[0].points
    return max(_farthest(curve, loop), _farthest(loop, curve))


def _farthest(loop: Points, other: Points) -> float:
    """The largest distance from a closed loop's vertices and edges' middles to another closed loop."""
    following = np.roll(other, -1, axis=0)
    edges = np.asarray(shapely.linestrings(np.stack([other, following], axis=1)))
    places = np.concatenate([loop, (loop + np.roll(loop, -1, axis=0)) / 2])
    _, distances = shapely.STRtree(edges).query_nearest(shapely.points(places), return_distance=True, all_matches=False)
    return float(distances.max())
