"""Out of register: every upper plate shifted and turned, the others in place, and what that spoils.

What the tolerance means: `registration_mm` is how far any point of a plate may come to lie from its place on
another, however it got there. So a plate is shifted by the whole tolerance, and apart from that turned; shift and
turn are not added up, or the tolerance would be spent twice. The turn is the job's `turn_deg`, taken as it stands.
At 0, not known, it is the angle that moves the farthest corner of the blocker by the tolerance, which the exact
clearance covers already. A set angle may ask for more than that: it can make a stack unsafe, never safe. Its steps
are tried too, for at the whole angle ink may have passed over a gap of the blocker and lie on its next line.

Only one plate moves at a time: relative to the others that is every way in which two plates can disagree.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from vectorsep.geometry.arrays import Floats, Geometries
from vectorsep.geometry.boolean import difference, intersection, union, unions_of_others
from vectorsep.geometry.landing import edge_pairs, landing_mm2
from vectorsep.geometry.moves import Move, farthest_corner_mm
from vectorsep.geometry.near import near_places, stretches
from vectorsep.geometry.region import EMPTY, GRID_MM, covers, frame_around, inner_point
from vectorsep.geometry.windows import windows_around
from vectorsep.model import Clearance, Mishap, Plate, Point, Region, RegisterCase
from vectorsep.settings import LEAST_REGISTRATION_MM, MAX_TURN_DEG, Settings

DIRECTIONS = 16
"""A plate is shifted this way every 22.5 degrees: no direction is off by more than 11.25, or 2 % of the shift."""
MOST_STEPS = 64
"""The steps of a turn take no point farther than a shift does, but there are no more than these each way: of five
degrees on the largest platen, 335 mm from its middle to a corner, each is less than half a millimetre."""
ROUNDING_MM = GRID_MM / 100
"""Edges are looked at within reach and this much more, so that no last bit counts."""
ROUNDING_MM2 = 1e-6
"""Slivers under one square micrometre come from the last bits of the coordinates, where edges touch exactly."""
ALIKE_MM2 = 1e-4
"""Moves that differ by less are tried in their order, so that of those that spoil the same it is the first."""


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


def _steps_of(moves: Sequence[Move], plate: Plate) -> tuple[Move, ...]:
    """The steps on the way to each turn, which take no point of the plate farther than the shifts do."""
    step_mm = max(math.hypot(*moves[0].shift_mm), LEAST_REGISTRATION_MM)
    turns = [move for move in moves if move.turn_deg]
    way_mm = max((turn.farthest_mm(plate.area) for turn in turns), default=0.0)
    steps = min(MOST_STEPS, math.ceil((way_mm - ROUNDING_MM) / step_mm))
    return tuple(replace(turn, turn_deg=turn.turn_deg * step / steps) for step in range(1, steps) for turn in turns)


def _turn_deg(blocker: Plate, settings: Settings, about_mm: Point) -> float:
    """The job's angle, or the one that moves the farthest corner by the tolerance: chord = 2 r sin(angle / 2)."""
    if settings.turn_deg > 0:
        return settings.turn_deg
    across_mm = 2 * farthest_corner_mm(blocker.area, about_mm)
    if settings.registration_mm >= across_mm:
        return MAX_TURN_DEG
    return min(MAX_TURN_DEG, math.degrees(2 * math.asin(settings.registration_mm / across_mm)))


