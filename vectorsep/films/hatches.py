"""Hatching, so that inks can be told apart without colour, as section drawings do it (after ISO 128-50)."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.model import Plate

ANGLES = (45, 135, 0, 90, 30, 150, 60, 120)
"""Directions of the colours' hatching, in print order; after eight colours they come again, wider."""
SPACING = 2.2
WIDER = 1.4
"""Each further round of directions is wider spaced by this factor."""


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines at an angle (degrees) and a spacing in units of the drawing; crossed or not; none for white."""

    id: str
    angle: int
    spacing: float
    crossed: bool
    blank: bool


def hatch_of(order: int, plate: Plate) -> Hatch:
    """The hatching of the plate that prints as number `order`, counted from 1: crossed for the blocker, blank for
    the white, a direction of its own for each colour."""
    name = f"hatch-{order}"
    if plate.role == "blocker":
        return Hatch(name, 45, SPACING / 2, crossed=True, blank=False)
    if plate.role == "white":
        return Hatch(name, 0, SPACING, crossed=False, blank=True)
    round_, place = divmod(max(0, order - 3), len(ANGLES))
    return Hatch(name, ANGLES[place], SPACING * WIDER**round_, crossed=False, blank=False)
