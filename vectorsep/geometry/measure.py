"""Measuring: distances between edges and where they are smallest. Reads regions, never changes them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.boolean import common_areas_mm2
from vectorsep.geometry.cells import in_cells
from vectorsep.geometry.offset import grown_each, inset_each
from vectorsep.geometry.region import GRID_MM, gather, outlines, polygons
from vectorsep.model import InkMeasure, Point, Region

MEASURABLE_MM = 100_000.0
"""Coordinates farther out than 100 m are no plate, and so coarse in floating point that distances lose their last
micrometres."""
INK_CELLS = 24
"""Cells across and down the ink of a film: of 300 mm each has 12, in which a line of 0.1 mm that came or went shows as
1 mm2. Twice as many would make the report as large as the films."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A narrow piece of a region, taken as a bent rectangle of the same area and perimeter."""

    at_mm: Point
    length_mm: float
    width_mm: float


def strips(region: Region) -> tuple[Strip, ...]:
    """The pieces of a region as strips, longest first."""
    pieces = np.array(polygons(region), dtype=object)
    return longest_first(_inner_points(pieces), *strip_sizes(pieces))


def strips_across(pieces: Geometries, across_mm: Floats, least_mm: float) -> tuple[Strip, ...]:
    """Polygons as strips, longest first, but for those thinner than the least. None is told narrower than it is known
    to be across: what discs on both sides leave of a short neck has hollow sides, and little area for its outline."""
    length_mm, width_mm = strip_sizes(pieces)
    wide = width_mm > least_mm
    return longest_first(_inner_points(pieces[wide]), length_mm[wide], np.maximum(width_mm, across_mm)[wide])


def _inner_points(pieces: Geometries) -> Floats:
    return shapely.get_coordinates(shapely.point_on_surface(pieces))


def longest_first(at_mm: Floats, length_mm: Floats, width_mm: Floats) -> tuple[Strip, ...]:
    """Strips at places (n, 2); of two as long the leftmost comes first."""
    measures = zip(map(tuple, at_mm.tolist()), length_mm.tolist(), width_mm.tolist(), strict=True)
    return tuple(sorted((Strip(*found) for found in measures), key=lambda strip: (-strip.length_mm, strip.at_mm)))


def strip_sizes(pieces: Geometries) -> tuple[Floats, Floats]:
    """Length and width (mm) of each piece, taken as a bent rectangle of the same area and perimeter."""
    half, area = shapely.length(pieces) / 2, shapely.area(pieces)
    width_mm = (half - np.sqrt(np.maximum(0.0, half * half - 4 * area))) / 2
    return half - width_mm, width_mm


def is_measurable(region: Region) -> bool:
    """Whether every coordinate is a finite number within MEASURABLE_MM of the origin."""
    return bool((np.abs(shapely.get_coordinates(region)) <= MEASURABLE_MM).all())


def ink_extent(region: Region) -> InkMeasure | None:
    """Area (mm2), bounds and centroid (mm) of a region, without its cells; None for an empty one."""
    if region.is_empty:
        return None
    return InkMeasure(region.area, region.bounds, (region.centroid.x, region.centroid.y))


def ink_measure(region: Region) -> InkMeasure | None:
    """The same, and the region's area by cells, which takes far longer; None for an empty one."""
    extent = ink_extent(region)
    if extent is None:
        return None
    covered = in_cells([region], extent.bounds_mm, INK_CELLS, INK_CELLS).covered
    return replace(extent, covered=tuple(map(tuple, covered.tolist())))


def outline_mm2(region: Region) -> float:
    """What the outlines of a region's pieces enclose, holes among it (mm2)."""
    rings, _, is_hole = outlines(region)
    return float(shapely.area(shapely.polygons(rings[~is_hole])).sum())


def fit_in_circle(pieces: Geometries, diameter_mm: float) -> Flags:
    """Which polygons a circle smaller than the diameter holds, but for spikes of no width: how long they are, however
    they lie."""
    left, top, right, bottom = shapely.bounds(pieces).T
    fit: Flags = np.maximum(right - left, bottom - top) < diameter_mm  # so much is known at once
    fit[fit] = 2 * shapely.minimum_bounding_radius(inset_each(pieces[fit], GRID_MM)) < diameter_mm
    return fit


def no_shorter(region: Region, length_mm: float) -> Region:
    """The pieces of a region that are at least so long as strips."""
    pieces = np.array(polygons(region), dtype=object)
    return gather(pieces[strip_sizes(pieces)[0] >= length_mm])


def pieces_losing(region: Region, part: Region, share: float) -> Region:
    """The pieces of a region of which a part of it takes at least such a share of their area."""
    pieces: Geometries = np.array(polygons(region), dtype=object)
    return gather(pieces[_taken_mm2(pieces, part) >= share * shapely.area(pieces)])


def pieces_down_to(region: Region, part: Region, share: float) -> Region:
    """The pieces of a region of whose area a part of it, which is what is left, has no more than such a share."""
    pieces: Geometries = np.array(polygons(region), dtype=object)
    return gather(pieces[_taken_mm2(pieces, part) <= share * shapely.area(pieces)])


def _taken_mm2(pieces: Geometries, part: Region) -> Floats:
    """How much of each of the pieces of a region a part of it takes."""
    taken = shapely.get_parts(part)
    piece, inside = _each_within(pieces, taken)
    return np.asarray(np.bincount(piece, shapely.area(taken)[inside], len(pieces)), dtype=float)


def counted_within(pieces: Geometries, part: Region) -> Indices:
    """How many pieces a part of some pieces has in each of them."""
    return np.bincount(_each_within(pieces, shapely.get_parts(part))[0], minlength=len(pieces))


def _each_within(pieces: Geometries, taken: Geometries) -> tuple[Indices, Indices]:
    """Pairs of a piece and what was taken of it."""
    # Each is inside one piece, however the engine rounded the corners of the two.
    piece, inside = shapely.STRtree(shapely.point_on_surface(taken)).query(pieces, predicate="intersects")
    return piece, inside


def pieces_costing(openings: Region, lost: Region, within_mm: float, times: float) -> Region:
    """The pieces of some openings around which more is lost, within a distance (mm), than so many times their area."""
    pieces: Geometries = np.array(polygons(openings), dtype=object)
    mm2 = shapely.area(pieces)
    # More is around none (Steiner's formula).
    around_mm2 = shapely.length(pieces) * within_mm + math.pi * within_mm**2
    pieces, mm2 = pieces[around_mm2 > times * mm2], mm2[around_mm2 > times * mm2]
    beside = grown_each(pieces, within_mm)
    parts = shapely.get_parts(lost)
    piece, part = shapely.STRtree(parts).query(beside, predicate="intersects")
    cost_mm2 = np.bincount(piece, common_areas_mm2(beside[piece], parts[part]), len(pieces))
    return gather(pieces[cost_mm2 > times * mm2])


def edge(region: Region) -> BaseGeometry:
    """The outline of a region, holes included."""
    return shapely.boundary(region)


def edge_outside(region: Region, other: Region) -> BaseGeometry:
    """The outline of a region as far as it lies outside the other, whose own outline counts as inside."""
    return shapely.difference(shapely.boundary(region), other)


def smallest_distance(outline: BaseGeometry, other: BaseGeometry) -> tuple[float, Point]:
    """The smallest distance in mm from the outline to the other, and the point of the outline where it occurs."""
    shapely.prepare(other)
    nearest = shapely.shortest_line(other, outline)
    x, y = shapely.get_coordinates(nearest)[-1]
    return float(shapely.length(nearest)), (float(x), float(y))
