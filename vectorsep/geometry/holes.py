"""Holes of a region that are too small to print."""

from __future__ import annotations

import numpy as np
import shapely

from vectorsep.geometry.arrays import Geometries, Indices
from vectorsep.geometry.boolean import union
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, hold_disc
from vectorsep.geometry.region import of_outlines, outlines
from vectorsep.model import Region

HOLE_SLACK_MM = 3 * CHORD_TOLERANCE_MM
"""A gap that is kept open is swept by a disc that is smaller by so much, and drawn with chords."""


def small_holes(region: Region, below_mm2: float) -> Geometries:
    """The holes smaller than so much (mm2), as polygons; none in which something of the region lies."""
    rings, _, is_hole = outlines(region)
    holes: Geometries = np.asarray(shapely.polygons(rings[is_hole]), dtype=object)
    small = holes[shapely.area(holes) < below_mm2]
    inhabited = shapely.STRtree(shapely.get_parts(region)).query(small, predicate="contains")[0]
    return np.delete(small, inhabited)


def without_narrow_holes(region: Region, width_mm: float) -> Region:
    """Fill the holes that are nowhere so wide (mm). What lies in such a hole is taken in."""
    rings, piece, is_hole = outlines(region)
    holes = np.flatnonzero(is_hole)
    filled = holes[~hold_disc(np.asarray(shapely.polygons(rings[holes])), width_mm / 2 - HOLE_SLACK_MM)]
    return union([_without(filled, rings, piece, region)]) if len(filled) else region


def without_holes_near(region: Region, below_mm2: float, lines: Geometries, distance_mm: float) -> Region:
    """Fill the holes smaller than so much (mm2) that any of the lines comes as near to as the distance. What lies in
    such a hole is taken in."""
    rings, piece, is_hole = outlines(region)
    holes = np.flatnonzero(is_hole & (shapely.area(shapely.polygons(rings)) < below_mm2))
    outlined = np.asarray(shapely.polygons(rings[holes]))
    near, _ = shapely.STRtree(lines).query(outlined, predicate="dwithin", distance=distance_mm)
    filled = holes[np.unique(near)]
    return union([_without(filled, rings, piece, region)]) if len(filled) else region


def _without(holes: Indices, rings: Geometries, piece: Indices, region: Region) -> Region:
    """A region without some of its holes, given by their places among its rings."""
    if not len(holes):
        return region
    left = np.delete(np.arange(len(rings)), holes)
    return of_outlines(rings[left], piece[left])
