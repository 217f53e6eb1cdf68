"""Polygons offset and overlaid by Clipper, through pyclipper: an engine that shares nothing with the one in use."""

from __future__ import annotations

import numpy as np
import pyclipper
import shapely

STEPS_PER_MM = 1e7
"""Clipper reckons in whole numbers: a tenth of a nanometre each."""
ARC_TOLERANCE_MM = 0.0002


def offset(region, delta_mm):
    """A region grown, or inset where the distance is negative, with round joins."""
    engine = pyclipper.PyclipperOffset(arc_tolerance=ARC_TOLERANCE_MM * STEPS_PER_MM)
    engine.AddPaths(_paths(region), pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    paths = engine.Execute(delta_mm * STEPS_PER_MM)
    rings = [shapely.linearrings(np.asarray(path) / STEPS_PER_MM) for path in paths if len(path) > 2]
    return shapely.build_area(shapely.geometrycollections(rings))  # holes, and islands in them


def difference_mm2(region, other):
    """The area of what of a region lies outside another."""
    engine = pyclipper.Pyclipper()
    engine.AddPaths(_paths(region), pyclipper.PT_SUBJECT, True)
    engine.AddPaths(_paths(other), pyclipper.PT_CLIP, True)
    paths = engine.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_EVENODD, pyclipper.PFT_EVENODD)
    return sum(pyclipper.Area(path) for path in paths) / STEPS_PER_MM**2


def _paths(region):
    """Its rings as whole numbers, holes the other way round."""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(region)))
    return [np.rint(shapely.get_coordinates(ring)[:-1] * STEPS_PER_MM).astype(np.int64).tolist() for ring in rings]
