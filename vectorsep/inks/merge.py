"""Inks by eye, not by string: colours that look alike become one ink, garment-coloured art becomes bare cloth."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from vectorsep.colour import GARMENT_DIFFERENCE, difference_of, hosts_of_alike
from vectorsep.geometry.boolean import joined_coverage
from vectorsep.model import Notice, Region
from vectorsep.units import format_mm2


def merge_alike(
    areas: Mapping[str, Region], job_hexes: Sequence[str], largest_difference: float
) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Join colours that differ by no more than a CIEDE2000 difference; 0 joins nothing.

    An ink of the job takes in what looks like it, even when the art never uses its exact colour; otherwise the
    colour with the larger area does. Areas (mm, edges matched) stay disjoint. One notice a merge.
    """
    if largest_difference <= 0:
        return dict(areas), ()
    hosts = hosts_of_alike({hex_: area.area for hex_, area in areas.items()}, job_hexes, largest_difference)
    members: dict[str, list[str]] = {}
    for hex_, host in hosts.items():
        members.setdefault(host, []).append(hex_)
    notices = (
        Notice("inks-merged", f"{hex_} prints as {host}: they differ by {difference_of(hex_, host):.2f} (CIEDE2000)")
        for hex_, host in hosts.items()
        if hex_ != host
    )
    order = list(areas)
    by_order = sorted(members, key=lambda host: min(order.index(hex_) for hex_ in members[host]))
    merged = {host: joined_coverage([areas[hex_] for hex_ in members[host]]) for host in by_order}
    return merged, tuple(notices)


def knock_out(areas: Mapping[str, Region], garment_hex: str) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Leave out the colours that the cloth itself shows: neither ink nor blocker goes there."""
    kept = {hex_: area for hex_, area in areas.items() if difference_of(hex_, garment_hex) > GARMENT_DIFFERENCE}
    notices = tuple(
        Notice(
            "garment-shows",
            f"{hex_} is left to the garment's own {garment_hex}: {format_mm2(areas[hex_].area)} stay bare",
        )
        for hex_ in areas
        if hex_ not in kept
    )
    return kept, notices
