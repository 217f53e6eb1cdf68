"""A film, read back: everything painted in or near the ink zone is ink, whoever put it there."""

from __future__ import annotations

from vectorsep.geometry.affine import Affine
from vectorsep.geometry.boolean import union
from vectorsep.geometry.curves import FLATNESS_MM
from vectorsep.geometry.region import moved, rectangle, touches
from vectorsep.model import Artwork, Finding, Plate, Region, Role, Sheet

PAGE_TOLERANCE_MM = 0.01
"""A film's page may differ from the sheet by this much: the last decimal of a length in inches or points."""

READING_ERROR_MM = 2 * FLATNESS_MM
"""Two outlines read back from films, each flattened to chords, lie this much nearer to each other than measured, at
worst."""


def plate_of_film(artwork: Artwork, sheet: Sheet, role: Role, ink: str, hex_: str) -> tuple[Plate, tuple[Finding, ...]]:
    """The plate that a film really carries, in the design's coordinates, and what is wrong with the film as such.

    Marks lie wholly outside the ink zone; any shape that reaches into the zone counts as ink, all of it. A film
    on another page than the sheet does not register with the others, which no distance on it can show.
    """
    zone = rectangle(
        -sheet.ink_margin_mm,
        -sheet.ink_margin_mm,
        sheet.design_width_mm + sheet.ink_margin_mm,
        sheet.design_height_mm + sheet.ink_margin_mm,
    )
    painted = [_on_design(shape.area, sheet) for shape in artwork.shapes]
    area = union(shape for shape in painted if touches(shape, zone))
    return Plate(role, ink, hex_, area), _page_findings(artwork, sheet, ink)


def _on_design(area: Region, sheet: Sheet) -> Region:
    """A film's area in the design's coordinates."""
    if sheet.mirrored:
        return Affine(a=-1.0, e=sheet.design_width_mm + sheet.margin_x_mm, f=-sheet.margin_y_mm).map_region(area)
    return moved(area, -sheet.margin_x_mm, -sheet.margin_y_mm)


def _page_findings(artwork: Artwork, sheet: Sheet, ink: str) -> tuple[Finding, ...]:
    off_mm = max(abs(artwork.width_mm - sheet.width_mm), abs(artwork.height_mm - sheet.height_mm))
    if off_mm <= PAGE_TOLERANCE_MM:
        return ()
    message = (
        f"the film's page is {artwork.width_mm:.2f} x {artwork.height_mm:.2f} mm, but the set's is "
        f"{sheet.width_mm:.2f} x {sheet.height_mm:.2f} mm: it cannot register; restore the page size"
    )
    return (Finding("page-differs", "unsafe", ink, message),)
