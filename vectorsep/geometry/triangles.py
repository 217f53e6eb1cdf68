"""Regions cut into triangles.

A constrained Delaunay triangulation: all edges of the outlines are sides of triangles, and apart from them no triangle
has a corner in its circumcircle that it sees. Computed by CDT (A. Amirkhanov), whose predicates are exact.
"""

from __future__ import annotations

import numpy as np
import pythoncdt
from numpy.typing import NDArray

from vectorsep.geometry.cover import Indices
from vectorsep.geometry.region import ROUNDING_MM

NONE = -1
"""In place of the triangle beside a side that is an edge of the region."""


class OutlinesCross(ValueError):
    """Edges cross, or lie along each other, by more than rounding."""


def triangulated(points: NDArray[np.complex128], edges: Indices) -> tuple[Indices, Indices]:
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
        raise OutlinesCross(str(failure)) from failure
    engine.erase_outer_triangles_and_holes()
    found = engine.triangles_array()
    corners, beside = found["vertices"].astype(np.intp), found["neighbors"].astype(np.intp)
    beside[beside == pythoncdt.NO_NEIGHBOR] = NONE
    return corners, beside
