"""How far a trap may reach into what prints over it: as far as is wished, but where that is thin.

A trap must not show beyond what hides it, out of register either, and one that lies over its neighbour takes of its
look. Where several darker inks lie side by side they hide a trap together: nothing is thin where a dark ink runs out
between a light one and another dark one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from vectorsep.geometry.arrays import Flags, Floats
from vectorsep.geometry.borders import Border
from vectorsep.geometry.widths import LOOK, widths_beyond
from vectorsep.model import Region

MOST_SHARE = 1 / 2
"""No trap takes more of the neighbour's local width. (Published guides on trapping.)"""
SHARE_OF_THIN = 1 / 3
"""A trap takes this share of any neighbour: of a thin one that hides it too, though it may show beyond that where it
slips, for without a trap the gap would show. And no more of one that it lies over, which keeps its look (a choice, no
source)."""
TRAP_STEP_MM = 0.04
"""A trap narrows by such steps where what prints over it is too thin for its full width; to the same ones whatever its
full width, so that asking for more never gives less."""
EVEN_MM = 0.002
"""Narrower by no more than this is as wide as asked: lines are drawn twice as wide as the press slips, and rounding
would have their traps step to and fro."""
EVERY_MM = 0.3
"""The local width is told at least so often along a border."""


@dataclass(frozen=True, slots=True)
class Hidden:
    """How far (mm) what hides a trap may lie off its place, and the narrowest slot that two traps under it leave open
    on their mesh."""

    slip_mm: float
    slot_mm: float


def trap_reach(border: Border, over: Region, width_mm: float, hidden: Hidden | None) -> tuple[Floats, Flags]:
    """How far (mm) a trap of the width may reach from each edge of a border into what lies beyond it, which hides it or
    does not; and where that is thin, so that another trap from its other side may leave too narrow a slot under it.
    Where it is too thin for the last step no trap is left."""
    narrower = [step * TRAP_STEP_MM for step in range(math.ceil(width_mm / TRAP_STEP_MM) - 1, 0, -1)]
    reaches = np.array([0.0, *narrower[::-1], width_mm])
    steps = np.unique(np.append(_needed_mm(reaches, hidden), _plenty_mm(width_mm, hidden)))
    step = np.searchsorted(steps, widths_beyond(border, over, list(steps[:0:-1] - EVEN_MM)))
    return reaches[np.minimum(step, len(reaches) - 1)], step < len(steps) - 1


def _needed_mm(reaches: Floats, hidden: Hidden | None) -> Floats:
    """How wide the neighbour must be for each reach."""
    of_thin = reaches / SHARE_OF_THIN
    if hidden is None:
        return of_thin
    return np.minimum(of_thin, np.maximum(reaches / MOST_SHARE, reaches + hidden.slip_mm))


def _plenty_mm(width_mm: float, hidden: Hidden | None) -> float:
    """From how wide a neighbour on nothing more is asked of it: it holds two traps, and a slot."""
    needed_mm = float(_needed_mm(np.array([width_mm]), hidden)[0])
    return max(needed_mm, 2 * width_mm + hidden.slot_mm) if hidden else needed_mm


def sight_mm(width_mm: float, hidden: Hidden | None) -> float:
    """What lies farther from a border than this has no part in how far a trap of the width may reach."""
    return LOOK * _plenty_mm(width_mm, hidden)
