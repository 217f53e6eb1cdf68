"""Where areas with matched edges meet: the edges that two of them have in common, found by their end points alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.near import in_runs, in_stretches
from vectorsep.geometry.region import edges_in_parts, ring_edges
from vectorsep.geometry.visible import DUST_MM
from vectorsep.model import Region

NOBODY = -1


@dataclass(frozen=True, slots=True, eq=False)
class Border:
    """Some edges of areas, in the order of their outlines: end points (n, 2, 2) in mm, the area on their left,
    whether each goes on from the one before, and which area it is of."""

    ends: Floats
    goes_on: Flags
    owner: Indices

    @property
    def owners(self) -> Indices:
        """The areas that any of the edges is of."""
        return np.unique(self.owner)

    @property
    def middles(self) -> Floats:
        """The middle of each edge (n, 2)."""
        return np.asarray(self.ends.mean(axis=1))

    def beyond(self, depth_mm: float) -> Floats:
        """The points (n, 2) so far from the middle of each edge, straight out of the area."""
        along = self.ends[:, 1] - self.ends[:, 0]
        right = np.stack([along[:, 1], -along[:, 0]], axis=1)
        return np.asarray(self.middles + right * (depth_mm / np.hypot(*along.T))[:, None])

    def boxes(self, distance_mm: float) -> Floats:
        """Boxes (left, top, right, bottom) that hold all within the distance of each edge."""
        return np.hstack([self.ends.min(axis=1) - distance_mm, self.ends.max(axis=1) + distance_mm])

    def split(self, longest_mm: float) -> Border:
        """The same border in edges none longer than so much."""
        ends, edge, nth = edges_in_parts(self.ends, longest_mm)
        return Border(ends, (nth > 0) | self.goes_on[edge], self.owner[edge])

    def has_width(self, areas: Sequence[Region]) -> Flags:
        """Beside which edges the area that each is of is more than a spike or a neck of no width, such as rounding
        leaves beside edges that were flush: told at their middles. The areas are those that the owners count."""
        pieces, area = shapely.get_parts([areas[owner] for owner in self.owners], return_index=True)
        inside = np.asarray(shapely.points(self.beyond(-DUST_MM)), dtype=object)
        piece, edge = shapely.STRtree(inside).query(pieces, predicate="contains")
        flags = np.zeros(len(self.ends), dtype=bool)
        flags[edge[self.owners[area[piece]] == self.owner[edge]]] = True
        return flags

    def where(self, chosen: Flags) -> Border:
        """Some of the edges."""
        before = np.append(False, chosen[:-1])
        return Border(self.ends[chosen], (self.goes_on & before)[chosen], self.owner[chosen])

    def lines(self) -> BaseGeometry:
        """The edges joined end to end."""
        runs = cast(BaseGeometry, shapely.multilinestrings(in_runs(self.ends, ~self.goes_on)))
        return cast(BaseGeometry, shapely.line_merge(runs))

    def stretches(self) -> Geometries:
        """The edges in short lines."""
        return in_stretches(self.ends, ~self.goes_on)


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """All edges of some areas in the order of their outlines: end points (n, 2, 2) in mm, the area on their left,
    which ring each is of, which area that is (by its place in the given row), and which area lies beyond the edge, or
    NOBODY."""

    ends: Floats
    ring: Indices
    owner: Indices
    beyond: Indices

    def between(self, some: Iterable[int], others: Iterable[int]) -> Border:
        """The edges of some areas along which they meet any of the others; none where they do not."""
        return self._chosen(np.isin(self.owner, list(some)) & np.isin(self.beyond, list(others)))

    @property
    def length_mm(self) -> Floats:
        """How long each edge is."""
        return np.asarray(np.hypot(*(self.ends[:, 1] - self.ends[:, 0]).T))

    def shared_mm(self, count: int, more: int) -> Floats:
        """How much outline each of so many more areas, one a row, shares with each of the first, one a column."""
        shared = (self.owner >= count) & (self.beyond != NOBODY) & (self.beyond < count)
        length_mm = np.zeros((more, count))
        np.add.at(length_mm, (self.owner[shared] - count, self.beyond[shared]), self.length_mm[shared])
        return length_mm

    def longest_beside(self, count: int, more: int) -> Indices:
        """Which of the first areas each of so many more has the longest border with, the first of equals; NOBODY where
        no edges match."""
        shared_mm = self.shared_mm(count, more)
        return np.where(shared_mm.any(axis=1), shared_mm.argmax(axis=1), NOBODY)

    def bare_share(self, area: int) -> float:
        """The share of an area's outline that no other area lies beyond; of an empty one's none."""
        length_mm = self.length_mm[self.owner == area]
        bare = self.beyond[self.owner == area] == NOBODY
        return float(length_mm[bare].sum() / length_mm.sum()) if len(length_mm) else 0.0

    def around(self, areas: Iterable[int]) -> Border:
        """The outline of what some areas cover together."""
        within = list(areas)
        return self._chosen(np.isin(self.owner, within) & ~np.isin(self.beyond, within))

    def _chosen(self, chosen: Flags) -> Border:
        goes_on = np.diff(self.ring, prepend=-1) == 0
        return Border(self.ends, goes_on, self.owner).where(chosen)


def borders_of(areas: Sequence[Region]) -> Borders:
    """The borders of areas whose edges match: where two meet, both have the same vertices."""
    pieces, area = shapely.get_parts(list(areas), return_index=True)
    rings, piece = shapely.get_rings(shapely.orient_polygons(pieces), return_index=True)
    ends, ring = ring_edges(rings)
    owner = area[piece[ring]]
    points, place = np.unique(ends.reshape(-1, 2).view(np.complex128), return_inverse=True)
    places = np.sort(place.reshape(-1, 2), axis=1)
    key = places[:, 0] * len(points) + places[:, 1]
    order = np.argsort(key, kind="stable")
    twin = np.flatnonzero(np.diff(key[order]) == 0)
    beyond = np.full(len(key), NOBODY)
    beyond[order[twin]], beyond[order[twin + 1]] = owner[order[twin + 1]], owner[order[twin]]
    return Borders(ends, ring, owner, beyond)
