"""Regions cut into triangles.

A constrained Delaunay triangulation: all edges of the outlines are sides of triangles, and none of the points that a
triangle sees across its sides, edges apart, lies in its circumcircle. Computed by CDT (A. Amirkhanov), whose predicates
are exact.
"""

from __future__ import annotations

import re

import numpy as np
import pythoncdt

from vectorsep.geometry.arrays import Complex, Indices
from vectorsep.geometry.region import ROUNDING_MM
from vectorsep.model import Point

NONE = -1
"""In place of the triangle beside a side that is an edge of the region."""


_CROSSING = re.compile(r"\((\d+), \d+\) intersects ")
"""What the engine says of a crossing: the numbers of an edge's ends."""


class OutlinesCross(ValueError):
    """Edges cross, or lie along each other, by more than rounding. `at_mm` is an end of one that does, if known."""

    def __init__(self, message: str, at_mm: Point | None) -> None:
        super().__init__(message)
        self.at_mm = at_mm


def triangulated(points: Complex, edges: Indices) -> tuple[Indices, Indices]:
    """The triangles of what edges enclose by the even-odd rule: the corners of each (t, 3), counter-clockwise, and the
    triangles beside it (t, 3), the k-th across the side from corner k to corner k + 1.

    Points (n) are x + iy in mm, none twice; edges (m, 2) tell them by their numbers. An edge that passes a point by
    rounding alone runs through it. Raises OutlinesCross.
    """
    crossing = pythoncdt.IntersectingConstraintEdges.NOT_ALLOWED
    engine = pythoncdt.Triangulation(pythoncdt.VertexInsertionOrder.AUTO, crossing, ROUNDING_MM)
    engine.insert_vertices(points.view(np.float64).reshape(-1, 2))
    try:
        engine.insert_edges(edges.astype(np.uintc))
    except RuntimeError as failure:
        raise OutlinesCross(str(failure), _end_of_crossing(points, str(failure))) from failure
    engine.erase_outer_triangles_and_holes()
    found = engine.triangles_array()
    corners, beside = found["vertices"].astype(np.intp), found["neighbors"].astype(np.intp)
    beside[beside == pythoncdt.NO_NEIGHBOR] = NONE
    return corners, beside


def _end_of_crossing(points: Complex, message: str) -> Point | None:
    told = _CROSSING.search(message)
    if told is None:
        return None
    end = points[int(told[1])]
    return (float(end.real), float(end.imag))
