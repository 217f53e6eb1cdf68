"""Bands along a border: as wide, edge by edge, as they are asked for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries
from vectorsep.geometry.boolean import intersection, joined_coverage, union
from vectorsep.geometry.borders import Border
from vectorsep.geometry.near import near_bounds
from vectorsep.geometry.offset import widened
from vectorsep.geometry.region import gather
from vectorsep.model import Region

STRAIGHT_MM = 1e-6
"""Corners that stand out by less are those at which straight edges were split, and make bands no different."""


def cover_near(areas: Sequence[Region], border: Border, distance_mm: float) -> Region:
    """The pieces of some areas with matched edges that may come within the distance of a border, as one area."""
    pieces = shapely.get_parts(list(areas))
    near = pieces[near_bounds(pieces, border.stretches(), distance_mm)]
    return gather(near) if len(areas) == 1 else joined_coverage(list(near))


def bands_along(border: Border, widths_mm: Floats, *, past_ends: bool = True) -> Geometries:
    """All within a width (mm) of a border's edges, each of its own width; of no width, nothing. At the border's ends
    round, or cut square so that nothing lies past them. The bands lie on both sides of the border, and may overlap."""
    bands = []
    for width_mm in np.unique(widths_mm[widths_mm > 0]):
        lines = shapely.get_parts(border.where(_reaching(border, widths_mm, width_mm)).lines())
        lines = shapely.simplify(lines, STRAIGHT_MM, preserve_topology=False)
        bands.append(widened(lines, width_mm, past_ends=past_ends))
    return np.concatenate(bands) if bands else np.empty(0, dtype=object)


def _reaching(border: Border, widths_mm: Floats, width_mm: float) -> Flags:
    """The edges of one width, and each wider one beside them: bands that end square leave no notch where the width
    changes at a bend."""
    own = widths_mm == width_mm
    start, stop = np.ascontiguousarray(border.ends).view(np.complex128)[..., 0].T
    beside = np.isin(start, stop[own]) | np.isin(stop, start[own])  # where a ring begins as well
    return np.asarray(own | (beside & (widths_mm > width_mm)))


def bands_within(bands: Geometries, area: Region, outline: Border) -> list[Region]:
    """What of the bands along an area's border lies in the area, and for bands that meet no outline also what lies on
    this side of the border: the outline is that of the areas on both sides together."""
    tree = shapely.STRtree(outline.stretches())
    meet = np.unique(tree.query(bands, predicate="intersects")[0])
    return [*np.delete(bands, meet), intersection(union(bands[meet]), area)]
