"""How far a trap may reach into an ink: all over as far as is wished, but where the ink is thin."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.offset import near_wide_parts
from vectorsep.geometry.slivers import without_slivers
from vectorsep.geometry.windows import windows_along
from vectorsep.model import Region
from vectorsep.remember import remembered_for

NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""
TRAP_STEPS = 4
"""A trap narrows in this many steps where the neighbour is too thin for its full width."""
SLIVER_MM = 0.005
"""Thin places narrower than this are the engine's rounding."""
MOST_INKS = 64


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of an ink, and how far (mm) a trap may reach into it."""

    reach_mm: float
    area: Region


@remembered_for(MOST_INKS)
def trap_zones(ink: Region, width_mm: float) -> tuple[Zone, ...]:
    """The parts of an ink that a trap of the width may reach into, fully first, disjoint. Where not even the last
    step is a third of the ink's width, there is no trap."""
    zones, rest, around = [], ink, ink
    for step in range(TRAP_STEPS, 0, -1):
        reach_mm = width_mm * step / TRAP_STEPS
        wide = near_wide_parts(around, reach_mm / NEIGHBOUR_SHARE)
        if wide.is_empty:
            continue
        thinner = without_slivers(difference(rest, wide), SLIVER_MM)
        zones.append(Zone(reach_mm, difference(rest, thinner)))
        if thinner.is_empty:
            break
        rest = thinner
        if around is ink:  # an opening looks as far as its own width and half of it again
            around = intersection(ink, windows_along(rest, 1.5 * reach_mm / NEIGHBOUR_SHARE))
    return tuple(zones)
