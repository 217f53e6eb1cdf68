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
    kept: dict[str, list[Region]] = {hex_: [] for hex_ in areas}
    specks: list[tuple[str, Region]] = []
    for hex_, area in areas.items():
        for piece in polygons(area):
            if piece.area >= below_mm2:
                kept[hex_].append(piece)
            else:
                specks.append((hex_, piece))
    notices = []
    while True:  # a speck among specks borders on a kept area once its neighbours have been given away
        hosts = [_closest_neighbour(speck, kept, not_of=hex_) for hex_, speck in specks]
        for (hex_, speck), host in zip(specks, hosts, strict=True):
            if host is not None:
                kept[host].append(speck)
                notices.append(_notice(hex_, speck, f"becomes {host}"))
        left = [speck for speck, host in zip(specks, hosts, strict=True) if host is None]
        if len(left) == len(specks):
            break
        specks = left
    notices += [_notice(hex_, speck, "is left out") for hex_, speck in specks]
    joined = {hex_: joined_coverage(pieces) for hex_, pieces in kept.items() if pieces}
    return joined, tuple(notices)


def _closest_neighbour(speck: Region, kept: Mapping[str, list[Region]], *, not_of: str) -> str | None:
    """The other colour that the speck borders on most, if any."""
    borders = {
        hex_: sum(border_length(speck, piece) for piece in pieces) for hex_, pieces in kept.items() if hex_ != not_of
    }
    longest = max(borders, key=lambda hex_: borders[hex_], default=None)
    return longest if longest is not None and borders[longest] > 0 else None


def _notice(hex_: str, speck: Region, told: str) -> Notice:
    return Notice("speck-cleaned", f"a speck of {hex_}, {speck.area:.4f} mm², {told}", at_mm=inner_point(speck))
