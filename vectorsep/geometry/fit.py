"""Whether one region fits in another, after it was moved, and whether a region can be measured at all."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.affine import Affine
from vectorsep.geometry.cover import Flags, Floats
from vectorsep.geometry.region import gather, polygons, repaired
from vectorsep.model import Point, Region

MEASURABLE_MM = 100_000.0
"""Coordinates farther out than 100 m are no plate, and so coarse in floating point that distances lose their last
micrometres."""


def is_measurable(region: Region) -> bool:
    """Whether every coordinate is a finite number within MEASURABLE_MM of the origin."""
    return bool((np.abs(shapely.get_coordinates(region)) <= MEASURABLE_MM).all())


def covers(outer: Region, inner: Region) -> bool:
    """Whether no point of the inner region lies outside the outer one. Quick where the outer one is asked again."""
    shapely.prepare(outer)
    return bool(shapely.covers(outer, inner))


def touch_each(regions: Sequence[Region], other: Region) -> Flags:
    """Which regions share any point with the other."""
    shapely.prepare(other)
    return np.asarray(shapely.intersects(np.array(regions, dtype=object), other))


def lie_in(regions: Sequence[Region], outer: Region) -> Flags:
    """Which regions have no point outside the other."""
    shapely.prepare(outer)
    return np.asarray(shapely.covers(outer, np.array(regions, dtype=object)))


def out_of_place(region: Region, shift_mm: Point, turn_deg: float, about_mm: Point) -> Region:
    """The region turned clockwise on the page about a point, then shifted.

    A turn rounds every coordinate, so that a piece hardly larger than a last bit may come to cross itself: an engine
    stumbles over it and takes ten times as long, so such pieces are mended here.
    """
    there = _place(shift_mm, turn_deg, about_mm).map_region(region)
    return there if turn_deg == 0 else gather(repaired(piece) for piece in polygons(there))


def ways_of(points_mm: Floats, shift_mm: Point, turn_deg: float, about_mm: Point) -> Floats:
    """How far each of (n, 2) points lies out of its place, as (n, 2) vectors in mm; as (1, 2) where all do so alike."""
    if turn_deg == 0:
        return np.array([shift_mm])
    return _place(shift_mm, turn_deg, about_mm).apply(points_mm) - points_mm


def _place(shift_mm: Point, turn_deg: float, about_mm: Point) -> Affine:
    if turn_deg == 0:
        return Affine.translation(*shift_mm)
    x, y = about_mm
    turn = Affine.translation(x, y) @ Affine.rotation(turn_deg) @ Affine.translation(-x, -y)
    return Affine.translation(*shift_mm) @ turn


def farthest_corner_mm(region: Region, about_mm: Point) -> float:
    """Distance from a point to the farthest corner of the region's upright bounding rectangle."""
    left, top, right, bottom = region.bounds
    x, y = about_mm
    return math.hypot(max(abs(left - x), abs(right - x)), max(abs(top - y), abs(bottom - y)))
