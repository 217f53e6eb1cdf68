"""Clean-up on request: narrow gaps between shapes that were meant to meet, as traced art has them, take ink."""

from __future__ import annotations

from collections.abc import Mapping

from vectorsep.errors import ArtworkError
from vectorsep.geometry.boolean import HAIRLINE_MM, difference, joined_coverage
from vectorsep.geometry.hairlines import without_gaps
from vectorsep.geometry.region import inner_point, polygons
from vectorsep.geometry.tiles import Untiled
from vectorsep.model import Notice, Region
from vectorsep.units import counted, format_mm, format_mm2

TOLD_MM2 = 1e-4
"""A square of ten micrometres: smaller pieces are what closing leaves at mouths of gaps that it does not close."""


def close_gaps(areas: Mapping[str, Region], narrower_mm: float) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give every gap narrower than the limit (mm) to the ink beside it that was drawn first; hairlines are closed
    already.

    The areas have matched edges before and after. A notice tells how much was closed. Raises ArtworkError.
    """
    if narrower_mm <= HAIRLINE_MM:
        return dict(areas), ()
    before = list(areas.values())
    try:
        after = without_gaps(before, narrower_mm)
    except Untiled as error:
        raise ArtworkError(f"{error} where gaps are closed: draw them closed, or leave out art.close_gaps") from error
    filled = difference(joined_coverage(after), joined_coverage(before))
    gaps = [gap for gap in polygons(filled) if gap.area >= TOLD_MM2]
    if not gaps:
        return dict(areas), ()
    told = f"{counted(len(gaps), 'gap')} narrower than {format_mm(narrower_mm)}, {format_mm2(filled.area)} in all"
    how = "closed with the ink beside them that was drawn first"
    return dict(zip(areas, after, strict=True)), (Notice("gap-closed", f"{told}, {how}", at_mm=inner_point(filled)),)
