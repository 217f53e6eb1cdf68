"""Smooth outlines of plates: few cubic curves and lines in place of thousands of chords, within a stated tolerance.

Corners and straight edges are found first and kept exactly. What lies between is covered by the longest cubics that
are proven to hold the tolerance, and these are made to meet smoothly where they still hold it so. All rings of all
plates are worked on at once, as one row of vertices. Where the polygon is rough, pieces may meet at an angle that
the tolerance allows over their length; no film shows it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Geometries, Indices
from vectorsep.geometry.cubic_fit import Row, row_of
from vectorsep.geometry.curves import CURVE, FLATNESS_MM, LINE, MOVE, READING_ERROR_MM, Outline, Points
from vectorsep.geometry.longest import Pieces, longest_pieces, smoothed
from vectorsep.geometry.region import GRID_MM, polygons
from vectorsep.model import Region

REFIT_TOLERANCE_MM = 0.005
"""How far a refitted outline may lie from its polygon, and the polygon from it: a dot at 5,080 dpi."""
REFIT_GUARD_MM = 2 * (REFIT_TOLERANCE_MM + FLATNESS_MM)
"""What two refitted outlines can lose of the distance between their polygons, once read back: each may have moved by
the tolerance, and each is flattened again by the reader. Plates that must keep a distance carry this beyond it."""
FILM_GUARD_MM = REFIT_GUARD_MM + READING_ERROR_MM
"""What plates must keep beyond a clearance they promise, so that films which are refitted, read back and measured
on the pessimistic side still hold it; without it a stack made exactly to its clearance would be called unsafe."""
THINNING_SHARE = 0.04
"""Vertices nearer than this share of the tolerance to a line through their neighbours are left out first, so that
what is straight is a single edge; the fit is held to what is left of the tolerance."""
COVERED_SHARE = 0.9
"""Pieces are sought within this share of the tolerance, so that most can afterwards be turned to meet smoothly."""
ROUNDING_MM = GRID_MM * math.sqrt(0.5)
"""Moving a curve's points to the grid moves none of its places by more than half a diagonal of the grid."""
CORNER_SAG_MM = 0.005
"""A vertex whose chords would bulge by more, were they chords of an arc, is a corner that somebody drew: the chords
of flattened curves bulge by FLATNESS_MM at most, those of grown edges by the offset's tolerance and smoothing."""

MOST_EDGES = 256
"""Rings are cut after so many edges at least, so that many stretches are covered at once; it costs few pieces."""


@dataclass(frozen=True, slots=True, eq=False)
class _Rings:
    """Rings one after the other: their vertices (n, 2), each once; the place of each ring's first vertex and how many
    it has (k,); and for each vertex the places of its neighbours in the ring (n,)."""

    points: Points
    starts: Indices
    counts: Indices
    before: Indices
    after: Indices


@dataclass(frozen=True, slots=True, eq=False)
class _Loops:
    """Rings as one row of vertices, each from its place in `opens` to that in `closes` (k,), where its first vertex
    comes again. `sharp` tells which vertices (n,) stay as drawn: corners and ends of straight edges."""

    row: Row
    sharp: Flags
    opens: Indices
    closes: Indices


def refit(region: Region, tolerance_mm: float = REFIT_TOLERANCE_MM) -> list[Outline]:
    """Outlines of a region's pieces, in the order of `polygons`, outer ring first, on the plates' grid.

    No point of an outline lies farther than the tolerance from its polygon's edge, nor the other way round; edges
    for which no curve can be had stay lines.
    """
    return refit_all([region], tolerance_mm)[0]


def refit_all(regions: Sequence[Region], tolerance_mm: float = REFIT_TOLERANCE_MM) -> list[list[Outline]]:
    """`refit` of several regions, which costs less than one after the other."""
    parts = [polygons(region) for region in regions]
    pieces = [piece for part in parts for piece in part]
    if not pieces:
        return [[] for _ in regions]
    rings = _rings(shapely.simplify(shapely.get_rings(pieces), THINNING_SHARE * tolerance_mm))
    loops = _unrolled(rings, _sharp(rings))
    within_mm = (1 - THINNING_SHARE) * tolerance_mm - ROUNDING_MM
    covered = longest_pieces(loops.row, *_stretches(loops), COVERED_SHARE * within_mm)
    covered = smoothed(loops.row, covered, _joints(loops, covered), within_mm)
    outlines = iter(_outlines(loops, covered, np.cumsum(shapely.get_num_interior_rings(pieces) + 1)))
    return [list(islice(outlines, len(part))) for part in parts]


def _rings(lines: Geometries) -> _Rings:
    points, owner = shapely.get_coordinates(lines, return_index=True)
    ends = np.append(np.flatnonzero(np.diff(owner)), len(points) - 1)
    points = np.delete(points, ends, axis=0)
    counts = np.diff(ends, prepend=-1) - 1
    starts = np.cumsum(counts) - counts
    before, after = np.arange(len(points)) - 1, np.arange(len(points)) + 1
    before[starts], after[starts + counts - 1] = starts + counts - 1, starts
    return _Rings(points, starts, counts, before, after)