def register_cases(
    plates: Sequence[Plate],
    blocker: Plate,
    settings: Settings,
    page_centre_mm: Point | None = None,
    clearances: Sequence[Clearance] = (),
) -> tuple[RegisterCase, ...]:
    """The worst case of each kind for each upper plate that is not empty, in print order. Areas in mm2.

    - `ink-on-cloth`: ink of the moved plate past the blocker;
    - `white-shows`: white that lies under colour, out from under it, white art aside. Only the white plate is moved
      for it: a moved colour bares no more than the white moved the other way does;
    - `gap-opens`: places of one colour alone that the moved plate leaves bare, where what came there instead is the
      neighbour's side of their common border. The art's outer edge, which merely moves, is not counted. Of the white,
      places of white art in sight whose neighbour is colour without white below: a slit of blocker opens there.

    `clearances`, where they were measured before, spare a plate that lies farther from the blocker's edge than any
    move takes it.
    """
    moves = moves_of(blocker, settings, page_centre_mm)
    upper = [plate for plate in plates if plate is not blocker and not plate.area.is_empty]
    colours = [plate for plate in upper if plate.role == "colour"]
    reach_mm = _reach_mm(upper, moves)
    gaps = _gaps([colour.area for colour in colours], reach_mm)
    cases = []
    for plate in upper:
        cases.append(_on_cloth(plate, blocker, moves, reach_mm, clearances))
        if plate.role == "white":
            showing, leaving = _white_landings(plate, colours, reach_mm)
            cases.append(_worst(plate, "white-shows", moves, showing))
            if colours:
                cases.append(_worst(plate, "gap-opens", moves, leaving))
        elif len(colours) > 1:
            cases.append(_worst(plate, "gap-opens", moves, next(gaps)))
    return tuple(cases)


def cloth_cases(
    clearances: Sequence[Clearance], blocker: Plate, settings: Settings, page_centre_mm: Point | None = None
) -> tuple[RegisterCase, ...]:
    """Of the cases of `register_cases` the `ink-on-cloth` alone, which makes a stack unsafe, for each plate whose
    clearance was measured."""
    moves = moves_of(blocker, settings, page_centre_mm)
    upper = [clearance.plate for clearance in clearances if clearance.distance_mm is not None]
    reach_mm = _reach_mm(upper, moves)
    return tuple(_on_cloth(plate, blocker, moves, reach_mm, clearances) for plate in upper)


def _reach_mm(plates: Sequence[Plate], moves: Sequence[Move]) -> float:
    """No point of the plates is moved by more, last bits included."""
    return max((move.farthest_mm(plate.area) for plate in plates for move in moves), default=0.0) + ROUNDING_MM


def _on_cloth(
    plate: Plate, blocker: Plate, moves: Sequence[Move], reach_mm: float, clearances: Sequence[Clearance]
) -> RegisterCase:
    """What lies on cloth at the end of a move or, where nothing does, on the way there."""
    if _keeps_clear(plate, clearances, reach_mm):
        return _worst(plate, "ink-on-cloth", moves, NO_LANDING)
    landing = _past_blocker(plate, blocker, reach_mm)
    case = _worst(plate, "ink-on-cloth", moves, landing)
    steps = () if case.area_mm2 > 0 else _steps_of(moves, plate)
    on_the_way = _worst(plate, "ink-on-cloth", steps, landing) if steps else case
    return on_the_way if on_the_way.area_mm2 > 0 else case


def _keeps_clear(plate: Plate, clearances: Sequence[Clearance], reach_mm: float) -> bool:
    """Whether the plate's clearance was measured, and is more than any point of it moves."""
    measured = [clearance.distance_mm for clearance in clearances if clearance.plate is plate]
    return any(distance_mm is not None and distance_mm > reach_mm for distance_mm in measured)


@dataclass(frozen=True, slots=True)
class Landing:
    """A region that is moved, and ground that it must not come to lie on."""

    moving: Region
    ground: Region
    reach_mm: float
    """No point is moved by more."""
    astray: Region = EMPTY
    """More that is moved: what lies on the ground already."""

    def by_area(self, moves: Sequence[Move]) -> Iterator[tuple[Move, float]]:
        """The moves, each with an area that it spoils at most, the largest first; the earlier first of those alike."""
        pairs = edge_pairs(self.moving, self.ground, self.reach_mm)
        landing = (landing_mm2(pairs, move.ways_mm(pairs.middles_mm), move.unevenness) for move in moves)
        at_most = [mm2 + self.astray.area for mm2 in landing]
        yield from sorted(zip(moves, at_most, strict=True), key=lambda row: -round(row[1] / ALIKE_MM2))

    def spoilt_by(self, move: Move) -> Region:
        """What comes to lie on the ground."""
        landed = intersection(self.ground, move.of(self.moving))
        return landed if self.astray.is_empty else union([landed, intersection(self.ground, move.of(self.astray))])


