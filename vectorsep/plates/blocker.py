"""The blocker plate: under everything, a spread wider, and no wider than it must be."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.graded import graded_inset
from vectorsep.geometry.measure import Strip, strips
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow
from vectorsep.geometry.region import frame_around
from vectorsep.model import Region
from vectorsep.settings import Settings

FRAME_REACHES = 8.0
"""How far cloth is taken to go on around the art, in reaches of the gap finder; from 3 up it is no gap."""


@dataclass(frozen=True, slots=True)
class BlockerShape:
    """What the blocker covers, how much of it stands out past the art, and the gaps of the art that it closes
    because its mesh cannot hold them."""

    area: Region
    rim_mm2: float
    closed_gaps: tuple[Strip, ...]


def shape_blocker(silhouette: Region, exposed_black: Region, settings: Settings) -> BlockerShape:
    """Grow the art by the spread, but keep every gap open that the mesh can hold.

    Where the blocker itself prints the design's black there is nothing to protect: the black keeps its drawn
    edge, and only the other inks are spread beneath. Both areas are in mm; the result covers the silhouette.
    """
    carried = difference(silhouette, exposed_black)
    spread = union([exposed_black, grow(carried, settings.spread_mm)])
    cloth = difference(frame_around(spread, FRAME_REACHES * (settings.spread_mm + settings.min_gap_mm)), silhouette)
    opened = graded_inset(cloth, settings.spread_mm, settings.min_gap_mm, 0.0)
    closed = strips(intersection(opened.lost, spread), CHORD_TOLERANCE_MM)
    area = difference(spread, opened.area)
    return BlockerShape(area, area.area - silhouette.area, closed)
