"""Traps: where two inks meet, the one that prints first, which is the lighter, runs under the one that prints over it,
so that a slip of register opens no gap."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from vectorsep.geometry.bands import bands_along, bands_within, cover_near
from vectorsep.geometry.boolean import union
from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.holes import without_pinholes
from vectorsep.geometry.region import hanging_on
from vectorsep.mesh import colour_threads_per_inch, dot_mm2, finest_mm
from vectorsep.model import InkArea, Region
from vectorsep.plates.trap_reach import EVERY_MM, sight_mm, trap_reach
from vectorsep.remember import remembered
from vectorsep.settings import Settings

Widths: TypeAlias = dict[tuple[int, int], float]
"""How far (mm) the first ink of a pair runs into the second, by their places in print order."""

Pair: TypeAlias = tuple[tuple[int, int], float]


@dataclass(frozen=True, slots=True)
class _Neighbours:
    """Inks that one ink runs into by the same width, by their places in print order; whether they are printed on a
    screen of their own, as the black of the blocker is not; and whether they print over the trap and hide it."""

    places: tuple[int, ...]
    width_mm: float
    print_over: bool
    hide: bool


def trapped_areas(inks: Sequence[InkArea], exposed_black: InkArea | None, settings: Settings) -> tuple[Region, ...]:
    """Each ink, in print order, with its traps into its neighbours added.

    A trap lies within its neighbours, so it never reaches towards cloth, and takes at most a third of the local width
    of what prints over it. Every ink overlaps the black that the blocker prints. The job's own pair table
    goes before print order; it must be sound, see `pair_problems`. Areas in mm, edges matched.
    """
    everyone = (*inks, *([exposed_black] if exposed_black else []))
    widths = _pair_widths([ink.name for ink in everyone], settings)
    meshes = [colour_threads_per_inch(ink.hex, settings) for ink in inks]
    gaps_mm = tuple(settings.detail_gap_mm or finest_mm(mesh, settings) for mesh in meshes)
    return _trapped(tuple(ink.area for ink in everyone), gaps_mm, tuple(widths.items()))


@remembered
def _trapped(areas: tuple[Region, ...], gaps_mm: tuple[float, ...], pairs: tuple[Pair, ...]) -> tuple[Region, ...]:
    """The areas that a narrowest gap is given for with their traps; those after them are what the blocker prints."""
    borders = borders_of(areas)
    trapped = []
    for place, gap_mm in enumerate(gaps_mm):
        traps, hidden = [], []
        for neighbours in _neighbours_of(place, pairs, len(gaps_mm)):
            border = borders.between(place, neighbours.places).split(EVERY_MM)
            over = cover_near([areas[into] for into in neighbours.places], border, sight_mm(neighbours.width_mm))
            reach_mm = trap_reach(border, over, neighbours.width_mm)
            bands = bands_along(border, reach_mm, past_ends=neighbours.print_over)
            traps += bands_within(bands, over, borders.around([place, *neighbours.places]))
            hidden += [areas[into] for into in neighbours.places if neighbours.hide]
        trapped.append(_tidied(union([areas[place], *traps]), areas[place], hidden, gap_mm))
    return tuple(trapped)


def _neighbours_of(place: int, pairs: Iterable[Pair], printed: int) -> Iterator[_Neighbours]:
    """The inks that an ink runs into; those of one width that hide its trap go together."""
    hiding: dict[float, list[int]] = defaultdict(list)
    for (ink, into), width_mm in pairs:
        if ink == place and width_mm > 0:
            if place < into < printed:
                hiding[width_mm].append(into)
            else:
                yield _Neighbours((into,), width_mm, print_over=into < printed, hide=False)
    for width_mm, places in hiding.items():
        yield _Neighbours(tuple(places), width_mm, print_over=True, hide=True)


def _tidied(trapped: Region, ink: Region, hidden: Sequence[Region], gap_mm: float) -> Region:
    """An ink with its traps, without what no mesh prints: bits beyond a gap that do not hang on the ink, and
    openings smaller than a dot of the narrowest gap under what prints over it. These fill with ink anyway."""
    return without_pinholes(hanging_on(trapped, ink), dot_mm2(gap_mm), hidden)


def pair_problems(names: Sequence[str], black_name: str | None, settings: Settings) -> Iterator[str]:
    """Every pair of the job that cannot be trapped: one of inks that are not among `names`, or of the blocker's black
    into another ink."""
    for i, pair in enumerate(settings.traps):
        if pair.ink not in names or pair.into not in names or pair.ink == pair.into:
            yield f"{pair.ink!r} into {pair.into!r} is no pair of the art's inks, {', '.join(names)} @ traps[{i}]"
        elif pair.ink == black_name:
            yield f"the blocker prints {pair.ink}, below all others: it cannot run into one @ traps[{i}]"


def _pair_widths(names: Sequence[str], settings: Settings) -> Widths:
    """How far (mm) the first ink of a pair runs into the second; `names` are in print order."""
    widths = {(i, later): settings.trap_mm for i in range(len(names)) for later in range(i + 1, len(names))}
    for pair in settings.traps:
        ink, into = names.index(pair.ink), names.index(pair.into)
        widths.pop((into, ink), None)
        widths[ink, into] = pair.width_mm
    return widths
