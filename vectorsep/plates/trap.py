"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from shapely.geometry.base import BaseGeometry

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import intersection, union
from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.holes import without_pinholes
from vectorsep.geometry.offset import grow_lines, within_reach
from vectorsep.geometry.region import hanging_on, touching
from vectorsep.mesh import colour_threads_per_inch, finest_mm
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
    meshes = [colour_threads_per_inch(ink.hex, settings) for ink in inks]
    gaps_mm = tuple(settings.detail_gap_mm or finest_mm(mesh, settings) for mesh in meshes)
    return _trapped(tuple(ink.area for ink in everyone), gaps_mm, tuple(widths.items()))


@remembered
def _trapped(areas: tuple[Region, ...], gaps_mm: tuple[float, ...], pairs: tuple[Pair, ...]) -> tuple[Region, ...]:
    """The areas that a narrowest gap is given for with their traps; those after them are what the blocker prints."""
    borders = borders_of(areas)
    trapped = []
    for place, gap_mm in enumerate(gaps_mm):
        parts, hidden = [areas[place]], []
        for into, width_mm in [(into, width_mm) for (ink, into), width_mm in pairs if ink == place]:
            border = borders.between(place, (into,))
            if width_mm > 0 and not border.is_empty:
                zones = trap_zones(areas[into], width_mm)
                parts += _traps(border, zones, print_over=into < len(gaps_mm))
                hidden += [areas[into]] if place < into < len(gaps_mm) else []
        trapped.append(_tidied(union(parts), areas[place], hidden, gap_mm))
    return tuple(trapped)


def _traps(border: BaseGeometry, zones: Sequence[Zone], *, print_over: bool) -> Iterator[Region]:
    """The traps along a border into the zones of the area beyond it.

    Past a border's ends a trap runs on under an ink that prints over it; on bare blocker it would show, and stops.
    """
    for zone in zones:
        grown = grow_lines(within_reach(border, zone.area, zone.reach_mm), zone.reach_mm, past_ends=print_over)
        yield intersection(grown, touching(zone.area, grown))


def _tidied(trapped: Region, ink: Region, hidden: Sequence[Region], gap_mm: float) -> Region:
    """An ink with its traps, without what no mesh prints: bits that do not hang on the ink, which zones leave, and
    openings smaller than a dot of the narrowest gap under what prints over it. These fill with ink anyway."""
    return without_pinholes(hanging_on(trapped, ink), math.pi / 4 * gap_mm**2, hidden)


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
