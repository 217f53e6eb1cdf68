"""Where areas with matched edges meet: the edges that two of them have in common, found by their end points alone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.region import ring_edges
from vectorsep.model import Region

Indices = NDArray[np.intp]
NOBODY = -1


@dataclass(frozen=True, slots=True, eq=False)
class Borders:
    """All edges of some areas in the order of their outlines: end points (n, 2, 2) in mm, which ring each is of,
    which area that is (by its place in the given row), and which area lies beyond the edge, or NOBODY."""

    ends: NDArray[np.float64]
    ring: Indices
    owner: Indices
    beyond: Indices

    def between(self, one: int, others: Iterable[int]) -> BaseGeometry:
        """The lines along which an area meets any of the others, joined end to end; empty where it does not."""
        chosen = np.flatnonzero((self.owner == one) & np.isin(self.beyond, list(others)))
        ring = self.ring[chosen]
        goes_on = (np.diff(chosen, prepend=-2) == 1) & (np.diff(ring, prepend=-1) == 0)
        run = np.cumsum(~goes_on) - 1
        # Each run's first point, then every edge's second.
        first = np.flatnonzero(~goes_on)
        points = np.insert(self.ends[chosen, 1], first, self.ends[chosen[first], 0], axis=0)
        lines = shapely.linestrings(points, indices=np.insert(run, first, run[first]))
        joined: BaseGeometry = shapely.line_merge(shapely.multilinestrings(lines))
        return joined


def borders_of(areas: Sequence[Region]) -> Borders:
    """The borders of areas whose edges match: where two meet, both have the same vertices."""
    pieces, area = shapely.get_parts(list(areas), return_index=True)
    rings, piece = shapely.get_rings(pieces, return_index=True)
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
