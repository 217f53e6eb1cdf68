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
from numpy.typing import NDArray

from vectorsep.geometry.boolean import cut_to, difference, union
from vectorsep.geometry.chordal import ridges_of
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow_lines, hold_disc, inset
from vectorsep.geometry.region import gather, polygons
from vectorsep.geometry.ridges import Ridges, measured, put_together
from vectorsep.model import Region
from vectorsep.remember import remembered

ROUNDING_MM = 1e-6
"""What is narrower than the least by no more than this is not narrower."""
CORE_SLACK_MM = 2 * CHORD_TOLERANCE_MM
"""Cores are so much less wide than the least width, by half: they are swept by a smaller disc, drawn with chords."""
TUNING_STEP_MM = 0.125
"""Narrow places are looked for as for the next of such steps: few more than needed, found once while a distance moves
by a few hundredths."""
CENTRE_TOLERANCE_MM = 0.001
"""How exactly the middle of a speck is found."""


@dataclass(frozen=True, slots=True)
class NarrowPlaces:
    """What an inset must do otherwise where its area is narrow."""

    kept: Region
    """Cores of the least width, which a plain inset would make thinner or leave out."""
    held: Ridges
    """The ridges along which cores are kept."""
    lost: Ridges
    """The ridges of what is too narrow to keep anything of it; a speck's is a point."""


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


def graded_inset(area: Region, depth_mm: float, least_width_mm: float, least_depth_mm: float) -> GradedInset:
    """Inset by the depth where that leaves the least width; where it does not, by less, but never by under the
    least depth; where even that leaves less than the least width, keep nothing and say so.

    The result is everywhere at least `least_depth_mm` inside the area, but for twice the chord tolerance.
    """
    narrow = narrow_places(area, depth_mm, least_width_mm, least_depth_mm)
    # Along ridges without a core the plain inset leaves what the walls are farther than its depth, and they are nearer
    # than needed; the cores go over the ends of it.
    left_mm = _needed_mm(least_width_mm, min(depth_mm, least_depth_mm)) - depth_mm + CHORD_TOLERANCE_MM
    dropped = swept(narrow.lost.above(depth_mm), left_mm)
    plain = _no_thinner(difference(inset(area, depth_mm), dropped), least_width_mm / 2)
    return GradedInset(plain, narrow.kept, narrow.lost)


def narrow_places(area: Region, depth_mm: float, least_width_mm: float, least_depth_mm: float) -> NarrowPlaces:
    """Where a graded inset differs from the plain one (mm)."""
    plenty_mm = depth_mm + least_width_mm / 2
    found = _narrower(area, _stepped_up(plenty_mm), least_width_mm, min(depth_mm, least_depth_mm))
    return replace(found, held=found.held.where(found.held.radius_mm.min(axis=1) < plenty_mm))


def _needed_mm(least_width_mm: float, least_depth_mm: float) -> float:
    """How far the walls must be from a ridge for a core."""
    return least_depth_mm + least_width_mm / 2 - ROUNDING_MM


@remembered
def _narrower(area: Region, plenty_mm: float, least_width_mm: float, least_depth_mm: float) -> NarrowPlaces:
    """Narrow places where the walls are nearer to the ridge than `plenty_mm`: some may not be narrow for the inset, but
    a core that it would leave as well adds nothing to it."""
    needed_mm = _needed_mm(least_width_mm, least_depth_mm)
    ridges = ridges_of(area, _rounded_up(plenty_mm))
    ridges = put_together([ridges, _specks(area, ridges, needed_mm, plenty_mm)])
    narrow = measured(area, ridges.where(ridges.radius_mm.min(axis=1) < plenty_mm), needed_mm)
    held = narrow.above(needed_mm)
    kept = cores_along(held, inset(area, least_depth_mm), least_width_mm)
    return NarrowPlaces(kept, held, narrow.below(needed_mm))


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


def _specks(area: Region, ridges: Ridges, needed_mm: float, plenty_mm: float) -> Ridges:
    """The middles of small pieces that no ridge tells all about: squares and triangles, which have none, and such
    with room for a core elsewhere than on theirs."""
    pieces: NDArray[np.object_] = np.asarray(polygons(area))
    told, cored = np.zeros((2, len(pieces)), dtype=bool)
    told[ridges.part] = True
    cored[ridges.part[ridges.radius_mm.max(axis=1) >= needed_mm]] = True
    part = np.flatnonzero(~cored)
    part = part[~told[part] | hold_disc(pieces[part], needed_mm)]
    part = part[~hold_disc(pieces[part], plenty_mm)]  # what holds that is no speck
    radii = shapely.get_coordinates(shapely.maximum_inscribed_circle(pieces[part], CENTRE_TOLERANCE_MM))
    centre, touched = radii.view(np.complex128).reshape(-1, 2).T
    return Ridges.of_specks(centre, np.abs(touched - centre), part)


def swept(ridges: Ridges, radius_mm: float, *, past_ends: bool = True) -> Region:
    """What a disc covers that is moved along ridges, or as much of it as does not lie past their ends."""
    chains = shapely.simplify(ridges.chains(), CHORD_TOLERANCE_MM)
    return grow_lines(chains, radius_mm, past_ends=past_ends)


def _no_thinner(area: Region, radius_mm: float) -> Region:
    """Drop the pieces that hold no disc of the radius."""
    pieces: NDArray[np.object_] = np.asarray(polygons(area))
    return gather(pieces[hold_disc(pieces, radius_mm - CHORD_TOLERANCE_MM)])
