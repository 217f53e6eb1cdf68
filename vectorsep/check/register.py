"""Out of register: every upper plate shifted and turned, the others in place, and what that spoils.

What the tolerance means: `registration_mm` is how far any point of a plate may come to lie from its place on
another, however it got there. So a plate is shifted by the whole tolerance, and apart from that turned; shift and
turn are not added up, or the tolerance would be spent twice. The turn is the job's `turn_deg`, taken as it stands.
At 0, not known, it is the angle that moves the farthest corner of the blocker by the tolerance, which the exact
clearance covers already. A set angle may ask for more than that: it can make a stack unsafe, never safe.

Only one plate moves at a time: relative to the others that is every way in which two plates can disagree.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.fit import covers, farthest_corner_mm, out_of_place
from vectorsep.geometry.offset import grow, inset
from vectorsep.geometry.region import EMPTY, inner_point, touches
from vectorsep.model import Finding, Mishap, Plate, Point, Region, RegisterCase
from vectorsep.settings import MAX_TURN_DEG, Settings
from vectorsep.units import format_mm

DIRECTIONS = 16
"""A plate is shifted this way every 22.5 degrees: no direction is off by more than 11.25, or 2 % of the shift."""
ROUNDING_MM2 = 1e-6
"""Slivers under one square micrometre come from the last bits of the coordinates, where edges touch exactly."""
SEEN_MM = 0.05
"""Strips of white or bare blocker narrower than this are not seen on cloth, however long."""
WORTH_TELLING_MM2 = 0.1
"""Less white or bare blocker than this, a spot of a third of a millimetre, is not found by eye on cloth."""

MEANING = {
    "white-shows": "of white show beside the colours; a wider choke would hide them",
    "gap-opens": "between it and its neighbours show white or blocker; a wider trap covers them, where "
    "the darker ink has room for it",
}


@dataclass(frozen=True, slots=True)
class Move:
    """How a plate lies out of its place: turned clockwise about a point, then shifted."""

    shift_mm: Point
    turn_deg: float
    about_mm: Point

    def of(self, region: Region) -> Region:
        """The region, moved."""
        return out_of_place(region, self.shift_mm, self.turn_deg, self.about_mm)


def moves_of(blocker: Plate, settings: Settings, page_centre_mm: Point | None = None) -> tuple[Move, ...]:
    """All ways in which a plate is tried out of register: the shifts, then the turn both ways.

    Plates turn about the page's centre; where the page is not known, about the centre of the blocker's bounds.
    """
    about_mm = page_centre_mm or _middle(blocker.area)
    reach_mm = settings.registration_mm
    angles = [2 * math.pi * i / DIRECTIONS for i in range(DIRECTIONS)]
    shifts = [Move((reach_mm * math.cos(angle), reach_mm * math.sin(angle)), 0.0, about_mm) for angle in angles]
    turn_deg = _turn_deg(blocker, settings, about_mm)
    return (*shifts, Move((0.0, 0.0), turn_deg, about_mm), Move((0.0, 0.0), -turn_deg, about_mm))


def _middle(area: Region) -> Point:
    left, top, right, bottom = area.bounds
    return ((left + right) / 2, (top + bottom) / 2)


def _turn_deg(blocker: Plate, settings: Settings, about_mm: Point) -> float:
    """The job's angle, or the one that moves the farthest corner by the tolerance: chord = 2 r sin(angle / 2)."""
    if settings.turn_deg > 0:
        return settings.turn_deg
    across_mm = 2 * farthest_corner_mm(blocker.area, about_mm)
    if settings.registration_mm >= across_mm:
        return MAX_TURN_DEG
    return min(MAX_TURN_DEG, math.degrees(2 * math.asin(settings.registration_mm / across_mm)))


