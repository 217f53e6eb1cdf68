"""An inset that yields where the area is narrow, so that thin details keep a printable core.

Where an area is too narrow for the plain inset, its ridge tells how far its walls are: a disc of half the least
width, moved along the ridge, is the core that is kept, as long as the walls leave it the least inset. Corners of
wide places have no ridge: there the plain inset stands.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely

from vectorsep.geometry.arrays import Complex, Flags, Floats, Geometries
from vectorsep.geometry.boolean import cut_to, difference, intersection, union
from vectorsep.geometry.chordal import ridges_of
from vectorsep.geometry.measure import counted_within, fit_in_circle
from vectorsep.geometry.mouths import EVEN_MM, led_out, nibs_parted, open_ends
from vectorsep.geometry.offset import (
    CHORD_TOLERANCE_MM,
    grow_lines,
    hold_disc,
    inset,
    opened,
)
from vectorsep.geometry.region import apart_from, gather, polygons, touching, which_near
from vectorsep.geometry.ridges import Ridges, measured, put_together
from vectorsep.model import Region
from vectorsep.remember import remembered

CORE_SLACK_MM = 2 * CHORD_TOLERANCE_MM
"""Cores are so much less wide than the least width, by half: they are swept by a smaller disc, drawn with chords."""
TUNING_STEP_MM = 0.125
"""Narrow places are looked for as for the next of such steps: few more than needed, found once while a distance moves
by a few hundredths."""
KNOB_WIDTHS = 2.0
"""What stands out by less than this, with its round end, is led along less than a core is wide, or little more. A core
through a neck, to white beyond it, never does: on each side of the neck it stands out beside a plain inset that is
thinner than itself, for 0.87 of its width or more, and it is as wide as it is."""
BOLD_WIDTHS = 2.0
"""What holds no disc so many times as wide as a core is a spot amid thin lines, whose cores are most of it."""
SEEN_WIDTHS = 2.0
"""How far around ridges an area is looked at: its own edge must come before that of what is looked at."""
CENTRE_TOLERANCE_MM = 0.001
"""How exactly the middle of a speck is found."""


@dataclass(frozen=True, slots=True)
class NarrowPlaces:
    """What an inset must do otherwise where its area is narrow."""

    kept: Region
    """Cores of the least width, which a plain inset would make thinner or leave out."""
    held: Ridges
    """The ridges along which cores are kept. They may run on, far out into the open."""
    lost: Ridges
    """The ridges of what is too narrow to keep anything of it. Of a place without a ridge both have its middle."""
    tapers: Ridges
    """Where what is wide runs out into what is lost without a core between them: short ridges, and points."""


@dataclass(frozen=True, slots=True)
class GradedInset:
    """The inset in two parts that overlap, and the ridges of the places that were too narrow to keep any of it."""

    plain: Region
    kept: Region
    lost: Ridges

    @property
    def area(self) -> Region:
        """Both parts as one."""
        return union([self.plain, self.kept])


@remembered
def graded_inset(area: Region, depth_mm: float, least_width_mm: float, least_depth_mm: float) -> GradedInset:
    """Inset by the depth where that leaves the least width; where it does not, by less, but never by under the
    least depth; where even that leaves less than the least width, keep nothing and say so.

    The result is everywhere at least `least_depth_mm` inside the area, but for twice the chord tolerance.
    """
    narrow = narrow_places(area, depth_mm, least_width_mm, least_depth_mm, into_open=False)
    # Along ridges without a core the plain inset leaves what the walls are farther than its depth, and they are nearer
    # than needed; the cores go over the ends of it.
    left_mm = _needed_mm(least_width_mm, min(depth_mm, least_depth_mm)) - depth_mm + CHORD_TOLERANCE_MM
    # Dropped from so far away, it leaves the last disc as it is that fits where the place widens.
    far_mm = left_mm + least_width_mm / 2
    thin, tapers = _beside_tapers(narrow.lost.above(depth_mm), narrow.tapers.above(depth_mm), far_mm)
    inner = _no_thinner(inset(area, depth_mm), least_width_mm / 2)  # already here: it is most of what goes
    dropped = union([swept(thin, left_mm), _too_thin(inner, tapers, least_width_mm)])
    plain = _no_thinner(difference(inner, dropped), least_width_mm / 2)
    kept, knobs = _knobs_parted(narrow.kept, plain, least_width_mm)
    if not knobs.is_empty:
        tips = _too_thin(plain, narrow.held.where(narrow.held.inside(knobs)), least_width_mm)
        plain = _no_thinner(difference(plain, tips), least_width_mm / 2)
    return GradedInset(plain, kept, narrow.lost)


def _knobs_parted(cores: Region, plain: Region, width_mm: float) -> tuple[Region, Region]:
    """The cores but for those that stand out of a plain inset by little, on one side, where it is bold, and lead to
    nothing; and these. Where a neck is just wide enough for a core at one point, as at a bend, that was a dot beside
    what is wide."""
    pieces: Geometries = np.array(polygons(cores), dtype=object)
    beside = pieces[which_near(pieces, plain, 0.0)]
    outside = opened(difference(gather(beside), plain), CORE_SLACK_MM)
    standing: Geometries = np.array(polygons(outside), dtype=object)
    long = gather(standing[~fit_in_circle(standing, KNOB_WIDTHS * width_mm)])
    alone = beside[(counted_within(beside, outside) == 1) & (counted_within(beside, long) == 0)]
    wide: Geometries = np.array(polygons(touching(plain, alone)), dtype=object)
    knobs = touching(gather(alone), gather(wide[hold_disc(wide, BOLD_WIDTHS * width_mm / 2)]))
    return apart_from(cores, knobs), knobs


def _beside_tapers(lost: Ridges, tapers: Ridges, reach_mm: float) -> tuple[Ridges, Ridges]:
    """The ridges of what is lost but for those that come near tapers; and these, with the tapers."""
    near = np.zeros(len(lost.ends), dtype=bool)
    near[shapely.STRtree(lost.shapes()).query(tapers.shapes(), predicate="dwithin", distance=reach_mm)[1]] = True
    return lost.where(~near), put_together([tapers, lost.where(near)])


def _too_thin(area: Region, ridges: Ridges, width_mm: float) -> Region:
    """What is thinner than the width of an area, beside some ridges. Most of these come near nothing of it."""
    near = np.zeros(len(ridges.ends), dtype=bool)
    near[which_near(ridges.shapes(), area, width_mm)] = True
    along = ridges.where(near)
    seen = intersection(area, swept(along, SEEN_WIDTHS * width_mm))
    return intersection(difference(seen, opened(seen, width_mm)), swept(along, width_mm))


def narrow_places(
    area: Region, depth_mm: float, least_width_mm: float, least_depth_mm: float, *, into_open: bool
) -> NarrowPlaces:
    """Where a graded inset differs from the plain one (mm); whether cores are led on into the open, and none opens the
    mouth of what is too narrow for one."""
    plenty_mm = depth_mm + least_width_mm / 2
    found = _narrower(area, _stepped_up(plenty_mm), least_width_mm, min(depth_mm, least_depth_mm), into_open)
    return replace(found, held=found.held.where(found.held.radius_mm.min(axis=1) < plenty_mm))


def _needed_mm(least_width_mm: float, least_depth_mm: float) -> float:
    """How far the walls must be from a ridge for a core."""
    return least_depth_mm + least_width_mm / 2 - EVEN_MM


@remembered
def _narrower(
    area: Region, plenty_mm: float, least_width_mm: float, least_depth_mm: float, into_open: bool
) -> NarrowPlaces:
    """Narrow places where the walls are nearer to the ridge than `plenty_mm`: some may not be narrow for the inset, but
    a core that it would leave as well adds nothing to it."""
    needed_mm = _needed_mm(least_width_mm, least_depth_mm)
    ridges = ridges_of(area, _rounded_up(plenty_mm))
    narrow = measured(area, ridges.where(ridges.radius_mm.min(axis=1) < plenty_mm), needed_mm)
    pieces: Geometries = np.array(polygons(area), dtype=object)
    held, lost = narrow.above(needed_mm), narrow.below(needed_mm)
    room = inset(area, needed_mm)
    if into_open:
        held, tapers = led_out(area, room, held, needed_mm, plenty_mm), Ridges.none()
    else:
        held, nibs = nibs_parted(held, least_width_mm, needed_mm, plenty_mm)
        tapers = put_together([nibs, open_ends(lost, needed_mm)])
    held = put_together([held, _middles(room, held, needed_mm, plenty_mm)])
    lost = put_together([lost, _specks(pieces, lost, needed_mm)])
    return NarrowPlaces(cores_along(held, inset(area, least_depth_mm), least_width_mm), held, lost, tapers)


def cores_along(ridges: Ridges, room: Region, width_mm: float) -> Region:
    """Cores of the width along ridges, as far as they lie in the room that they have."""
    cores = swept(ridges, width_mm / 2 - CHORD_TOLERANCE_MM)
    return _no_thinner(cut_to(cores, room), width_mm / 2 - CORE_SLACK_MM)


def _stepped_up(distance_mm: float) -> float:
    """The next of a few steps, so that what is found for one distance serves while it is moved by little."""
    return math.ceil(distance_mm / TUNING_STEP_MM) * TUNING_STEP_MM


def _rounded_up(distance_mm: float) -> float:
    """A power of two of millimetres, so that ridges found for one distance serve for those near it."""
    return float(2 ** math.ceil(math.log2(max(distance_mm, 1.0))))


def _middles(room: Region, held: Ridges, needed_mm: float, plenty_mm: float) -> Ridges:
    """The middles of places with room for a core that no ridge runs through: discs and squares have none, and
    where several meet they may be lost."""
    rooms = np.array(polygons(room), dtype=object)
    rooms = rooms[~hold_disc(rooms, plenty_mm - needed_mm)]  # where more fits, a plain inset leaves enough
    middle, radius = largest_discs(rooms[~_crossed(rooms, held.lines())])
    return Ridges.of_specks(middle, radius + needed_mm)


def _crossed(rooms: Geometries, lines: Geometries) -> Flags:
    """Which rooms any of the lines runs through: as a rule the one that is nearest to its edge, and of the others only
    small rooms are left to be gone through. Within the bounds of a large ring lie all lines of those that it encloses.
    """
    if not len(lines):
        return np.zeros(len(rooms), dtype=bool)
    tree = shapely.STRtree(lines)
    crossed: Flags = shapely.intersects(
        rooms, lines[tree.nearest(shapely.get_point(shapely.get_exterior_ring(rooms), 0))]
    )
    left = np.flatnonzero(~crossed)
    crossed[left[tree.query(rooms[left], predicate="intersects")[0]]] = True
    return crossed


def _specks(pieces: Geometries, lost: Ridges, needed_mm: float) -> Ridges:
    """The middles of pieces too small for a core that have no ridge to tell of them."""
    small = pieces[~hold_disc(pieces, needed_mm)]
    told = np.zeros(len(small), dtype=bool)
    told[shapely.STRtree(lost.middles()).query(small, predicate="intersects")[0]] = True
    return Ridges.of_specks(*largest_discs(small[~told]))


def largest_discs(pieces: Geometries) -> tuple[Complex, Floats]:
    """The middle and radius of the largest disc that each holds."""
    radii = shapely.get_coordinates(shapely.maximum_inscribed_circle(pieces, CENTRE_TOLERANCE_MM))
    middle, touched = radii.view(np.complex128).reshape(-1, 2).T
    return middle, np.abs(touched - middle)


def swept(ridges: Ridges, radius_mm: float) -> Region:
    """What a disc covers that is moved along ridges."""
    return grow_lines(shapely.simplify(ridges.chains(), CHORD_TOLERANCE_MM), radius_mm)


def _no_thinner(area: Region, radius_mm: float) -> Region:
    """Drop the pieces that hold no disc of the radius."""
    pieces: Geometries = np.array(polygons(area), dtype=object)
    return gather(pieces[hold_disc(pieces, radius_mm - CHORD_TOLERANCE_MM)])
