"""Painter's order resolved: for each colour, the area that stays visible."""

from __future__ import annotations

from collections import defaultdict

from vectorsep.errors import ArtworkError
from vectorsep.geometry.boolean import matched_edges, union, visible_parts
from vectorsep.inks.palette import name_inks
from vectorsep.model import Artwork, Design, InkArea, Region
from vectorsep.settings import Settings


def separate_inks(artwork: Artwork, settings: Settings) -> Design:
    """Turn painted shapes into ink areas.

    The areas are disjoint, share exact edges where they meet, and together cover what the shapes cover
    (hairline gaps between them closed). Sorted by where each colour first appears in painter's order.
    Raises ArtworkError when nothing would print.
    """
    visible = visible_parts([shape.area for shape in artwork.shapes])
    by_hex: dict[str, list[Region]] = defaultdict(list)
    for shape, part in zip(artwork.shapes, visible, strict=True):
        by_hex[shape.hex].append(part)
    areas = matched_edges([union(parts) for parts in by_hex.values()])
    shown = {hex_: area for hex_, area in zip(by_hex, areas, strict=True) if not area.is_empty}
    if not shown:
        raise ArtworkError("the artwork paints nothing inside its page: check its viewBox and fills")
    names, notices = name_inks(list(shown), settings.inks)
    inks = tuple(InkArea(names[hex_], hex_, area) for hex_, area in shown.items())
    return Design(artwork.width_mm, artwork.height_mm, inks, artwork.notices + notices)