def register_cases(
    plates: Sequence[Plate], blocker: Plate, settings: Settings, page_centre_mm: Point | None = None
) -> tuple[RegisterCase, ...]:
    """The worst case of each kind for each upper plate that is not empty, in print order. Areas in mm2.

    - `ink-on-cloth`: ink of the moved plate past the blocker;
    - `white-shows`: white that lies under colour, out from under it, white art aside. Only the white plate is moved
      for it: a moved colour bares no more than the white moved the other way does;
    - `gap-opens`: places of one colour alone that the moved plate leaves bare, where what came there instead is the
      neighbour's side of their common border. The art's outer edge, which merely moves, is not counted.
    """
    moves = moves_of(blocker, settings, page_centre_mm)
    upper = [plate for plate in plates if plate is not blocker and not plate.area.is_empty]
    colours = [plate for plate in upper if plate.role == "colour"]
    cases = []
    for plate in upper:
        cases.append(_worst(plate, "ink-on-cloth", moves, _past(blocker.area, plate.area)))
        if plate.role == "white":
            cases.append(_worst(plate, "white-shows", moves, _white_showing(plate, colours)))
        elif len(colours) > 1:
            cases.append(_worst(plate, "gap-opens", moves, _gap(plate, colours)))
    return tuple(cases)


def _worst(plate: Plate, kind: Mishap, moves: Sequence[Move], spoilt_by: Callable[[Move], Region]) -> RegisterCase:
    """The move that spoils the largest area; the first of them where none spoils anything."""
    worst, spoilt = moves[0], EMPTY
    for move in moves:
        area = spoilt_by(move)
        if area.area > max(spoilt.area, ROUNDING_MM2):
            worst, spoilt = move, area
    return RegisterCase(plate, kind, worst.shift_mm, worst.turn_deg, worst.about_mm, spoilt, inner_point(spoilt))


def _past(allowed: Region, moving: Region) -> Callable[[Move], Region]:
    """What of the moving region leaves the allowed one."""

    def spoilt_by(move: Move) -> Region:
        moved = move.of(moving)
        return EMPTY if covers(allowed, moved) else difference(moved, allowed)

    return spoilt_by


def _white_showing(white: Plate, colours: Sequence[Plate]) -> Callable[[Move], Region]:
    covered = union(colour.area for colour in colours)
    hidden = intersection(white.area, covered)
    return _past(union([covered, white.area]), hidden)


def _gap(plate: Plate, colours: Sequence[Plate]) -> Callable[[Move], Region]:
    others = union(colour.area for colour in colours if colour is not plate)
    alone, beyond = difference(plate.area, others), difference(others, plate.area)

    def spoilt_by(move: Move) -> Region:
        arrived = move.of(beyond)
        return intersection(alone, arrived) if touches(alone, arrived) else EMPTY

    return spoilt_by


def register_findings(cases: Sequence[RegisterCase], short: Sequence[str | None]) -> Iterator[Finding]:
    """What the worst cases mean. `short`: plates whose clearance is too small anyhow, and found so already."""
    for case in cases:
        if case.kind == "ink-on-cloth":
            if case.area_mm2 > 0 and case.plate.ink not in short:
                message = f"{_how(case)}, {case.area_mm2:.3g} mm² of ink lies on bare cloth; give it more clearance"
                yield Finding(case.kind, "unsafe", case.plate.ink, message, case.at_mm)
            continue
        seen = grow(inset(case.spoilt, SEEN_MM / 2), SEEN_MM / 2)
        if seen.area >= WORTH_TELLING_MM2:
            message = f"{_how(case)}, {seen.area:.3g} mm² {MEANING[case.kind]}"
            yield Finding(case.kind, "warning", case.plate.ink, message, inner_point(seen))


def _how(case: RegisterCase) -> str:
    if case.turn_deg:
        return f"turned by {abs(case.turn_deg):.3g} degrees {'clockwise' if case.turn_deg > 0 else 'anticlockwise'}"
    x, y = case.shift_mm
    return f"out of register by {format_mm(math.hypot(x, y))}"