NO_LANDING = Landing(EMPTY, EMPTY, 0.0)


def _worst(plate: Plate, kind: Mishap, moves: Sequence[Move], landing: Landing) -> RegisterCase:
    """The move that spoils the largest area; the first of them where none spoils anything."""
    worst, spoilt = moves[0], EMPTY
    for move, at_most_mm2 in landing.by_area(moves):
        if at_most_mm2 <= spoilt.area + ROUNDING_MM2:
            break
        area = landing.spoilt_by(move)
        if area.area > spoilt.area + ROUNDING_MM2:
            worst, spoilt = move, area
    return RegisterCase(plate, kind, worst.shift_mm, worst.turn_deg, worst.about_mm, spoilt, inner_point(spoilt))


# What is spoilt, in all three kinds, is where a moving region comes to lie on ground that it does not lie on in
# register. Let a point of it come from p to s. The way from p to s leaves the moving region and enters the ground, so
# it crosses an edge of both; the two crossings are no farther from each other, and from s, than any point moves. So
# nothing is spoilt where no edge of the one comes so near to one of the other, and all that is spoilt lies in windows
# around the places where they do.


def _window(pairs: Iterable[tuple[Geometries, Geometries]], reach_mm: float) -> Region:
    """Where the stretches of two outlines, in pairs, lie within reach of each other, and room for what lies within
    reach of these places; empty where there are none."""
    places = [near_places(one, other, reach_mm) for one, other in pairs]
    boxes = np.vstack([np.empty((0, 4)), *places])
    return windows_around(boxes, _room_mm(boxes, reach_mm)) if len(boxes) else EMPTY


def _room_mm(boxes: Floats, reach_mm: float) -> float:
    """At least the reach; fewer and larger squares are quicker to lay out, and cut off less."""
    size_mm = boxes[:, 2:].max(axis=0) - boxes[:, :2].min(axis=0)
    return max(16 * reach_mm, float(size_mm.max()) / 64)


def _past_blocker(plate: Plate, blocker: Plate, reach_mm: float) -> Landing:
    """What of the plate leaves the blocker; all of the plate is looked at when it does so in register."""
    if covers(blocker.area, plate.area):
        window = _window([(stretches(plate.area), stretches(blocker.area))], reach_mm)
        return Landing(intersection(plate.area, window), difference(window, blocker.area), reach_mm)
    bare = difference(frame_around(plate.area, 2 * reach_mm), blocker.area)
    on, off = intersection(plate.area, blocker.area), difference(plate.area, blocker.area)
    return Landing(on, bare, reach_mm, off)


def _white_landings(white: Plate, colours: Sequence[Plate], reach_mm: float) -> tuple[Landing, Landing]:
    """What of the white under colours, whose edges are edges of the white or of a colour, leaves both; and what of the
    colours without white below, seen from the white, comes to lie on white in sight: as much blocker is bare on its
    other side."""
    lines = stretches(white.area)
    window = _window([(lines, stretches(colour.area)) for colour in colours], reach_mm)
    whites = intersection(white.area, window)
    covered = union(intersection(colour.area, window) for colour in colours)
    showing = Landing(intersection(whites, covered), difference(window, union([covered, whites])), reach_mm)
    return showing, Landing(difference(covered, whites), difference(whites, covered), reach_mm)


def _gaps(colours: Sequence[Region], reach_mm: float) -> Iterator[Landing]:
    """For each colour, what of the others alone, seen from the moved plate, comes to lie on the plate alone."""
    window = _window(combinations(map(stretches, colours), 2), reach_mm)
    near = [intersection(colour, window) for colour in colours]
    for own, theirs in zip(near, unions_of_others(near), strict=True):
        yield Landing(difference(theirs, own), difference(own, theirs), reach_mm)
