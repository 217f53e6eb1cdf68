"""Where outlines come near each other: found by short stretches of them, without any overlay."""

from __future__ import annotations

import numpy as np
import shapely

from vectorsep.geometry.cover import Floats, Indices, Regions
from vectorsep.geometry.region import edge_lines, gather
from vectorsep.model import Region

STRETCH = 8
"""Edges in a stretch: shorter ones are more to ask for, longer ones tell less exactly where. From 4 to 16 it is all
the same."""

REACHING_MM = 1e-6
"""An edge that two overlays cut alike may differ between them by the last bits, which are far less than this."""


def stretches(region: Region) -> Regions:
    """The outline of a region, holes included, in lines of STRETCH edges at most."""
    xy, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(region)), return_index=True)
    edges = np.flatnonzero(ring[:-1] == ring[1:])
    nth = edges - np.searchsorted(ring, ring[edges])
    begins = np.flatnonzero(nth % STRETCH == 0)
    owner = np.repeat(np.arange(len(begins)), np.diff(begins, append=len(edges)))
    last = edges[np.append(begins[1:], len(edges)) - 1] + 1 if len(edges) else edges
    points, line = np.append(edges, last), np.append(owner, np.arange(len(begins)))
    order = np.lexsort((points, line))
    return np.asarray(shapely.linestrings(xy[points[order]], indices=line[order]), dtype=object)


def reaching_edge(part: Region, whole: Region) -> Region:
    """The pieces of a part that reach the edge of the whole."""
    pieces = shapely.get_parts(part)
    reaching, _ = shapely.STRtree(stretches(whole)).query(pieces, predicate="dwithin", distance=REACHING_MM)
    return gather(pieces[np.unique(reaching)])


def near_places(lines: Regions, others: Regions, distance_mm: float) -> Floats:
    """Boxes (rows of left, top, right, bottom) that hold every point within the distance of a line and of another,
    when these two are within the distance of each other. Without such a pair, no rows."""
    if not len(lines) or not len(others):
        return np.empty((0, 4))
    i, j = shapely.STRtree(others).query(lines, predicate="dwithin", distance=distance_mm)
    one, other = shapely.bounds(lines)[i], shapely.bounds(others)[j]
    lows = np.maximum(one[:, :2], other[:, :2]) - distance_mm
    return np.hstack([lows, np.minimum(one[:, 2:], other[:, 2:]) + distance_mm])


def within_bounds(lows: Floats, highs: Floats) -> Regions:
    """Something with each of these bounds, (n, 2) both, for trees, which ask for bounds alone: a line from corner to
    corner, at a third of a box's cost."""
    return edge_lines(np.stack([lows, highs], axis=1))


def near_bounds(regions: Regions, lines: Regions, distance_mm: float) -> Indices:
    """The regions whose bounds come as near as the distance to those of any of the lines, by their places."""
    bounds = shapely.bounds(regions)
    near, _ = shapely.STRtree(lines).query(within_bounds(bounds[:, :2] - distance_mm, bounds[:, 2:] + distance_mm))
    return np.unique(near)