def _sharp(rings: _Rings) -> Flags:
    """Vertices that stay as drawn: corners, and both ends of edges too long for the turns at their ends."""
    legs = rings.points[rings.after] - rings.points
    lengths, angles = np.hypot(legs[:, 0], legs[:, 1]), np.arctan2(legs[:, 1], legs[:, 0])
    turns = np.abs((angles - angles[rings.before] + math.pi) % (2 * math.pi) - math.pi)
    corner = turns * np.minimum(lengths, lengths[rings.before]) / 8 > CORNER_SAG_MM
    straight = lengths * np.minimum(turns, turns[rings.after]) / 8 > CORNER_SAG_MM
    return np.asarray(corner | straight | straight[rings.before])


def _unrolled(rings: _Rings, sharp: Flags) -> _Loops:
    """Every ring cut open at its first sharp vertex, or at its first vertex where none is sharp."""
    nowhere = len(rings.points)
    leads = np.minimum.reduceat(np.where(sharp, np.arange(nowhere), nowhere), rings.starts)
    leads = np.where(leads < nowhere, leads, rings.starts)
    lengths = rings.counts + 1
    closes = np.cumsum(lengths) - 1
    opens = closes - rings.counts
    rank = np.arange(lengths.sum()) + np.repeat(leads - rings.starts - opens, lengths)
    order = np.repeat(rings.starts, lengths) + rank % np.repeat(rings.counts, lengths)
    xy = np.ascontiguousarray(rings.points[order].T)
    return _Loops(row_of(xy), sharp[order], opens, closes)


def _stretches(loops: _Loops) -> tuple[Indices, Indices]:
    """First and last places of what lies between sharp vertices, openings and closes of rings, and MOST_EDGES."""
    closed = np.zeros(len(loops.sharp), dtype=bool)
    closed[loops.closes] = True
    run = np.arange(len(loops.sharp)) - np.repeat(loops.opens, loops.closes - loops.opens + 1)
    cut = loops.sharp | closed | (run % MOST_EDGES == 0)
    places = np.flatnonzero(cut)
    first, last = places[:-1], places[1:]
    return first[~closed[first]], last[~closed[first]]


def _joints(loops: _Loops, pieces: Pieces) -> list[tuple[Indices, Indices]]:
    """Where curves meet that are not kept from doing so smoothly, by the pieces before and after: every other joint,
    those between, and those where rings close."""
    bent, sharp = pieces.bent, loops.sharp
    before = np.flatnonzero(bent[:-1] & bent[1:] & (pieces.last[:-1] == pieces.first[1:]) & ~sharp[pieces.last[:-1]])
    tail, head = np.searchsorted(pieces.last, loops.closes), np.searchsorted(pieces.first, loops.opens)
    closing = bent[tail] & bent[head] & (tail != head) & ~sharp[loops.opens]
    inner = [before[before % 2 == parity] for parity in (0, 1)]
    return [*((joint, joint + 1) for joint in inner), (tail[closing], head[closing])]


def _outlines(loops: _Loops, pieces: Pieces, ring_ends: Indices) -> list[Outline]:
    """Outlines on the plates' grid. `ring_ends` tells for each of them with which ring the next one starts.

    A ring's last line is left out: closing it draws that.
    """
    bent = pieces.bent
    head, tail = np.searchsorted(pieces.first, loops.opens), np.searchsorted(pieces.last, loops.closes)
    drawn = np.ones(len(bent), dtype=bool)
    drawn[tail] = bent[tail]
    drawn = np.insert(drawn, head, True)
    places = np.insert(pieces.last, head, loops.opens)[drawn]
    steps = np.insert(np.where(bent, CURVE, LINE).astype(np.uint8), head, MOVE)[drawn]
    knot_ends = np.append(np.flatnonzero(steps == MOVE), len(steps))[ring_ends]
    handle_ends = np.append(0, np.cumsum(steps == CURVE))[knot_ends]
    knots = np.split(_rounded(loops.row.xy[:, places].T), knot_ends[:-1])
    handles = np.split(_rounded(_handles(loops.row, pieces)), handle_ends[:-1])
    closed = (np.full(count, True) for count in np.diff(ring_ends, prepend=0))
    return [Outline(*parts) for parts in zip(knots, np.split(steps, knot_ends[:-1]), handles, closed, strict=True)]


def _handles(row: Row, pieces: Pieces) -> Points:
    """Both handles of each curve, (m, 2, 2)."""
    bent, cubics = pieces.bent, pieces.cubics
    ends = row.xy[:, pieces.first] + cubics.leaving, row.xy[:, pieces.last] - cubics.arriving
    return np.asarray(np.stack(ends)[:, :, bent].transpose(2, 0, 1))


def _rounded(points: Points) -> Points:
    return np.asarray(np.rint(points / GRID_MM) * GRID_MM)
