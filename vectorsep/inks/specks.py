"""Clean-up on request: pieces of an ink too small to print go to the neighbour they border on most, or go."""

from __future__ import annotations

from collections.abc import Mapping

from vectorsep.geometry.boolean import joined_coverage
from vectorsep.geometry.measure import border_length
from vectorsep.geometry.region import inner_point, polygons
from vectorsep.model import Notice, Region


def clean_specks(areas: Mapping[str, Region], below_mm2: float) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give every piece smaller than the limit (mm2; 0 for none) to its neighbour, or drop it where it has none.

    The areas have matched edges before and after. Each piece is noted with its place.
    """
    if below_mm2 <= 0:
        return dict(areas), ()
    kept = {hex_: [piece for piece in polygons(area) if piece.area >= below_mm2] for hex_, area in areas.items()}
    specks = [(hex_, piece) for hex_, area in areas.items() for piece in polygons(area) if piece.area < below_mm2]
    notices = []
    given = True
    while given:  # a speck among specks borders on a kept area once its neighbours have been given away
        given = []
        for hex_, speck in specks:
            host = _closest_neighbour(speck, {other: pieces for other, pieces in kept.items() if other != hex_})
            if host is not None:
                given.append((hex_, speck, host))
        for hex_, speck, host in given:
            kept[host].append(speck)
            notices.append(_notice(hex_, speck, f"becomes {host}"))
        specks = [(hex_, speck) for hex_, speck in specks if all(speck is not taken for _, taken, _ in given)]
    notices += [_notice(hex_, speck, "is left out") for hex_, speck in specks]
    joined = {hex_: joined_coverage(pieces) for hex_, pieces in kept.items() if pieces}
    return joined, tuple(notices)


def _closest_neighbour(speck: Region, kept: Mapping[str, list[Region]]) -> str | None:
    """The colour that the speck borders on most, if any."""
    borders = {hex_: sum(border_length(speck, piece) for piece in pieces) for hex_, pieces in kept.items()}
    longest = max(borders, key=lambda hex_: borders[hex_], default=None)
    return longest if longest is not None and borders[longest] > 0 else None


def _notice(hex_: str, speck: Region, told: str) -> Notice:
    return Notice("speck-cleaned", f"a speck of {hex_}, {speck.area:.4f} mm², {told}", at_mm=inner_point(speck))
