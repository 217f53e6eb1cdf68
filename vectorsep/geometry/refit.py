"""Smooth outlines of plates: few cubic curves and lines in place of thousands of chords, within a stated tolerance.

Corners and straight edges are found first and kept exactly. What lies between is covered by cubics with tangents
taken from the polygon, by least squares; a piece that misses is halved, and neighbours that one cubic can hold are
joined again. All pieces of a plate are fitted at once, as arrays.

Sources: least squares with fixed end tangents and the re-parametrisation by Newton's step, P. J. Schneider, "An
Algorithm for Automatically Fitting Digitized Curves", Graphics Gems (1990), here over all pieces at a time.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

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
AIMS = (0.6, 0.3)
"""The fit looks at vertices and edges' middles and aims at this share of the tolerance there, to hold it everywhere;
a ring that misses is fitted anew at the next share."""
CORNER_SAG_MM = 0.005
"""A vertex whose chords would bulge by more, were they chords of an arc, is a corner that somebody drew: the chords
of flattened curves bulge by FLATNESS_MM at most, those of grown edges by the offset's tolerance and smoothing."""
THINNING_MM = 0.0005
"""Vertices nearer than this to a line through their neighbours only cost time; the outcome is held to all of them."""
FIRST_TURN = math.pi / 2
"""Pieces turn by no more than this before the first fit; a cubic is off a quarter circle by 2.7e-4 of its radius."""
LEAST_REACH = 0.01
"""A handle shorter than this share of its piece makes a kink where the piece starts."""
NEWTON_STEPS = 4
JOINING_ROUNDS = 4

Indices = NDArray[np.intp]


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
    """An outline for each loop: fitted at the first aim that truly holds the tolerance, else with its own vertices."""
    if not loops or not aims:
        return [polyline_outline(loop, closed=True) for loop in loops]
    outlines = _fitted_outlines([_thinned(loop) for loop in loops], aims[0] * tolerance_mm)
    missed = [i for i, loop in enumerate(loops) if apart_mm(outlines[i], loop) > tolerance_mm]
    for i, outline in zip(missed, _smoothed([loops[i] for i in missed], tolerance_mm, aims[1:]), strict=True):
        outlines[i] = outline
    return outlines


def _thinned(loop: Points) -> Points:
    return shapely.get_coordinates(shapely.simplify(shapely.linearrings(loop), THINNING_MM))[:-1]


def _fitted_outlines(loops: list[Points], aim_mm: float) -> list[Outline]:
    samples, pieces = _cut_at_corners(loops)
    pieces = _joined_pieces(samples, _fitted(samples, pieces, aim_mm), aim_mm)
    starts = 2 * np.cumsum([0, *(len(loop) + 1 for loop in loops)])
    return [_outline(samples, pieces, start, end) for start, end in pairwise(starts)]


def _cut_at_corners(loops: list[Points]) -> tuple[_Samples, _Pieces]:
    """Samples of all loops, and first pieces from corner to corner, straight edges by themselves."""
    parts = [_sample(loop) for loop in loops]
    columns = zip(*((s.points, s.before, s.after, s.along) for s, _ in parts), strict=True)
    samples = _Samples(*(np.concatenate(column) for column in columns))
    offsets = np.cumsum([0, *(len(s.points) for s, _ in parts)])
    first = np.concatenate([offset + cuts[:-1] for offset, (_, cuts) in zip(offsets, parts, strict=False)])
    last = np.concatenate([offset + cuts[1:] for offset, (_, cuts) in zip(offsets, parts, strict=False)])
    return samples, _unfitted(first, last)


def _unfitted(first: Indices, last: Indices) -> _Pieces:
    return _Pieces(first, last, np.zeros((len(first), 2, 2)), last - first > 2)


