"""Painter's order resolved: for each colour, the area that stays visible."""

from __future__ import annotations

from collections import defaultdict

from vectorsep.errors import ArtworkError
from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.hairlines import without_hairlines
from vectorsep.geometry.offset import inset
from vectorsep.geometry.region import inner_point
from vectorsep.geometry.visible import visible_parts
from vectorsep.inks.merge import knock_out, merge_alike
from vectorsep.inks.palette import name_inks
from vectorsep.inks.specks import clean_specks
from vectorsep.model import Artwork, Design, InkArea, Region
from vectorsep.settings import Settings

LOST_MM = 0.0005
"""Matching edges may move them by a fraction of a micrometre, and drops what is thinner; art lost wider than twice
this is a defect."""


def separate_inks(artwork: Artwork, settings: Settings) -> Design:
    """Turn painted shapes into ink areas.

    The areas are disjoint, share exact edges where they meet, and together cover what the shapes cover
    (hairline gaps between them closed), less what is knocked out to the garment. Sorted by where each colour
    first appears in painter's order, merged ones where their first member does. Raises ArtworkError when nothing
    would print.
    """
    areas = visible_areas(artwork)
    areas, cleaned = clean_specks(areas, settings.clean_below_mm2)
    areas, merged = merge_alike(areas, [ink.hex for ink in settings.inks], settings.merge_inks)
    areas, bare = knock_out(areas, settings.garment_hex) if settings.knock_out_garment else (areas, ())
    if not areas:
        raise ArtworkError("the artwork paints nothing inside its page: check its viewBox and fills")
    names, named = name_inks(list(areas), settings.inks)
    inks = tuple(InkArea(names[hex_], hex_, area) for hex_, area in areas.items())
    notices = artwork.notices + cleaned + merged + bare + named
    return Design(artwork.width_mm, artwork.height_mm, inks, notices)


def visible_areas(artwork: Artwork) -> dict[str, Region]:
    """For each colour what stays visible of it in painter's order, edges matched; hidden colours are left out."""
    visible = visible_parts([shape.area for shape in artwork.shapes])
    by_hex: dict[str, list[Region]] = defaultdict(list)
    for shape, part in zip(artwork.shapes, visible, strict=True):
        by_hex[shape.hex].append(part)
    painted = [union(parts) for parts in by_hex.values()]
    areas = without_hairlines(painted)
    for hex_, before, after in zip(by_hex, painted, areas, strict=True):
        lost = inset(difference(before, after), LOST_MM)
        if not lost.is_empty:  # an engine's failure must never pass as a smaller design
            raise RuntimeError(f"{lost.area:.3f} mm² of {hex_} got lost in painter's order, at {inner_point(lost)} mm")
    return {hex_: area for hex_, area in zip(by_hex, areas, strict=True) if not area.is_empty}
