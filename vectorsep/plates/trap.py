"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TypeAlias

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import difference, intersection, joined_coverage, union
from vectorsep.geometry.measure import border
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow, grow_line, inset, opened
from vectorsep.geometry.region import EMPTY
from vectorsep.model import InkArea, Region
from vectorsep.settings import Settings

Widths: TypeAlias = dict[tuple[str, str], float]
"""How far (mm) the first ink of a pair runs into the second."""

TRAP_STEPS = 4
"""A trap narrows in this many steps where the neighbour is too thin for its full width."""
NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""


@dataclass(frozen=True, slots=True)
class _Rooms:
    """Where a neighbour is too thin for a trap of the full width, and in those thin places, for falling reaches
    in mm, where it is wide enough for a trap that reaches so far."""

    thin: Region
    by_reach: tuple[tuple[float, Region], ...]


def trapped_areas(inks: Sequence[InkArea], exposed_black: InkArea | None, settings: Settings) -> list[Region]:
    """Each ink, lightest first, with its traps into its neighbours added.

    A trap lies within its neighbours, so it never reaches towards cloth, and takes at most a third of a
    neighbour's local width. Every ink overlaps the black that the blocker prints. The job's own pair table
    goes before lightness. Areas in mm, edges matched. Raises SettingsError for a pair of unknown inks.
    """
    neighbours = [*inks, *([exposed_black] if exposed_black else [])]
    widths = _pair_widths(neighbours, exposed_black.name if exposed_black else None, settings)
    areas = {ink.name: ink.area for ink in neighbours}
    wanted = {(into, width_mm) for (_, into), width_mm in widths.items() if width_mm > 0}
    rooms = {(into, width_mm): _rooms(areas[into], width_mm) for into, width_mm in sorted(wanted)}
    overprinted = {ink.name for ink in inks}
    return [union([ink.area, *_traps_of(ink, areas, widths, rooms, overprinted)]) for ink in inks]


def _pair_widths(inks: Sequence[InkArea], black_name: str | None, settings: Settings) -> Widths:
    """How far (mm) the first ink of a pair runs into the second; `inks` go from light to dark."""
    names = [ink.name for ink in inks]
    widths = {(names[i], dark): settings.trap_mm for i in range(len(names)) for dark in names[i + 1 :]}
    problems = []
    for i, pair in enumerate(settings.traps):
        if pair.ink not in names or pair.into not in names or pair.ink == pair.into:
            known = ", ".join(names)
            problems.append(f"{pair.ink!r} into {pair.into!r} is no pair of the art's inks, {known} @ traps[{i}]")
        elif pair.ink == black_name:
            problems.append(f"the blocker prints {pair.ink}, below all others: it cannot run into one @ traps[{i}]")
        else:
            widths.pop((pair.into, pair.ink), None)
            widths[pair.ink, pair.into] = pair.width_mm
    if problems:
        raise SettingsError(problems)
    return widths


def _rooms(neighbour: Region, width_mm: float) -> _Rooms:
    thin = difference(neighbour, opened(neighbour, width_mm / NEIGHBOUR_SHARE))
    if inset(thin, CHORD_TOLERANCE_MM).is_empty:
        return _Rooms(EMPTY, ())
    around = intersection(grow(thin, 2 * width_mm / NEIGHBOUR_SHARE), neighbour)
    reaches = [width_mm * i / TRAP_STEPS for i in range(TRAP_STEPS - 1, 0, -1)]
    return _Rooms(thin, tuple((reach, opened(around, reach / NEIGHBOUR_SHARE)) for reach in reaches))


def _traps_of(
    ink: InkArea,
    areas: Mapping[str, Region],
    widths: Widths,
    rooms: Mapping[tuple[str, float], _Rooms],
    overprinted: Set[str],
) -> Iterator[Region]:
    """The traps of one ink; neighbours of one width go together, since they share one border to grow from.

    Past a border's ends a trap runs on under an ink that prints over it; on bare blocker it would show, and stops.
    """
    alike: dict[tuple[float, bool], list[str]] = defaultdict(list)
    for (spreading, into), width_mm in widths.items():
        if spreading == ink.name and width_mm > 0:
            alike[width_mm, into in overprinted].append(into)
    for (width_mm, hidden), names in alike.items():
        neighbours = joined_coverage([areas[name] for name in names])
        shared = border(ink.area, neighbours)
        if shared.is_empty:
            continue
        thin = union(rooms[name, width_mm].thin for name in names)
        reached = grow_line(shared, width_mm, past_ends=hidden)
        yield difference(intersection(reached, neighbours), thin)
        by_reach = [room for name in names for room in rooms[name, width_mm].by_reach]
        for reach_mm in sorted({reach for reach, _ in by_reach}):
            room = union(region for reach, region in by_reach if reach == reach_mm)
            yield intersection(grow_line(shared, reach_mm, past_ends=hidden), room)
