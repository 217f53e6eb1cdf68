"""Hairline gaps between areas: slips of a drawing program's rounding, filled before anything is made of them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from vectorsep.geometry.boolean import HAIRLINE_MM, difference, joined_coverage, matched_edges, union
from vectorsep.geometry.measure import strips
from vectorsep.geometry.offset import closed
from vectorsep.geometry.region import polygons
from vectorsep.model import Region

SHORTEST_MM = 5 * HAIRLINE_MM
"""A filled place shorter than this is the rounded bottom of a concave corner, which closing always makes."""
NARROWEST_MM = 2e-4
"""Thinner filled places are the engine's own smoothing of an edge: a hundredth of the hairline's half width."""


def without_hairlines(areas: Sequence[Region]) -> list[Region]:
    """Areas with matched edges, where every gap narrower than a hairline belongs to the area that borders it most.

    Enclosed gaps are taken by the matching itself; this fills those that are open to the cloth at an end.
    """
    matched = matched_edges(areas)
    silhouette = joined_coverage(matched)
    slits = [
        piece
        for piece in polygons(difference(closed(silhouette, HAIRLINE_MM), silhouette))
        if any(strip.length_mm >= SHORTEST_MM for strip in strips(piece, NARROWEST_MM))
    ]
    if not slits:
        return matched
    filled = [[area] for area in matched]
    for slit in slits:
        filled[_best_neighbour(slit, matched)].append(slit)
    return matched_edges([union(pieces) for pieces in filled])


def _best_neighbour(slit: Region, areas: Sequence[Region]) -> int:
    """Which area shares most with a thin skin around the slit."""
    skin = shapely.buffer(slit, HAIRLINE_MM / 2, quad_segs=1)
    shared = [shapely.area(shapely.intersection(skin, area)) for area in areas]
    return shared.index(max(shared))
