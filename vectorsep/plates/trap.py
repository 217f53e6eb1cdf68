"""Traps: where two inks meet, the lighter runs into the darker, so that a slip of register opens no gap. Light to dark
the lighter prints first, and the darker hides its trap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TypeAlias

import numpy as np

from vectorsep.colour import lab_of
from vectorsep.geometry.arrays import Floats
from vectorsep.geometry.bands import bands_along, bands_within, cover_near
from vectorsep.geometry.boolean import intersection, union
from vectorsep.geometry.borders import Border, Borders, borders_of
from vectorsep.geometry.region import EMPTY, hanging_on, touching
from vectorsep.geometry.thin import narrow_gaps_near
from vectorsep.mesh import told_gap_mm
from vectorsep.model import InkArea, Region
from vectorsep.plates.roles import Roles
from vectorsep.plates.trap_reach import EVERY_MM, Hidden, sight_mm, trap_reach
from vectorsep.remember import remembered
from vectorsep.settings import Settings

Widths: TypeAlias = dict[tuple[int, int], float]
"""How far (mm) the first ink of a pair runs into the second, by their places in print order."""

Pair: TypeAlias = tuple[tuple[int, int], float]

NOWHERE = np.empty((0, 4))
"""No box."""


@dataclass(frozen=True, slots=True)
class _Meeting:
    """Inks that run into the same others by the same width, by their places in print order; whether those are printed
    on a screen of their own, as the black of the blocker is not; and whether they print over the trap and hide it."""

    inks: tuple[int, ...]
    into: tuple[int, ...]
    width_mm: float
    print_over: bool
    hide: bool


def trapped_areas(roles: Roles, settings: Settings) -> tuple[Region, ...]:
    """Each of `roles.trapping`, with its traps into its neighbours added, what the blocker prints among these.

    A trap lies within its neighbours, so it never reaches towards cloth, and takes at most a share of the local width
    of what prints over it, see `trap_reach`. What the blocker prints is run into by no more than white could show
    beside it. The job's own pair table goes before lightness; it must be sound, see `pair_problems`. Areas in mm,
    edges matched.
    """
    inks, everyone = roles.trapping, (*roles.trapping, *roles.on_blocker)
    widths = _pair_widths(roles, [ink.name for ink in everyone], settings)
    gaps_mm = tuple(told_gap_mm(ink.hex, settings) for ink in inks)
    return _trapped(tuple(ink.area for ink in everyone), gaps_mm, tuple(widths.items()), settings.registration_mm)


@dataclass(frozen=True, slots=True, eq=False)
class _Trap:
    """What an ink runs into others by: bands, what of the others hides them, and boxes (n, 4) around where these are
    thin, or may be."""

    ink: int
    bands: list[Region]
    hidden_by: list[Region]
    thin_at: Floats


@remembered
def _trapped(
    areas: tuple[Region, ...], gaps_mm: tuple[float, ...], pairs: tuple[Pair, ...], slip_mm: float
) -> tuple[Region, ...]:
    """The areas that a narrowest gap is given for with their traps; those after them are what the blocker prints."""
    borders = borders_of(areas)
    traps: dict[int, list[_Trap]] = defaultdict(list)
    for meeting in _meetings(pairs, len(gaps_mm)):
        for trap in _traps(areas, borders, meeting, gaps_mm, slip_mm):
            traps[trap.ink].append(trap)
    return tuple(_with_traps(areas[ink], traps[ink], gap_mm) for ink, gap_mm in enumerate(gaps_mm))


def _traps(
    areas: Sequence[Region], borders: Borders, meeting: _Meeting, gaps_mm: Sequence[float], slip_mm: float
) -> Iterator[_Trap]:
    """The trap of each ink of a meeting. How wide the others are is told once for all that run into them."""
    hidden = Hidden(slip_mm, max(gaps_mm[ink] for ink in meeting.inks)) if meeting.hide else None
    sight = sight_mm(meeting.width_mm, hidden)
    border = _border(areas, borders, meeting.inks, meeting.into)
    over = cover_near([areas[into] for into in meeting.into], border, sight)
    reach_mm, is_thin = trap_reach(border, over, meeting.width_mm, hidden)
    hidden_by = [areas[into] for into in meeting.into if meeting.hide]
    for ink in meeting.inks:
        own = border.owner == ink
        bands = bands_along(border.where(own), reach_mm[own], past_ends=meeting.print_over)
        within = bands_within(bands, over, borders.around([ink, *meeting.into]))
        yield _Trap(ink, within, hidden_by, border.where(own & is_thin).boxes(sight))


def _border(areas: Sequence[Region], borders: Borders, inks: Iterable[int], into: Iterable[int]) -> Border:
    """Where some areas meet others and have any width themselves, in edges short enough to tell how wide those are."""
    met = borders.between(inks, into).split(EVERY_MM)
    return met.where(met.has_width(areas))


def _meetings(pairs: Iterable[Pair], printed: int) -> Iterator[_Meeting]:
    """Who runs into whom: by one ink, those of one width that hide its trap together; into one other, all that run
    into it by one width."""
    hiding: dict[tuple[int, float], list[int]] = defaultdict(list)
    bare: dict[tuple[int, float], list[int]] = defaultdict(list)
    for (ink, into), width_mm in pairs:
        if width_mm > 0 and ink < printed:
            if ink < into < printed:
                hiding[ink, width_mm].append(into)
            else:
                bare[into, width_mm].append(ink)
    for (into, width_mm), inks in bare.items():
        yield _Meeting(tuple(inks), (into,), width_mm, print_over=into < printed, hide=False)
    for (ink, width_mm), others in hiding.items():
        yield _Meeting((ink,), tuple(others), width_mm, print_over=True, hide=True)


def _with_traps(ink: Region, traps: Sequence[_Trap], gap_mm: float) -> Region:
    """An ink with its traps, without what no mesh prints: bits beyond a gap that do not hang on the ink, and under what
    prints over it slots and openings narrower than the narrowest gap. These fill with ink anyway, and where they do
    not, a slip of register shows them beside a dark line as a light one."""
    hidden_by = [area for trap in traps for area in trap.hidden_by]
    grown = hanging_on(union([ink, *(band for trap in traps for band in trap.bands)]), ink)
    thin_at = np.vstack([NOWHERE, *(trap.thin_at for trap in traps if trap.hidden_by)])
    slots = narrow_gaps_near(grown, gap_mm, thin_at) if len(thin_at) else EMPTY
    over = union(touching(area, slots) for area in hidden_by)
    return grown if slots.is_empty else union([grown, intersection(slots, over)])


def pair_problems(names: Sequence[str], black_name: str | None, settings: Settings) -> Iterator[str]:
    """Every pair of the job that cannot be trapped: one of inks that are not among `names`, or of the blocker's black
    into another ink."""
    for i, pair in enumerate(settings.traps):
        if pair.ink not in names or pair.into not in names or pair.ink == pair.into:
            listed = ", ".join(names)
            yield f"{pair.ink!r} into {pair.into!r} is no pair of the art's inks by name: {listed} @ traps[{i}]"
        elif pair.ink == black_name:
            yield f"the blocker prints {pair.ink}, below all others: it cannot run into one @ traps[{i}]"


def pairs_on_top(roles: Roles, settings: Settings) -> Iterator[int]:
    """The pairs of the job, by their places in its table, that let an ink spread over one that prints before it, as it
    would not by itself."""
    names = [ink.name for ink in roles.trapping]
    for i, pair in enumerate(settings.traps):
        if pair.width_mm > 0 and pair.into in names:
            ink, into = names.index(pair.ink), names.index(pair.into)
            if ink > into and not _spreads_back(roles, into, ink):
                yield i


def darker_beneath(roles: Roles, settings: Settings) -> Iterator[tuple[InkArea, list[InkArea]]]:
    """Colours that the job's order prints over darker ones which they meet and run over by the common trap; each with
    those."""
    if not settings.print_order or settings.trap_mm == 0:
        return
    colours, own = roles.colours, {frozenset((pair.ink, pair.into)) for pair in settings.traps}
    areas = [colour.area for colour in colours]
    borders = borders_of(areas)
    for later, colour in enumerate(colours):
        beneath = [
            colours[first]
            for first in range(later)
            if _spreads_back(roles, first, later)
            and frozenset((colour.name, colours[first].name)) not in own
            and len(_border(areas, borders, [later], [first]).ends)
        ]
        if beneath:
            yield colour, beneath


def pairs_apart(inks: Sequence[InkArea], settings: Settings) -> Iterator[int]:
    """The pairs of the job, by their places in its table, whose inks share no border: no trap comes of them."""
    names, areas = [ink.name for ink in inks], [ink.area for ink in inks]
    borders = borders_of(areas) if settings.traps else None
    for i, pair in enumerate(settings.traps):
        if borders and not len(_border(areas, borders, [names.index(pair.ink)], [names.index(pair.into)]).ends):
            yield i


def _pair_widths(roles: Roles, names: Sequence[str], settings: Settings) -> Widths:
    """How far (mm) the first ink of a pair runs into the second; `names` are in print order, and then what the blocker
    prints. All colours run into that, and under highlights."""
    printed = len(roles.trapping)
    widths: Widths = {}
    for first, later in combinations(range(len(names)), 2):
        pair = (later, first) if _spreads_back(roles, first, later) else (first, later)
        widths[pair] = settings.trap_mm if later < printed else settings.trap_on_blocker_mm
    for own in settings.traps:
        ink, into = names.index(own.ink), names.index(own.into)
        widths.pop((into, ink), None)
        widths[ink, into] = own.width_mm
    return widths


def _spreads_back(roles: Roles, first: int, later: int) -> bool:
    """Whether of two, by their places in print order, the later runs into the first: a colour that is lighter."""
    if later >= len(roles.colours):
        return False
    return lab_of(roles.colours[later].hex).lightness > lab_of(roles.colours[first].hex).lightness
