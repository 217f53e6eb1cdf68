"""The page that all films of a set share: the design's page, room for ink around it, marks outside that."""

from __future__ import annotations

import math

from vectorsep.model import Design, Sheet
from vectorsep.settings import Settings

INK_ROOM_MM = 3.0
"""Quiet space between the farthest ink and the nearest mark, so that nobody tapes over either."""
MARK_BAND_MM = 14.0
"""Width of the band along every side that holds the registration marks and the label."""


def lay_out_sheet(design: Design, settings: Settings) -> Sheet:
    """Choose the page of the films (mm) so that the ink of every plate has room, whatever the art overhangs."""
    ink_margin_mm = float(math.ceil(_overhang(design) + settings.spread_mm + INK_ROOM_MM))
    return Sheet(design.width_mm, design.height_mm, ink_margin_mm, ink_margin_mm + MARK_BAND_MM)


def _overhang(design: Design) -> float:
    """How far (mm) art reaches past the design's page, at the side where it reaches farthest."""
    bounds = [ink.area.bounds for ink in design.inks if not ink.area.is_empty]
    overhangs = [
        reach
        for left, top, right, bottom in bounds
        for reach in (-left, -top, right - design.width_mm, bottom - design.height_mm)
    ]
    return max([0.0, *overhangs])
