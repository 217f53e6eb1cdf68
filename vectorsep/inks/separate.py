"""Painter's order resolved: for each colour, the area that stays visible."""

from __future__ import annotations

from collections import defaultdict

from vectorsep.errors import ArtworkError
from vectorsep.geometry.boolean import union
from vectorsep.geometry.hairlines import without_hairlines
from vectorsep.geometry.visible import visible_parts
from vectorsep.inks.merge import knock_out, merge_alike
from vectorsep.inks.palette import name_inks
from vectorsep.inks.specks import clean_specks
from vectorsep.model import Artwork, Design, InkArea, Region
from vectorsep.settings import Settings

LOST_MM2 = 0.01
"""Matching edges may move corners by a fraction of a micrometre; a lost area above this is a defect."""


def separate_inks(artwork: Artwork, settings: Settings) -> Design:
    """Turn painted shapes into ink areas.

    The areas are disjoint, share exact edges where they meet, and together cover what the shapes cover
    (hairline gaps between them closed), less what is knocked out to the garment. Sorted by where each colour
    first appears in painter's order. Raises ArtworkError when nothing would print.
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
    areas = without_hairlines([union(parts) for parts in by_hex.values()])
    lost_mm2 = sum(part.area for part in visible) - sum(area.area for area in areas)
    if lost_mm2 > LOST_MM2:  # an engine's failure must never pass as a smaller design
        raise RuntimeError(f"{lost_mm2:.3f} mm² of art got lost in painter's order")
    return {hex_: area for hex_, area in zip(by_hex, areas, strict=True) if not area.is_empty}