def _sample(loop: Points) -> tuple[_Samples, Indices]:
    """One loop's samples, started at a cut, and the places of its cuts, first and last the loop's end.

    The row ends with the first vertex again and one filler, so that every vertex has an even place.
    """
    legs = np.roll(loop, -1, axis=0) - loop
    lengths = np.hypot(legs[:, 0], legs[:, 1])
    units = legs / lengths[:, None]
    turns = np.abs(_turns(units))
    corner = turns * np.minimum(lengths, np.roll(lengths, 1)) / 8 > CORNER_SAG_MM
    straight = lengths * np.minimum(turns, np.roll(turns, -1)) / 8 > CORNER_SAG_MM
    before, after = _tangents(units, lengths, corner, straight)
    cut = corner | straight | np.roll(straight, 1)
    start = int(np.argmax(cut))
    turned = np.floor(np.cumsum(np.where(np.roll(corner, -start), 0.0, np.roll(turns, -start))) / FIRST_TURN)
    cut = np.roll(cut, -start) | (np.diff(turned, prepend=turned[0]) > 0)
    cut[0] = True
    order = np.append(np.roll(np.arange(len(loop)), -start), start)
    vertices = loop[order]
    middles = np.append((vertices[:-1] + vertices[1:]) / 2, vertices[-1:], axis=0)
    run = np.append(0.0, np.cumsum(lengths[order[:-1]]))
    along = np.stack([run, run + np.append(lengths[order[:-1]] / 2, 0.0)], axis=1)
    samples = _Samples(
        np.stack([vertices, middles], axis=1).reshape(-1, 2),
        np.repeat(before[order], 2, axis=0),
        np.repeat(after[order], 2, axis=0),
        along.reshape(-1),
    )
    return samples, 2 * np.append(np.flatnonzero(cut), len(loop))


def _turns(units: Points) -> Points:
    """By how many radians the direction changes at each vertex, from the edge before it to the edge after it."""
    came = np.roll(units, 1, axis=0)
    cross = came[:, 0] * units[:, 1] - came[:, 1] * units[:, 0]
    return np.asarray(np.arctan2(cross, (came * units).sum(axis=1)))


def _tangents(
    units: Points, lengths: Points, corner: NDArray[np.bool_], straight: NDArray[np.bool_]
) -> tuple[Points, Points]:
    """Unit tangents arriving at and leaving each vertex: that of the circle through it and its two neighbours, or of
    the straight edge it ends; at a corner, that of the circle which touches the next smooth vertex's tangent."""
    came, came_length = np.roll(units, 1, axis=0), np.roll(lengths, 1)
    tangent = came * lengths[:, None] + units * came_length[:, None]
    for edge_is_straight, unit in ((np.roll(straight, 1), came), (straight, units)):
        tangent[edge_is_straight] = unit[edge_is_straight]
    tangent /= np.maximum(np.hypot(tangent[:, 0], tangent[:, 1]), GRID_MM**2)[:, None]
    tangent[corner] = 0.0
    before = np.where(corner[:, None], _mirrored(np.roll(tangent, 1, axis=0), came), tangent)
    after = np.where(corner[:, None], _mirrored(np.roll(tangent, -1, axis=0), units), tangent)
    return before, after


def _mirrored(tangent: Points, chord: Points) -> Points:
    """Tangents of circles at the other ends of their chords; the chord itself where no tangent is given."""
    mirrored = 2 * (tangent * chord).sum(axis=1)[:, None] * chord - tangent
    return np.where((tangent == 0).all(axis=1)[:, None], chord, mirrored)


def _fitted(samples: _Samples, pieces: _Pieces, aim_mm: float) -> _Pieces:
    """Halve pieces until each is a single edge or within the aim."""
    done: list[_Pieces] = []
    while len(pieces.first):
        handles, off_mm, worst = _fit(samples, pieces.first, pieces.last)
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
    """Join neighbours, two by two, that meet smoothly and that one cubic holds within the aim."""
    for round_ in range(JOINING_ROUNDS):
        left = np.arange(round_ % 2, len(pieces.first) - 1, 2)
        meet = samples.before[pieces.last[left]] == samples.after[pieces.last[left]]
        left = left[(pieces.last[left] == pieces.first[left + 1]) & meet.all(axis=1)]
        if not len(left):
            continue
        handles, off_mm, _ = _fit(samples, pieces.first[left], pieces.last[left + 1])
        good = left[off_mm <= aim_mm]
        merged = _Pieces(
            pieces.first[good], pieces.last[good + 1], handles[off_mm <= aim_mm], np.ones(len(good), dtype=bool)
        )
        rest = np.ones(len(pieces.first), dtype=bool)
        rest[good] = rest[good + 1] = False
        kept = _Pieces(pieces.first[rest], pieces.last[rest], pieces.handles[rest], pieces.bent[rest])
        pieces = _in_order([kept, merged])
    return pieces


@dataclass(frozen=True, slots=True, eq=False)
class _Stretches:
    """Stretches of the samples in one row: where each starts in it, which stretch each sample belongs to, its point;
    and for each stretch its two ends, the tangents pointing inward there, and its length."""

    starts: Indices
    owner: Indices
    points: Points
    ends: Points
    tangents: Points
    length: Points


