"""How far a trap may reach into what prints over it: as far as is wished, but where that is thin.

A thin dark line keeps its look when a trap takes a part of its width only, and a trap that is wider than what prints
over it shows beyond. Where several darker inks lie side by side they hide a trap together: nothing is thin where a dark
ink runs out between a light one and another dark one.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.borders import Border
from vectorsep.geometry.widths import LOOK, widths_beyond
from vectorsep.model import Region

NEIGHBOUR_SHARE = 1 / 3
"""A trap takes no more than this share of the neighbour's local width, so that thin outlines keep their look.
(Published guides on trapping allow up to one half; a third keeps the outline's core.)"""
TRAP_STEP_MM = 0.04
"""A trap narrows by such steps where what prints over it is too thin for its full width; to the same ones whatever its
full width, so that asking for more never gives less."""
EVERY_MM = 0.3
"""The local width is told at least so often along a border."""


def trap_reach(border: Border, over: Region, width_mm: float) -> NDArray[np.float64]:
    """How far (mm) a trap of the width may reach from each edge of a border into what prints over it. Where not even
    the last step is a third of its local width, that is 0."""
    narrower = [step * TRAP_STEP_MM for step in range(math.ceil(width_mm / TRAP_STEP_MM) - 1, 0, -1)]
    reaches = np.array([0.0, *narrower[::-1], width_mm])
    widths = widths_beyond(border, over, list(reaches[:0:-1] / NEIGHBOUR_SHARE))
    return reaches[np.searchsorted(reaches / NEIGHBOUR_SHARE, widths)]


def sight_mm(width_mm: float) -> float:
    """What lies farther from a border than this has no part in how far a trap of the width may reach."""
    return LOOK * width_mm / NEIGHBOUR_SHARE
