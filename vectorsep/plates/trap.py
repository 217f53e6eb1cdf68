"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from shapely.geometry.base import BaseGeometry

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import intersection, union
from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.offset import grow_lines, within_reach
from vectorsep.geometry.region import touching
from vectorsep.model import InkArea, Region
from vectorsep.plates.trap_zones import Zone, trap_zones
from vectorsep.remember import remembered
from vectorsep.settings import Settings

Widths: TypeAlias = dict[tuple[int, int], float]
"""How far (mm) the first ink of a pair runs into the second, by their places in print order."""

Pair: TypeAlias = tuple[tuple[int, int], float]


def trapped_areas(inks: Sequence[InkArea], exposed_black: InkArea | None, settings: Settings) -> tuple[Region, ...]:
    """Each ink, lightest first, with its traps into its neighbours added.

    A trap lies within its neighbours, so it never reaches towards cloth, and takes at most a third of a
    neighbour's local width. Every ink overlaps the black that the blocker prints. The job's own pair table
    goes before lightness. Areas in mm, edges matched. Raises SettingsError for a pair of unknown inks.
    """
    everyone = (*inks, *([exposed_black] if exposed_black else []))
    widths = _pair_widths(everyone, exposed_black.name if exposed_black else None, settings)
    return _trapped(tuple(ink.area for ink in everyone), len(inks), tuple(widths.items()))


@remembered
def _trapped(areas: tuple[Region, ...], overprinting: int, pairs: tuple[Pair, ...]) -> tuple[Region, ...]:
    """The first so many areas with their traps; those after them are what the blocker prints."""
    borders = borders_of(areas)
    trapped = [[area] for area in areas[:overprinting]]
    for (place, into), width_mm in pairs:
        border = borders.between(place, (into,))
        if width_mm > 0 and not border.is_empty:
            zones = trap_zones(areas[into], width_mm)
            trapped[place] += _traps(border, zones, print_over=into < overprinting)
    return tuple(union(parts) for parts in trapped)


def _traps(border: BaseGeometry, zones: Sequence[Zone], *, print_over: bool) -> Iterator[Region]:
    """The traps along a border into the zones of the area beyond it.

    Past a border's ends a trap runs on under an ink that prints over it; on bare blocker it would show, and stops.
    """
    for zone in zones:
        grown = grow_lines(within_reach(border, zone.area, zone.reach_mm), zone.reach_mm, past_ends=print_over)
        yield intersection(grown, touching(zone.area, grown))


def _pair_widths(inks: Sequence[InkArea], black_name: str | None, settings: Settings) -> Widths:
    """How far (mm) the first ink of a pair runs into the second; `inks` go from light to dark."""
    names = [ink.name for ink in inks]
    widths = {(i, dark): settings.trap_mm for i in range(len(names)) for dark in range(i + 1, len(names))}
    problems = []
    for i, pair in enumerate(settings.traps):
        if pair.ink not in names or pair.into not in names or pair.ink == pair.into:
            known = ", ".join(names)
            problems.append(f"{pair.ink!r} into {pair.into!r} is no pair of the art's inks, {known} @ traps[{i}]")
        elif pair.ink == black_name:
            problems.append(f"the blocker prints {pair.ink}, below all others: it cannot run into one @ traps[{i}]")
        else:
            ink, into = names.index(pair.ink), names.index(pair.into)
            widths.pop((into, ink), None)
            widths[ink, into] = pair.width_mm
    if problems:
        raise SettingsError(problems)
    return widths
