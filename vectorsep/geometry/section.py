"""Cuts through regions along a line, and the place on an edge that is nearest to a point."""

from __future__ import annotations

import shapely

from vectorsep.model import Point, Region


def cut_intervals(region: Region, start: Point, end: Point) -> tuple[tuple[float, float], ...]:
    """Where a straight line from start to end runs inside a region: distances (mm) from the start, in order."""
    line = shapely.LineString([start, end])
    inside = shapely.intersection(line, region)
    parts = [part for part in shapely.get_parts(inside) if part.geom_type == "LineString" and not part.is_empty]
    spans = [sorted(line.project(shapely.Point(xy)) for xy in (part.coords[0], part.coords[-1])) for part in parts]
    return tuple((first, last) for first, last in sorted(spans))


def nearest_on_edge(region: Region, point: Point) -> Point:
    """The point of a region's edge, holes included, that is nearest to a point."""
    nearest = shapely.shortest_line(shapely.boundary(region), shapely.Point(point))
    x, y = shapely.get_coordinates(nearest)[0]
    return (float(x), float(y))
