"""Measuring: distances between edges and where they are smallest. Reads regions, never changes them."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from vectorsep.model import Point, Region


def edge(region: Region) -> BaseGeometry:
    """The outline of a region, holes included."""
    return shapely.boundary(region)


def smallest_distance(outline: BaseGeometry, other: BaseGeometry) -> tuple[float, Point]:
    """The smallest distance in mm from the outline to the other, and the point of the outline where it occurs."""
    shapely.prepare(other)
    nearest = shapely.shortest_line(other, outline)
    x, y = shapely.get_coordinates(nearest)[-1]
    return float(shapely.length(nearest)), (float(x), float(y))
