"""Verniers: two plates' scales side by side, the one a twentieth of a millimetre finer at every line.

The lines that stand in one row tell how far the plates are apart: STEP_MM for each line from the middle. As on a
calliper, only with ink; the reading needs no loupe with a scale, and no contact with wet ink.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from vectorsep.chart.layers import Layers, centred, short_mm
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.boolean import union
from vectorsep.geometry.region import moved, rectangle
from vectorsep.model import Region

Pair: TypeAlias = Literal["blocker to white", "blocker to colour", "white to colour"]
PAIRS: tuple[Pair, ...] = ("blocker to white", "blocker to colour", "white to colour")

PITCH_MM = 2.0
"""From line to line of the fixed scale: wide enough that lines stay apart through the coarsest mesh."""
STEP_MM = 0.05
"""By how much the other scale's pitch is shorter: what the vernier reads."""
LINES = 10
"""Lines on either side of the middle: the vernier reads up to LINES x STEP_MM either way."""
LINE_MM = 0.5
TOOTH_MM = 4.0
RANGE_MM = LINES * STEP_MM
NUMBERED = 5
"""Every so many lines carry a number."""
NUMBER_MM = 2.2
SIDE_MM = 3.0
"""Solid ground left and right of the scales."""
GROUND_MM = 7.0
LENGTH_MM = 2 * (LINES * PITCH_MM + SIDE_MM)
NUMBER_ROOM_MM = 4.0
"""From the part's top, where the numbers stand, to the teeth of the fixed scale."""
TEETH_BASE_MM = NUMBER_ROOM_MM + TOOTH_MM
"""From the part's top to where these teeth stand on their ground."""
HEIGHT_MM = TEETH_BASE_MM + GROUND_MM
UNDER_ALL_MM = 1.0
"""So far past the part reaches the blocker that white's own scale needs under it."""


def scale_lines(pitch_mm: float, top_mm: float, bottom_mm: float) -> Region:
    """The lines of one scale, its middle line at half the part's length."""
    middle = LENGTH_MM / 2
    return union(
        rectangle(middle + i * pitch_mm - LINE_MM / 2, top_mm, middle + i * pitch_mm + LINE_MM / 2, bottom_mm)
        for i in range(-LINES, LINES + 1)
    )


def vernier(pair: Pair) -> Layers:
    """A vernier that reads a shift along x between two plates; the first plate holds the fixed scale.

    The fixed scale is a comb: teeth that stand on a solid ground. The other plate's lines lie on the ground's edge.
    Ink always lies on what makes it show: white on blocker, colour on white.
    """
    teeth = scale_lines(PITCH_MM, NUMBER_ROOM_MM, TEETH_BASE_MM)
    ground = rectangle(0.0, TEETH_BASE_MM, LENGTH_MM, HEIGHT_MM)
    fine = scale_lines(PITCH_MM - STEP_MM, TEETH_BASE_MM, TEETH_BASE_MM + TOOTH_MM)
    whole = rectangle(-UNDER_ALL_MM, -UNDER_ALL_MM, LENGTH_MM + UNDER_ALL_MM, HEIGHT_MM + UNDER_ALL_MM)
    if pair == "blocker to white":
        return Layers(union([ground, teeth, _numbers()]), fine)
    if pair == "blocker to colour":
        return Layers(union([ground, teeth, _numbers()]), _shrunk(ground), moved(fine, 0.0, LINE_MM))
    return Layers(whole, union([ground, teeth, _numbers()]), fine)


def upright(part: Layers) -> Layers:
    """The part turned by a quarter, to read a shift along y: its left end comes to the bottom."""
    turn = Affine(0.0, -1.0, 1.0, 0.0, 0.0, LENGTH_MM)
    return Layers(*(turn.map_region(area) for area in (part.blocker, part.white, part.colour)))


def _shrunk(ground: Region) -> Region:
    """White under the colour's lines, back from the ground's edge so that it hides none of the comb's teeth."""
    left, top, right, bottom = ground.bounds
    return rectangle(left + LINE_MM, top + LINE_MM, right - LINE_MM, bottom - LINE_MM)


def _numbers() -> Region:
    """Millimetres above every fifth line: how far the second plate lies towards the plus side."""
    return union(
        centred(_number(i * STEP_MM), LENGTH_MM / 2 + i * PITCH_MM, 0.0, NUMBER_MM)
        for i in range(-LINES, LINES + 1, NUMBERED)
    )


def _number(shift_mm: float) -> str:
    return f"{'-' if shift_mm < 0 else '+'}{short_mm(abs(shift_mm))}" if shift_mm else "0"
