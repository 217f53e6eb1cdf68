"""The blocker plate: under everything, a spread wider, and no wider than it must be."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.finish import finished
from vectorsep.geometry.graded import narrow_places
from vectorsep.geometry.measure import Strip
from vectorsep.geometry.offset import grow
from vectorsep.geometry.region import frame_around
from vectorsep.model import Region
from vectorsep.remember import remembered
from vectorsep.settings import MAX_DISTANCE_MM, Settings

FRAME_MM = 3 * MAX_DISTANCE_MM
"""How far cloth is taken to go on around the art: past where any spread and gap could reach."""


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
    return _shaped(silhouette, exposed_black, settings.spread_mm, settings.min_gap_mm)


@remembered
def _shaped(silhouette: Region, exposed_black: Region, spread_mm: float, min_gap_mm: float) -> BlockerShape:
    carried = difference(silhouette, exposed_black)
    spread = union([silhouette, grow(carried, spread_mm)])
    cloth = difference(frame_around(silhouette, FRAME_MM), silhouette)
    gaps = narrow_places(cloth, spread_mm, min_gap_mm, 0.0)
    closed = gaps.lost.where(gaps.lost.inside(spread)).strips()
    area = finished(difference(spread, gaps.kept))
    return BlockerShape(area, area.area - silhouette.area, closed)
