"""Pinholes: openings in the art that no screen holds take ink, or each would print as a dull dot much wider than it was
drawn, for the ink fills it while the white beneath is choked all around."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from vectorsep.geometry.arrays import Geometries
from vectorsep.geometry.boolean import covered, each_joined
from vectorsep.geometry.borders import NOBODY, borders_of
from vectorsep.geometry.holes import small_holes
from vectorsep.geometry.region import inner_point
from vectorsep.mesh import dot_mm2, narrowest_gap_mm
from vectorsep.model import Notice, Region
from vectorsep.settings import Settings
from vectorsep.units import counted, format_mm, format_mm2


def fill_pinholes(areas: Mapping[str, Region], settings: Settings) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give every opening to the ink that it borders on most, if it is smaller than a dot of the narrowest gap which
    that ink's mesh holds open. Openings with art in them stay.

    The areas have matched edges before and after. A notice tells how many were filled.
    """
    gaps_mm = [narrowest_gap_mm(hex_, settings) for hex_ in areas]
    holes = small_holes(covered(tuple(areas.values())), dot_mm2(max(gaps_mm)))
    if not len(holes):
        return dict(areas), ()
    host = borders_of([*areas.values(), *holes]).longest_beside(len(areas), len(holes))
    limit_mm2 = np.array([*map(dot_mm2, gaps_mm), 0.0])  # the last for NOBODY
    host[[hole.area for hole in holes] >= limit_mm2[host]] = NOBODY
    filled = each_joined(list(areas.values()), holes, host)
    return dict(zip(areas, filled, strict=True)), _told(holes[host != NOBODY], max(gaps_mm))


def _told(filled: Geometries, gap_mm: float) -> tuple[Notice, ...]:
    if not len(filled):
        return ()
    area_mm2 = sum(hole.area for hole in filled)
    are, them = ("is", "it") if len(filled) == 1 else ("are", "them")
    message = (
        f"{counted(len(filled), 'pinhole')}, {format_mm2(area_mm2)} in all, smaller than a dot of "
        f"{format_mm(round(gap_mm, 3))}, {are} filled with the ink around {them}: its screen would not hold {them} "
        "open, and white choked all around would show as a dull dot; if your screens hold finer gaps, set "
        "detail.colour_gap"
    )
    return (Notice("pinhole-filled", message, at_mm=inner_point(filled[0])),)
