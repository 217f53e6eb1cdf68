"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.measure import border
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow, grow_line, inset, opened
from vectorsep.geometry.region import EMPTY
from vectorsep.model import InkArea, Region
from vectorsep.settings import Settings

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
    below = [exposed_black] if exposed_black else []
    widths = _pair_widths([*inks, *below], settings)
    return [union([ink.area, *_traps_of(ink, [*inks, *below], widths)]) for ink in inks]


def _pair_widths(inks: Sequence[InkArea], settings: Settings) -> dict[tuple[str, str], float]:
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


def _traps_of(ink: InkArea, inks: Sequence[InkArea], widths: dict[tuple[str, str], float]) -> Iterator[Region]:
    for neighbour in inks:
        width_mm = widths.get((ink.name, neighbour.name), 0.0)
        if width_mm > 0:
            yield _trap(ink.area, neighbour.area, width_mm)


def _trap(spreading: Region, neighbour: Region, width_mm: float) -> Region:
    """What lies in the neighbour within the trap's width of the shared border, less where the neighbour is thin."""
    shared = border(spreading, neighbour)
    if shared.is_empty:
        return EMPTY
    reached = intersection(grow_line(shared, width_mm), neighbour)
    room_mm = width_mm / NEIGHBOUR_SHARE
    thin = difference(reached, opened(intersection(grow_line(shared, 3 * room_mm), neighbour), room_mm))
    if inset(thin, CHORD_TOLERANCE_MM).is_empty:
        return reached
    around = intersection(grow(thin, 3 * room_mm), neighbour)
    near = intersection(around, grow_line(shared, width_mm))
    steps = [width_mm * (i + 1) / TRAP_STEPS for i in range(TRAP_STEPS - 1)]
    narrower = [intersection(grow_line(shared, step), opened(around, step / NEIGHBOUR_SHARE)) for step in steps]
    return union([difference(reached, thin), *(intersection(part, near) for part in narrower)])
