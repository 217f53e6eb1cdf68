"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeAlias

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.measure import border
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow, grow_line, inset, opened
from vectorsep.geometry.region import EMPTY
from vectorsep.model import InkArea, Region
from vectorsep.settings import Settings

Room: TypeAlias = tuple[float, Region]
"""How far a trap may reach (mm), and the part of a neighbour where it may reach so far."""
Widths: TypeAlias = dict[tuple[str, str], float]

TRAP_STEPS = 4
"""A trap narrows in this many steps where the neighbour is too thin for its full width."""
NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""


def trapped_areas(inks: Sequence[InkArea], exposed_black: InkArea | None, settings: Settings) -> list[Region]:
    """Each ink, lightest first, with its traps into its neighbours added.

    A trap lies within its neighbour, so it never reaches towards cloth, and takes at most a third of the
    neighbour's local width. Every ink overlaps the black that the blocker prints. The job's own pair table
    goes before lightness. Areas in mm, edges matched. Raises SettingsError for a pair of unknown inks.
    """
    neighbours = [*inks, *([exposed_black] if exposed_black else [])]
    widths = _pair_widths(neighbours, settings)
    rooms = {(into, width): [] for (_, into), width in widths.items() if width > 0}
    for ink in neighbours:
        for width_mm in {width for into, width in rooms if into == ink.name}:
            rooms[ink.name, width_mm] = _rooms(ink.area, width_mm)
    return [union([ink.area, *_traps_of(ink, neighbours, widths, rooms)]) for ink in inks]


def _pair_widths(inks: Sequence[InkArea], settings: Settings) -> Widths:
    """How far (mm) the first ink of a pair runs into the second; `inks` go from light to dark."""
    names = [ink.name for ink in inks]
    widths = {(names[i], dark): settings.trap_mm for i in range(len(names)) for dark in names[i + 1 :]}
    problems = []
    for i, pair in enumerate(settings.traps):
        if pair.ink not in names or pair.into not in names:
            problems.append(f"{pair.ink!r} into {pair.into!r}: the colours are {', '.join(names)} @ traps[{i}]")
            continue
        widths.pop((pair.into, pair.ink), None)
        widths[pair.ink, pair.into] = pair.width_mm
    if problems:
        raise SettingsError(problems)
    return widths


def _rooms(neighbour: Region, width_mm: float) -> list[Room]:
    """Where a neighbour is wide enough for a trap of the full width, then, in its thin places, for narrower ones."""
    wide = opened(neighbour, width_mm / NEIGHBOUR_SHARE)
    thin = inset(difference(neighbour, wide), CHORD_TOLERANCE_MM)
    if thin.is_empty:
        return [(width_mm, wide)]
    around = intersection(grow(thin, 2 * width_mm / NEIGHBOUR_SHARE), neighbour)
    steps = [width_mm * (i + 1) / TRAP_STEPS for i in range(TRAP_STEPS - 1)]
    return [(width_mm, wide), *((step, opened(around, step / NEIGHBOUR_SHARE)) for step in steps)]


def _traps_of(
    ink: InkArea, neighbours: Sequence[InkArea], widths: Widths, rooms: dict[tuple[str, float], list[Room]]
) -> Iterator[Region]:
    for neighbour in neighbours:
        width_mm = widths.get((ink.name, neighbour.name), 0.0)
        shared = border(ink.area, neighbour.area) if width_mm > 0 else EMPTY
        if not shared.is_empty:
            for reach_mm, room in rooms[neighbour.name, width_mm]:
                yield intersection(grow_line(shared, reach_mm), room)
