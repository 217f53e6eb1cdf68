"""Traps: where two inks meet, the lighter runs under the darker, so that a slip of register opens no gap."""

from __future__ import annotations

from collections.abc import Sequence

from vectorsep.colour import lab_of
from vectorsep.geometry.boolean import intersection, union
from vectorsep.geometry.offset import grow, opened
from vectorsep.model import InkArea, Region

TRAP_STEPS = 4
"""A trap narrows in this many steps where the neighbour is too thin for its full width."""
NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""


def light_to_dark(inks: Sequence[InkArea]) -> list[InkArea]:
    """Print order of the colours: by CIELAB lightness, lightest first; by name where equal."""
    return sorted(inks, key=lambda ink: (-lab_of(ink.hex).lightness, ink.name))


def trapped_areas(colours: Sequence[InkArea], solid_below: Region, trap_mm: float) -> list[Region]:
    """For colours in print order, lightest first: each with its traps into its darker neighbours added.

    Each trap lies within that neighbour, so it never reaches towards cloth. `solid_below` is the design's black
    printed by the blocker (or empty): every colour overlaps it, as it overlaps a darker ink.
    """
    if trap_mm == 0:
        return [ink.area for ink in colours]
    targets = [*(ink.area for ink in colours), solid_below]
    graded = [_room_by_depth(target, trap_mm) for target in targets]
    return [union([ink.area, *_traps(ink.area, graded[i + 1 :])]) for i, ink in enumerate(colours)]


def _room_by_depth(neighbour: Region, trap_mm: float) -> list[tuple[float, Region]]:
    """How deep a trap may reach into a neighbour: pairs of a depth and where the neighbour is wide enough for it."""
    depths = [trap_mm * (i + 1) / TRAP_STEPS for i in range(TRAP_STEPS)]
    return [(depth, opened(neighbour, depth / NEIGHBOUR_SHARE)) for depth in depths]


def _traps(light: Region, darker: Sequence[list[tuple[float, Region]]]) -> list[Region]:
    grown = {depth: grow(light, depth) for room in darker[:1] for depth, _ in room}
    return [intersection(grown[depth], wide) for room in darker for depth, wide in room if not wide.is_empty]
