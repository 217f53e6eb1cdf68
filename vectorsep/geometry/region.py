"""Regions: valid polygons or multipolygons, and nothing else ever leaves a geometry operation."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

import numpy as np
import shapely
from shapely import MultiPolygon, Point, Polygon
from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices, ranges
from vectorsep.model import Bounds, Region
from vectorsep.model import Point as PointMm

EMPTY: Region = MultiPolygon()

GRID_STEPS_PER_MM = 10_000
GRID_MM = 1 / GRID_STEPS_PER_MM
"""The grid that finished plates lie on, and the last decimal of the films: 0.1 micrometre.

A coarser grid would eat into clearances; a finer one only makes the films larger, since a film recorder at
5,080 dpi has dots of 5 micrometres.
"""
ROUNDING_MM = 1e-9
"""A point of a region, or its edge, may come to lie so far outside it by the last bits of an overlay."""

LARGE_CORNERS = 1000
"""A polygon with more corners asks what comes near it, and is readied for that once. Asked by each piece that may, the
engine goes through all of it every time, and a net of strokes has thousands of pieces beside it."""


def polygons_only(geometry: BaseGeometry) -> Region:
    """Keep the polygons of an operation's outcome and drop the lines and points where regions merely touch."""
    if isinstance(geometry, Polygon | MultiPolygon):
        return geometry
    pieces = [part for part in shapely.get_parts(geometry) if isinstance(part, Polygon | MultiPolygon)]
    return gather(pieces)


def gather(regions: Iterable[Region]) -> Region:
    """Put disjoint regions into one value without computing anything."""
    pieces = shapely.get_parts(list(regions))
    pieces = pieces[~shapely.is_empty(pieces)]
    return pieces[0] if len(pieces) == 1 else cast(MultiPolygon, shapely.multipolygons(pieces))


def polygons(region: Region) -> list[Polygon]:
    """The separate, non-empty pieces of a region."""
    pieces = shapely.get_parts(region)
    return list(pieces[~shapely.is_empty(pieces)])


def rings(region: Region) -> list[Floats]:
    """Every ring of a region, outer ones and holes, each as an (n, 2) array that repeats its first point last."""
    lines = shapely.get_rings(shapely.get_parts(region))
    return [shapely.get_coordinates(line) for line in lines]


def outlines(region: Region) -> tuple[Geometries, Indices, Flags]:
    """The rings of a region, piece by piece and the outer one first; which piece each is of, and whether it is a
    hole of it."""
    rings, piece = shapely.get_rings(shapely.get_parts(region), return_index=True)
    return rings, piece, np.diff(piece, prepend=-1) == 0


def of_outlines(rings: Geometries, piece: Indices) -> Region:
    """The region of such rings, each piece's outer one first; pieces may be missing."""
    return gather(np.asarray(shapely.polygons(rings, indices=np.unique(piece, return_inverse=True)[1])))


def ring_edges(rings: Geometries) -> tuple[Floats, Indices]:
    """The edges of rings, in order and ring by ring: end points (n, 2, 2) in mm, and which ring each is of."""
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    inside = ring[1:] == ring[:-1]  # rings repeat their first point last
    return np.stack([xy[:-1], xy[1:]], axis=1)[inside], ring[:-1][inside]


def rings_in_steps(region: Region, longest_mm: float) -> Geometries:
    """The rings of a region with the region on their left, and no edge longer than so much.

    Never are polygons taken in steps: where the rounding of new points makes their edges cross, as beside a spike of no
    width, the engine mends them without a word, and may leave nothing of them.
    """
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(region)))
    return np.asarray(shapely.segmentize(rings, longest_mm))


def edge_lines(edges: Floats) -> Geometries:
    """Edges, given by their end points (n, 2, 2) in mm, as lines. Of two points each the engine makes them so in half
    the time that it takes for lines of any length."""
    ends = np.arange(0, 2 * len(edges) + 1, 2)
    return np.asarray(shapely.from_ragged_array(shapely.GeometryType.LINESTRING, edges.reshape(-1, 2), (ends,)))


