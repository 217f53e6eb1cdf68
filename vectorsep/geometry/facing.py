"""Where edges of a region face each other at less than a width, across the region itself or across what it leaves free.

This finds where a region can be narrow at all, by looking at pairs of edges and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Indices, ranges
from vectorsep.geometry.near import within_bounds
from vectorsep.geometry.region import outlines, ring_edges, rings_in_steps
from vectorsep.model import Region

FAN_STEP = np.radians(15.0)
"""A corner faces every way between those of its two edges, away from the side where it is sharp. It is taken to face
ways so far apart; each is off by half of this at most."""
FACING = np.radians(135.0)
"""Edges whose inward directions are farther apart than this face each other: 150 degrees, which is what matters (see
`thin`), less a fan's error on both sides."""
SECTORS = 8
"""Of 45 degrees each: what is 135 degrees or more away from a direction lies three to five sectors farther."""
SHORT_MM = 1.0
"""Longer edges are cut, so that boxes around them are small; to cut them finer than this buys nothing."""
TOUCHING_MM = 1e-9
"""What is so little behind an edge touches it. Where two corners touch, they face each other: a line parts them."""


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of an outline, and its corners as edges of no length: arrays of one row an edge, in mm."""

    starts: Floats
    ends: Floats
    inward: Floats
    """Direction into the region, in radians."""
    side: Indices
    """Where a disc that touches it can lie: 1, inside only, as at a reflex corner; -1, outside only; 0, on any side."""

    @property
    def lows(self) -> Floats:
        """The least x and y of each edge."""
        return np.minimum(self.starts, self.ends)

    @property
    def highs(self) -> Floats:
        """The largest x and y of each edge."""
        return np.maximum(self.starts, self.ends)


@dataclass(frozen=True, slots=True)
class Facing:
    """The pairs of edges of an outline that face either way along one line, and may be near each other."""

    edges: Edges
    first: Indices
    second: Indices
    pieces: Floats
    """The bounds of the region's pieces."""
    holes: Floats
    """The bounds of its holes."""

    def across_inside(self, width_mm: float) -> Floats:
        """Boxes (left, top, right, bottom) that hold the middle of every disc that is smaller than the width, lies in
        the region, and touches its edge on two sides at least 150 degrees apart, and all pieces that measure no more
        than four widths. The width is at most the one that was asked for."""
        return np.vstack([self._boxes(width_mm, 1), _no_larger(self.pieces, 4 * width_mm)])

    def across_outside(self, width_mm: float) -> Floats:
        """The same for discs in what the region leaves free, and for its holes."""
        return np.vstack([self._boxes(width_mm, -1), _no_larger(self.holes, 4 * width_mm)])

    def _boxes(self, width_mm: float, side: int) -> Floats:
        bare = self.edges.side != -side
        i, j = self.first, self.second
        i, j = i[bare[i] & bare[j]], j[bare[i] & bare[j]]
        ahead = _ahead(self.edges, i, j, side) & _ahead(self.edges, j, i, side)
        i, j = i[ahead], j[ahead]
        near = _within(self.edges, i, j, width_mm)
        i, j = i[near], j[near]
        lows, highs, half_mm = self.edges.lows, self.edges.highs, width_mm / 2
        return np.hstack([np.maximum(lows[i], lows[j]) - half_mm, np.minimum(highs[i], highs[j]) + half_mm])


def facing_edges(area: Region, width_mm: float) -> Facing:
    """All pairs of edges that may face each other at up to the width, on either side of the outline."""
    edges = _edges(area, max(4 * width_mm, SHORT_MM))
    sector = (edges.inward // (2 * np.pi / SECTORS)).astype(int) % SECTORS
    boxes = within_bounds(edges.lows - width_mm / 2, edges.highs + width_mm / 2)  # of two, each reaches half the way
    pairs = [np.empty((2, 0), dtype=int)]
    for k in range(SECTORS - 3):
        asking = np.flatnonzero(sector == k)
        opposite = np.flatnonzero((sector >= k + 3) & (sector <= k + 5))
        i, j = shapely.STRtree(boxes[opposite]).query(boxes[asking])
        pairs.append(np.stack([asking[i], opposite[j]]))
    first, second = np.hstack(pairs)
    opposed = np.cos(edges.inward[first] - edges.inward[second]) <= np.cos(FACING)
    rings, _, is_hole = outlines(area)
    bounds = shapely.bounds(rings)
    return Facing(edges, first[opposed], second[opposed], bounds[~is_hole], bounds[is_hole])


def _edges(area: Region, longest_mm: float) -> Edges:
    """The edges, none longer than so much, and the fans of the corners."""
    edges, ring = ring_edges(rings_in_steps(area, longest_mm))
    starts, ends = edges[:, 0], edges[:, 1]
    along = ends - starts
    inward = np.arctan2(along[:, 0], -along[:, 1])
    turn = (inward[_next(ring)] - inward + np.pi) % (2 * np.pi) - np.pi  # to the left, where the region is
    steps = np.ceil(np.abs(turn) / FAN_STEP).astype(int)
    corner, step = ranges(np.ones_like(steps), np.maximum(steps, 1))
    fans = inward[corner] + turn[corner] * step / steps[corner]
    side = np.append(np.zeros(len(inward), dtype=int), np.where(turn[corner] < 0, 1, -1))
    return Edges(np.vstack([starts, ends[corner]]), np.vstack([ends, ends[corner]]), np.append(inward, fans), side)


def _next(ring: Indices) -> Indices:
    """For each edge the one after it on its ring; edges lie in order, ring by ring."""
    following = np.arange(1, len(ring) + 1)
    lasts = np.flatnonzero(np.diff(ring, append=-1))
    following[lasts] = np.append(0, lasts[:-1] + 1)
    return following


def _ahead(edges: Edges, i: Indices, j: Indices, side: int) -> Flags:
    """Whether some point of edge j lies on that side of edge i, or touches it."""
    inward = side * np.stack([np.cos(edges.inward[i]), np.sin(edges.inward[i])], axis=1)
    to_start, to_end = edges.starts[j] - edges.starts[i], edges.ends[j] - edges.starts[i]
    return np.asarray(np.maximum((to_start * inward).sum(axis=1), (to_end * inward).sum(axis=1)) >= -TOUCHING_MM)


def _within(edges: Edges, i: Indices, j: Indices, distance_mm: float) -> Flags:
    """Whether two edges of one outline come within the distance: since they never cross, an end of one is nearest."""
    squares = [
        _square_from_end(ends[k], edges.starts[m], edges.ends[m])
        for k, m in ((i, j), (j, i))
        for ends in (edges.starts, edges.ends)
    ]
    return np.asarray(np.minimum.reduce(squares) <= distance_mm**2)


def _square_from_end(point: Floats, start: Floats, end: Floats) -> Floats:
    """The square of the distance from each point to the edge in its row, which may have no length."""
    along, away = end - start, point - start
    length = (along * along).sum(axis=1)
    share = np.divide((along * away).sum(axis=1), length, out=np.zeros_like(length), where=length > 0)
    off = away - np.clip(share, 0.0, 1.0)[:, None] * along
    return np.asarray((off * off).sum(axis=1))


def _no_larger(bounds: Floats, size_mm: float) -> Floats:
    """The boxes that measure no more than the size, both ways."""
    return bounds[((bounds[:, 2:] - bounds[:, :2]) <= size_mm).all(axis=1)]
