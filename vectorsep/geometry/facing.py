"""Where edges of a region face each other at less than a width, across the region itself or across what it leaves free.

This finds where a region can be narrow at all, by looking at pairs of edges and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from vectorsep.model import Region

FAN_STEP = np.radians(15.0)
"""The outline turns its back at a reflex corner, where it faces every way between its two edges: it is taken to face
these ways, so far apart. Each is off by half of this at most."""
FACING = np.radians(135.0)
"""Edges whose inward directions are farther apart than this face each other: 150 degrees, which is what matters (see
`thin`), less a fan's error on both sides."""
SECTORS = 8
"""Of 45 degrees each: what is 135 degrees or more away from a direction lies three to five sectors farther."""


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of an outline, and its reflex corners as edges of no length: arrays of one row an edge, in mm."""

    starts: NDArray[np.float64]
    ends: NDArray[np.float64]
    inward: NDArray[np.float64]
    """Direction into the region, in radians."""

    @property
    def lows(self) -> NDArray[np.float64]:
        """The least x and y of each edge."""
        return np.minimum(self.starts, self.ends)

    @property
    def highs(self) -> NDArray[np.float64]:
        """The largest x and y of each edge."""
        return np.maximum(self.starts, self.ends)


@dataclass(frozen=True, slots=True)
class Facing:
    """The pairs of edges of an outline that face either way along one line, and may be near each other."""

    edges: Edges
    first: NDArray[np.int_]
    second: NDArray[np.int_]
    pieces: NDArray[np.float64]
    """The bounds of the region's pieces."""
    holes: NDArray[np.float64]
    """The bounds of its holes."""

    def across_inside(self, width_mm: float) -> NDArray[np.float64]:
        """Boxes (left, top, right, bottom) that hold the middle of every disc that is smaller than the width, lies in
        the region, and touches its edge on two sides at least 150 degrees apart, and all pieces that measure no more
        than four widths. The width is at most the one that was asked for."""
        return np.vstack([self._boxes(width_mm, 1.0), _no_larger(self.pieces, 4 * width_mm)])

    def across_outside(self, width_mm: float) -> NDArray[np.float64]:
        """The same for discs in what the region leaves free, and for its holes."""
        return np.vstack([self._boxes(width_mm, -1.0), _no_larger(self.holes, 4 * width_mm)])

    def _boxes(self, width_mm: float, side: float) -> NDArray[np.float64]:
        i, j = self.first, self.second
        ahead = _ahead(self.edges, i, j, side) & _ahead(self.edges, j, i, side)
        i, j = i[ahead], j[ahead]
        near = shapely.dwithin(_lines(self.edges, i), _lines(self.edges, j), width_mm)
        i, j = i[near], j[near]
        lows, highs, half_mm = self.edges.lows, self.edges.highs, width_mm / 2
        return np.hstack([np.maximum(lows[i], lows[j]) - half_mm, np.minimum(highs[i], highs[j]) + half_mm])


def facing_edges(area: Region, width_mm: float) -> Facing:
    """All pairs of edges that may face each other at up to the width, on either side of the outline."""
    edges = _edges(area, 4 * width_mm)
    sector = (edges.inward // (2 * np.pi / SECTORS)).astype(int) % SECTORS
    boxes = shapely.linestrings(np.stack([edges.lows - width_mm, edges.highs + width_mm], axis=1))  # for their bounds
    lines, pairs = _lines(edges), [np.empty((2, 0), dtype=int)]
    for k in range(SECTORS - 3):
        asking = np.flatnonzero(sector == k)
        opposite = np.flatnonzero((sector >= k + 3) & (sector <= k + 5))
        i, j = shapely.STRtree(lines[opposite]).query(boxes[asking])
        pairs.append(np.stack([asking[i], opposite[j]]))
    first, second = np.hstack(pairs)
    opposed = np.cos(edges.inward[first] - edges.inward[second]) <= np.cos(FACING)
    rings, piece = shapely.get_rings(shapely.get_parts(area), return_index=True)
    is_hole = np.diff(piece, prepend=-1) == 0
    bounds = shapely.bounds(rings)
    return Facing(edges, first[opposed], second[opposed], bounds[~is_hole], bounds[is_hole])


def _edges(area: Region, longest_mm: float) -> Edges:
    """The edges, none longer than so much, and the fans of the reflex corners."""
    pieces = shapely.orient_polygons(shapely.get_parts(shapely.segmentize(area, longest_mm)))  # the region on the left
    xy, ring = shapely.get_coordinates(shapely.get_rings(pieces), return_index=True)
    on_one_ring = ring[:-1] == ring[1:]
    starts, ends, ring = xy[:-1][on_one_ring], xy[1:][on_one_ring], ring[:-1][on_one_ring]
    along = ends - starts
    inward = np.arctan2(along[:, 0], -along[:, 1])
    turn = (inward[_next(ring)] - inward + np.pi) % (2 * np.pi) - np.pi
    ways = np.where(turn < 0, np.ceil(-turn / FAN_STEP) - 1, 0).astype(int)
    corner = np.repeat(np.arange(len(turn)), ways)
    step = 1 + np.arange(len(corner)) - np.repeat(np.cumsum(ways) - ways, ways)
    fans = inward[corner] + turn[corner] * step / (ways[corner] + 1)
    return Edges(np.vstack([starts, ends[corner]]), np.vstack([ends, ends[corner]]), np.append(inward, fans))


def _next(ring: NDArray[np.int_]) -> NDArray[np.int_]:
    """For each edge the one after it on its ring; edges lie in order, ring by ring."""
    following = np.arange(1, len(ring) + 1)
    lasts = np.flatnonzero(np.diff(ring, append=-1))
    following[lasts] = np.append(0, lasts[:-1] + 1)
    return following


def _ahead(edges: Edges, i: NDArray[np.int_], j: NDArray[np.int_], side: float) -> NDArray[np.bool_]:
    """Whether some point of edge j lies on that side of edge i."""
    inward = side * np.stack([np.cos(edges.inward[i]), np.sin(edges.inward[i])], axis=1)
    to_start, to_end = edges.starts[j] - edges.starts[i], edges.ends[j] - edges.starts[i]
    return np.maximum((to_start * inward).sum(axis=1), (to_end * inward).sum(axis=1)) > 0


def _no_larger(bounds: NDArray[np.float64], size_mm: float) -> NDArray[np.float64]:
    """The boxes that measure no more than the size, both ways."""
    return bounds[((bounds[:, 2:] - bounds[:, :2]) <= size_mm).all(axis=1)]


def _lines(edges: Edges, chosen: NDArray[np.int_] | slice = slice(None)) -> NDArray[np.object_]:
    return shapely.linestrings(np.stack([edges.starts[chosen], edges.ends[chosen]], axis=1))