def edges_in_parts(edges: Floats, longest_mm: float) -> tuple[Floats, Indices, Indices]:
    """Edges (n, 2, 2), those that are longer than so much cut evenly; and of each part which edge it is of, and its
    number there. Parts of one edge have their ends in common to the last bit."""
    along = edges[:, 1] - edges[:, 0]
    count = np.maximum(np.ceil(np.hypot(*along.T) / longest_mm).astype(np.intp), 1)
    edge, nth = ranges(np.zeros_like(count), count)
    points = edges[edge, 0] + along[edge] * (nth / count[edge])[:, None]
    parts = np.stack([points, np.roll(points, -1, axis=0)], axis=1)
    parts[np.cumsum(count) - 1, 1] = edges[:, 1]
    return parts, edge, nth


def repaired(region: Region) -> Region:
    """A valid region covering the same places, read by the even-odd rule where rings cross."""
    if region.is_valid:
        return region
    return polygons_only(shapely.make_valid(region))


def on_grid(region: Region) -> Region:
    """Move every vertex to the plate grid, so that what a film's decimals say is exactly what was checked."""
    pieces = shapely.get_parts(region)
    rounded = shapely.transform(pieces, lambda xy: np.rint(xy * GRID_STEPS_PER_MM) / GRID_STEPS_PER_MM)
    crossing = ~shapely.is_valid(rounded)
    rounded[crossing] = _snapped(pieces[crossing])
    return one_on_grid(polygons_only(piece) for piece in shapely.remove_repeated_points(rounded))


def one_on_grid(regions: Iterable[Region]) -> Region:
    """Regions as one that are on the plate grid and were disjoint before they came there."""
    whole = gather(regions)
    return whole if whole.is_valid else _parted(shapely.get_parts(whole))


def _parted(pieces: Geometries) -> Region:
    """Pieces on the grid as one region, where some came to lie over each other or to share an edge: the engine puts
    those together that meet at all."""
    one, other = shapely.STRtree(pieces).query(pieces, predicate="intersects")
    meeting = np.zeros(len(pieces), dtype=bool)
    meeting[one[one != other]] = True
    parted = gather([*pieces[~meeting], _united(pieces[meeting])])
    return parted if parted.is_valid else _united(pieces)


def _united(pieces: Geometries) -> Region:
    return polygons_only(_off_grid(shapely.union_all(pieces, grid_size=GRID_MM)))


def _snapped(pieces: Geometries) -> Geometries:
    """By the engine, which mends outlines that come to cross each other on the grid."""
    return np.array([_off_grid(piece) for piece in shapely.set_precision(pieces, GRID_MM)], dtype=object)


def _off_grid(geometry: BaseGeometry) -> BaseGeometry:
    """The same geometry without the engine's note of its grid, which later operations would keep to."""
    plain: BaseGeometry = shapely.set_precision(geometry, 0.0, mode="pointwise")
    return plain


def moved(region: Region, dx_mm: float, dy_mm: float) -> Region:
    """The region shifted by a vector."""
    shift = np.array([dx_mm, dy_mm])
    return polygons_only(shapely.transform(region, lambda xy: xy + shift))


def rectangle(left_mm: float, top_mm: float, right_mm: float, bottom_mm: float) -> Region:
    """An upright rectangle."""
    return polygons_only(shapely.box(left_mm, top_mm, right_mm, bottom_mm))


def within_box(region: Region, box: Bounds) -> Region:
    """What of a region lies in an upright rectangle."""
    return gather(polygons_only(piece) for piece in pieces_within(shapely.get_parts(region), box))


def pieces_within(pieces: Geometries, box: Bounds) -> Geometries:
    """What of each of some polygons lies in an upright rectangle: by the engine's quick cut, which may leave outlines
    that cross."""
    quick = np.asarray(shapely.clip_by_rect(pieces, *box))
    crossing = ~shapely.is_valid(quick)
    quick[crossing] = shapely.intersection(pieces[crossing], shapely.box(*box))
    return quick


def inner_point(region: Region) -> PointMm | None:
    """Some point well inside the largest piece of a region, or None for an empty one."""
    pieces = polygons(region)
    if not pieces:
        return None
    point: Point = shapely.point_on_surface(max(pieces, key=lambda piece: piece.area))
    return (point.x, point.y)


