"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from shapely.geometry.base import BaseGeometry

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import difference, intersection, joined_coverage, union
from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.offset import grow_lines, near_wide_parts, thin_parts
from vectorsep.geometry.region import EMPTY, touching
from vectorsep.geometry.slivers import without_slivers
from vectorsep.model import InkArea, Region
from vectorsep.remember import remembered
from vectorsep.settings import Settings

Widths: TypeAlias = dict[tuple[int, int], float]
"""How far (mm) the first ink of a pair runs into the second, by their places in print order."""

Pair: TypeAlias = tuple[tuple[int, int], float]

TRAP_STEPS = 4
"""A trap narrows in this many steps where the neighbour is too thin for its full width."""
NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""


SLIVER_MM = 0.005
"""Thin places narrower than this are the engine's rounding."""


@dataclass(frozen=True, slots=True)
class _Rooms:
    """Where a neighbour is too thin for a trap of the full width; and for falling reaches in mm what is near to where
    it is wide enough for a trap that reaches so far."""

    thin: Region
    by_reach: tuple[tuple[float, Region], ...]


@dataclass(frozen=True, slots=True)
class _Neighbours:
    """The inks that one ink runs into by the same width, by their places in print order, and whether they print
    over it; the black that the blocker prints does not."""

    places: tuple[int, ...]
    width_mm: float
    print_over: bool


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
    widths = dict(pairs)
    borders = borders_of(areas)
    wanted = {(into, width_mm) for (_, into), width_mm in widths.items() if width_mm > 0}
    rooms = {(into, width_mm): _rooms(areas[into], width_mm) for into, width_mm in wanted}
    trapped = []
    for place, area in enumerate(areas[:overprinting]):
        traps: list[Region] = []
        for neighbours in _neighbours_of(place, widths, overprinting):
            border = borders.between(place, neighbours.places)
            around = joined_coverage([areas[into] for into in neighbours.places])
            narrow = [rooms[into, neighbours.width_mm] for into in neighbours.places]
            traps += _traps(border, around, narrow, neighbours)
        trapped.append(union([area, *traps]))
    return tuple(trapped)


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


def _neighbours_of(place: int, widths: Widths, overprinting: int) -> Iterator[_Neighbours]:
    """Neighbours of one width go together, since they share one border to grow from."""
    alike: dict[tuple[float, bool], list[int]] = defaultdict(list)
    for (ink, into), width_mm in widths.items():
        if ink == place and width_mm > 0:
            alike[width_mm, into < overprinting].append(into)
    for (width_mm, print_over), places in alike.items():
        yield _Neighbours(tuple(places), width_mm, print_over)


def _rooms(neighbour: Region, width_mm: float) -> _Rooms:
    thin = without_slivers(thin_parts(neighbour, width_mm / NEIGHBOUR_SHARE), SLIVER_MM)
    if thin.is_empty:
        return _Rooms(EMPTY, ())
    concerned = touching(neighbour, thin)
    reaches = [width_mm * i / TRAP_STEPS for i in range(TRAP_STEPS - 1, 0, -1)]
    return _Rooms(thin, tuple((reach, near_wide_parts(concerned, reach / NEIGHBOUR_SHARE)) for reach in reaches))


def _traps(border: BaseGeometry, area: Region, rooms: Sequence[_Rooms], neighbours: _Neighbours) -> Iterator[Region]:
    """The traps along a border into the area beyond it.

    Past a border's ends a trap runs on under an ink that prints over it; on bare blocker it would show, and stops.
    """
    reached = intersection(grow_lines(border, neighbours.width_mm, past_ends=neighbours.print_over), area)
    thin = union(room.thin for room in rooms)
    yield difference(reached, thin)
    reached_thin = intersection(reached, thin)
    if reached_thin.is_empty:
        return
    by_reach = [room for narrow in rooms for room in narrow.by_reach]
    for reach_mm in sorted({reach for reach, _ in by_reach}):
        room = union(region for reach, region in by_reach if reach == reach_mm)
        near = grow_lines(border, reach_mm, past_ends=neighbours.print_over)
        yield intersection(intersection(near, reached_thin), room)
