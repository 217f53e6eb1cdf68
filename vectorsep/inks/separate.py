"""Painter's order resolved: for each colour, the area that stays visible."""

from __future__ import annotations

from vectorsep.errors import UNITE_SHAPES, ArtworkError, SettingsError
from vectorsep.geometry.boolean import difference
from vectorsep.geometry.hairlines import without_hairlines
from vectorsep.geometry.region import inner_point
from vectorsep.geometry.slivers import without_slivers
from vectorsep.geometry.tiles import Untiled
from vectorsep.geometry.visible import DUST_MM, visible_of_kinds
from vectorsep.inks.gaps import close_gaps
from vectorsep.inks.merge import knock_out, merge_alike
from vectorsep.inks.page_questions import page_notices
from vectorsep.inks.palette import name_inks, unmatched_inks
from vectorsep.inks.pinholes import fill_pinholes
from vectorsep.inks.rims import close_rims
from vectorsep.inks.specks import clean_specks
from vectorsep.model import Artwork, Design, InkArea, Region
from vectorsep.settings import Settings

LOST_MM2 = 1e-6
"""What rounding may take of a colour: a square of one micrometre. Closing hairlines only ever adds to it."""

PASSED_OVER = frozenset({"hidden-page", "off-page", "unknown-element"})
"""Notices of what a drawing holds and does not show."""


def separate_inks(artwork: Artwork, settings: Settings) -> Design:
    """Turn painted shapes into ink areas.

    The areas are disjoint, share exact edges where they meet, and together cover what the shapes cover (hairline
    gaps between them closed, and wider ones as the job asks, openings that no screen holds filled), less what is
    knocked out to the garment. Sorted by where each colour first appears in painter's order, merged ones where
    their first member does. Raises ArtworkError when nothing would print, or when the geometry engine fails;
    SettingsError when all of it is cleaned up or left to the garment.
    """
    drawn, rims = close_rims(visible_areas(artwork))
    drawn, closed = close_gaps(drawn, settings.close_gaps_mm)
    areas, merged = merge_alike(drawn, [ink.hex for ink in settings.inks], settings.merge_inks)
    if not areas:
        raise ArtworkError(_why_nothing_prints(artwork))
    areas, cleaned = clean_specks(areas, settings.clean_below_mm2)
    if not areas:
        problem = f"all art is in pieces of under {settings.clean_below_mm2:g} mm²: nothing is left to print"
        raise SettingsError([f"{problem} @ art.clean_below_mm2"])
    areas, bare = knock_out(areas, settings.garment_hex) if settings.knock_out_garment else (areas, ())
    if not areas:
        raise SettingsError(
            [f"all art is in the cloth's own {settings.garment_hex}: nothing is left to print @ garment.knock_out"]
        )
    areas, filled = fill_pinholes(areas, settings)
    names = name_inks(list(areas), settings.inks)
    inks = tuple(InkArea(names[hex_], hex_, area) for hex_, area in areas.items())
    asked = tuple(page_notices(artwork, drawn, inks, settings))
    unmatched = tuple(unmatched_inks(drawn | areas, settings.inks))
    notices = asked + artwork.notices + rims + closed + merged + cleaned + bare + filled + unmatched
    return Design(artwork.width_mm, artwork.height_mm, inks, notices)


def _why_nothing_prints(artwork: Artwork) -> str:
    left_out = [notice.message for notice in artwork.notices if notice.code == "left-out"]
    if left_out:
        return "\n  ".join(["nothing of the artwork is left to print: mend the drawing", *left_out])
    passed_over = [notice.message for notice in artwork.notices if notice.code in PASSED_OVER]
    return "\n  ".join(
        ["the artwork paints nothing that shows on its page: check its viewBox, fills and size", *passed_over]
    )


def visible_areas(artwork: Artwork) -> dict[str, Region]:
    """For each colour what stays visible of it in painter's order, edges matched; hidden colours are left out."""
    hexes = list(dict.fromkeys(shape.hex for shape in artwork.shapes))
    kinds = {hex_: kind for kind, hex_ in enumerate(hexes)}
    shapes = artwork.shapes
    try:
        visible = visible_of_kinds([shape.area for shape in shapes], [kinds[shape.hex] for shape in shapes], len(hexes))
        areas = without_hairlines(visible)
    except Untiled as error:
        raise ArtworkError(f"{error}: {UNITE_SHAPES}") from error
    for hex_, before, after in zip(hexes, visible, areas, strict=True):
        if before.area - after.area > LOST_MM2:  # an engine's failure must never pass as a smaller design
            lost = without_slivers(difference(before, after), DUST_MM)  # what is narrower went to a neighbour
            if lost.area > LOST_MM2:
                place = f"{lost.area:.6f} mm² of {hex_} got lost in painter's order, at {inner_point(lost)} mm"
                raise ArtworkError(f"{place}: {UNITE_SHAPES}")
    return {hex_: area for hex_, area in zip(hexes, areas, strict=True) if not area.is_empty}