def frame_around(region: Region, margin_mm: float) -> Region:
    """The bounding rectangle of a region, wider by the margin on every side."""
    left, top, right, bottom = region.bounds
    return rectangle(left - margin_mm, top - margin_mm, right + margin_mm, bottom + margin_mm)


def touches(one: Region, other: Region) -> bool:
    """Whether two regions share any point."""
    return bool(shapely.intersects(one, other))


def covers(outer: Region, inner: Region) -> bool:
    """Whether no point of the inner region lies outside the outer one. Quick where the outer one is asked again."""
    shapely.prepare(outer)
    return bool(shapely.covers(outer, inner))


def touch_each(regions: Sequence[Region] | Geometries, other: Region) -> Flags:
    """Which regions share any point with the other."""
    shapely.prepare(other)
    return np.asarray(shapely.intersects(other, np.array(regions, dtype=object)))  # what is readied must come first


def lie_in(regions: Sequence[Region], outer: Region) -> Flags:
    """Which regions have no point outside the other."""
    shapely.prepare(outer)
    return np.asarray(shapely.covers(outer, np.array(regions, dtype=object)))


def covers_point(region: Region, point: PointMm) -> bool:
    """Whether a point lies inside a region or on its edge."""
    return bool(shapely.intersects(region, Point(point)))


def hanging_on(region: Region, part: Region) -> Region:
    """The pieces of a region that hold a piece of its part, or share a point with it but for rounding: what was cut to
    meet the part may miss it by the last bit."""
    pieces = shapely.get_parts(region)
    inside = shapely.point_on_surface(shapely.get_parts(part))
    hanging = np.zeros(len(pieces), dtype=bool)
    hanging[shapely.STRtree(inside).query(pieces, predicate="dwithin", distance=ROUNDING_MM)[0]] = True
    return gather([*pieces[hanging], touching(gather(pieces[~hanging]), part)])


def touching(region: Region, other: BaseGeometry | Geometries) -> Region:
    """The pieces of a region that share a point with another, or with lines, but for rounding: of two overlays one may
    have put a point on a common edge that the other has none on."""
    return coming_near(region, other, ROUNDING_MM)


def amid_others(parts: Sequence[Region], whole: Region) -> list[Region]:
    """The pieces of each part of a whole that other parts border on: which are no pieces of the whole by themselves."""
    alone, pieces = set(_sizes(shapely.get_parts(whole))), [shapely.get_parts(part) for part in parts]
    return [gather(of[[size not in alone for size in _sizes(of)]]) for of in pieces]


def _sizes(pieces: Geometries) -> list[tuple[float, ...]]:
    """By which pieces of one place are told apart: bounds, and area, in whole square micrometres."""
    return list(map(tuple, np.column_stack([shapely.bounds(pieces), np.rint(shapely.area(pieces) * 1e6)]).tolist()))


def apart_from(region: Region, other: Region) -> Region:
    """The pieces of a region that share no point with another, but for rounding."""
    pieces = shapely.get_parts(region)
    return gather(np.delete(pieces, which_near(pieces, other, ROUNDING_MM)))


def shared_out(region: Region, wholes: Sequence[Region]) -> list[Region]:
    """The pieces of a region, each with that of some disjoint wholes that it lies in."""
    pieces = shapely.get_parts(region)
    inside = shapely.point_on_surface(pieces)
    places = [shapely.STRtree(inside).query(shapely.get_parts(whole), predicate="intersects")[1] for whole in wholes]
    return [gather(pieces[np.unique(place)]) for place in places]


def coming_near(region: Region, other: BaseGeometry | Geometries, distance_mm: float) -> Region:
    """The pieces of a region that come as near as the distance to another, or to lines."""
    pieces = shapely.get_parts(region)
    return gather(pieces[which_near(pieces, other, distance_mm)])


def which_near(pieces: Geometries, other: BaseGeometry | Geometries, distance_mm: float) -> Indices:
    """Which pieces come as near as the distance to a region, or to lines."""
    others = shapely.get_parts(other)
    large = shapely.get_num_coordinates(others) > LARGE_CORNERS
    asking, _ = shapely.STRtree(others[~large]).query(pieces, predicate="dwithin", distance=distance_mm)
    _, asked = shapely.STRtree(pieces).query(others[large], predicate="dwithin", distance=distance_mm)
    return np.unique(np.append(asking, asked))