def _fit(samples: _Samples, first: Indices, last: Indices) -> tuple[Points, Points, Indices]:
    """The best cubic for each stretch: its handles (k, 2, 2), how far (mm) samples lie off, the worst inner vertex."""
    counts = last - first + 1
    starts = np.cumsum(counts) - counts
    owner = np.repeat(np.arange(len(first)), counts)
    place = np.arange(counts.sum()) - (starts - first)[owner]
    ends = np.stack([samples.points[first], samples.points[last]], axis=1)
    tangents = np.stack([samples.after[first], -samples.before[last]], axis=1)
    length = samples.along[last] - samples.along[first]
    stretches = _Stretches(starts, owner, samples.points[place], ends, tangents, length)
    handles, off = _fit_cubics(stretches, (samples.along[place] - samples.along[first][owner]) / length[owner])
    inner = (place % 2 == 0) & (place > first[owner]) & (place < last[owner])
    ranked = np.where(inner, off, -1.0)
    is_worst = ranked == np.maximum.reduceat(ranked, starts)[owner]
    return handles, np.maximum.reduceat(off, starts), np.maximum.reduceat(np.where(is_worst, place, -1), starts)


def _fit_cubics(stretches: _Stretches, u: Points) -> tuple[Points, Points]:
    """Handles of each stretch, and how far each sample lies off, from parameters `u` (0 to 1) to start with."""
    ends, owner = stretches.ends, stretches.owner
    for _ in range(NEWTON_STEPS):
        handles = ends + _reaches(stretches, u)[..., None] * stretches.tangents
        controls = np.stack([ends[:, 0], handles[:, 0], handles[:, 1], ends[:, 1]], axis=1)[owner]
        u = _nearer(controls, u, _cubic(controls, u) - stretches.points)
    off = _cubic(controls, u) - stretches.points
    return handles, np.hypot(off[:, 0], off[:, 1])


def _reaches(stretches: _Stretches, u: Points) -> Points:
    """How far the handles of each stretch reach along its end tangents: the least-squares answer, or a third of the
    length where that would turn a handle back or throw it far out."""
    ends, owner, starts = stretches.ends, stretches.owner, stretches.starts
    s = 1 - u
    b0, b1, b2, b3 = s**3, 3 * s * s * u, 3 * s * u * u, u**3
    rest = stretches.points - (b0 + b1)[:, None] * ends[owner, 0] - (b2 + b3)[:, None] * ends[owner, 1]
    a1, a2 = b1[:, None] * stretches.tangents[owner, 0], b2[:, None] * stretches.tangents[owner, 1]
    products = [np.einsum("ij,ij->i", p, q) for p, q in ((a1, a1), (a1, a2), (a2, a2), (a1, rest), (a2, rest))]
    c11, c12, c22, x1, x2 = (np.add.reduceat(product, starts) for product in products)
    length = stretches.length[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        det = c11 * c22 - c12 * c12
        reach = np.stack([(x1 * c22 - x2 * c12) / det, (c11 * x2 - c12 * x1) / det], axis=1)
        sound = np.all((reach > LEAST_REACH * length) & (reach < length), axis=1)
    return np.where(sound[:, None], reach, length / 3)


def _cubic(controls: Points, u: Points) -> Points:
    s, t = (1 - u)[:, None], u[:, None]
    p0, p1, p2, p3 = (controls[:, i] for i in range(4))
    return np.asarray(s * s * (s * p0 + 3 * t * p1) + t * t * (3 * s * p2 + t * p3))


def _nearer(controls: Points, u: Points, off: Points) -> Points:
    """One Newton step towards the parameter whose point is nearest to each sample."""
    first = 3 * np.diff(controls, axis=1)
    second = 2 * np.diff(first, axis=1)
    s, t = (1 - u)[:, None], u[:, None]
    speed = s * s * first[:, 0] + 2 * s * t * first[:, 1] + t * t * first[:, 2]
    bend = s * second[:, 0] + t * second[:, 1]
    slope = np.einsum("ij,ij->i", speed, speed) + np.einsum("ij,ij->i", off, bend)
    step = np.where(slope > 0, np.einsum("ij,ij->i", off, speed) / np.where(slope > 0, slope, 1.0), 0.0)
    return np.asarray(np.clip(u - step, 0.0, 1.0))


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
