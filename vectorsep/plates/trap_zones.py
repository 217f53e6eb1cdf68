"""How far a trap may reach into what prints over it: as far as is wished, but where that is thin.

A thin dark line keeps its look when a trap takes a part of its width only, and a trap that is wider than what prints
over it shows beyond. Where several darker inks lie side by side they hide a trap together: nothing is thin where a dark
ink runs out between a light one and another dark one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.offset import near_wide_parts
from vectorsep.geometry.slivers import without_slivers
from vectorsep.geometry.windows import windows_along
from vectorsep.model import Region
from vectorsep.remember import remembered

NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""
TRAP_STEP_MM = 0.04
"""A trap narrows by such steps where what prints over it is too thin for its full width; to the same ones whatever its
full width, so that asking for more never gives less."""
SLIVER_MM = 0.005
"""Thin places narrower than this are the engine's rounding."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A part of what prints over a trap, and how far (mm) the trap may reach into it."""

    reach_mm: float
    area: Region


@remembered
def trap_zones(over: Region, width_mm: float) -> tuple[Zone, ...]:
    """The parts of what prints over a trap of the width, fully trapped ones first, disjoint. Where not even the last
    step is a third of its local width, there is no trap."""
    zones, rest, around = [], over, over
    narrower = [step * TRAP_STEP_MM for step in range(math.ceil(width_mm / TRAP_STEP_MM) - 1, 0, -1)]
    for reach_mm in (width_mm, *narrower):
        wide = near_wide_parts(around, reach_mm / NEIGHBOUR_SHARE)
        if wide.is_empty:
            continue
        thinner = without_slivers(difference(rest, wide), SLIVER_MM)
        zones.append(Zone(reach_mm, difference(rest, thinner)))
        rest = thinner
        if rest.is_empty:
            break
        if around is over:  # an opening looks as far as its own width and half of it again
            around = intersection(over, windows_along(rest, 1.5 * reach_mm / NEIGHBOUR_SHARE))
    return tuple(zones)
