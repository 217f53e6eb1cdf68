"""Clean-up on request: pieces of an ink too small to print go to the neighbour they border on most, or go."""

from __future__ import annotations

from collections.abc import Mapping

from vectorsep.geometry.boolean import joined_coverage
from vectorsep.geometry.measure import border_length
from vectorsep.geometry.region import gather, inner_point, polygons
from vectorsep.model import Notice, Region


def clean_specks(areas: Mapping[str, Region], below_mm2: float) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give every piece smaller than the limit (mm2; 0 for none) to its neighbour, or drop it where it has none.

    The areas have matched edges before and after. Each piece is noted with its place.
    """
    kept = {hex_: [piece for piece in polygons(area) if piece.area >= below_mm2] for hex_, area in areas.items()}
    solid = {hex_: gather(pieces) for hex_, pieces in kept.items()}
    notices = []
    for hex_, area in areas.items():
        for speck in polygons(area):
            if speck.area >= below_mm2:
                continue
            borders = {other: border_length(speck, region) for other, region in solid.items() if other != hex_}
            host = max(borders, key=lambda other: borders[other], default=None)
            if host is not None and borders[host] > 0:
                kept[host].append(speck)
            told = f"becomes {host}" if host is not None and borders[host] > 0 else "is left out"
            message = f"a speck of {hex_}, {speck.area:.4f} mm², {told}"
            notices.append(Notice("speck-cleaned", message, plate=None, at_mm=inner_point(speck)))
    joined = {hex_: joined_coverage(pieces) for hex_, pieces in kept.items() if pieces}
    return joined, tuple(notices)
