"""Where thin lines cross, meet or bend: a place a little wider than its lines, which is no detail of its own."""

from __future__ import annotations

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries, Indices
from vectorsep.geometry.graded import largest_discs
from vectorsep.geometry.measure import fit_in_circle
from vectorsep.geometry.offset import inset_each
from vectorsep.geometry.region import GRID_MM, gather, which_near
from vectorsep.geometry.ridges import Ridges
from vectorsep.model import Region
from vectorsep.remember import remembered

SPOT_WIDTHS = 5.0
"""What is shorter than so many of the least widths is a spot. Where lines that are just too thin for a core cross at
right angles, what an inset leaves is two long; where they slant, or meet on one side of a third, four."""
LINE_WIDTHS = 2.0
"""Lines are longer than so many of the least widths: shorter is the neck between two dots that join."""
LINES_AWAY = 2
"""From a bend two lines lead away, from a meeting more. A single one ends here in a head, which may be meant."""
BEND_TIMES = 2.1
"""A disc that fits where two lines meet is at most twice as wide as the wider of them, the more acute the nearer to
that: w / (1 + sin(angle / 2)) in radius. What is wider is a bead or a hub."""


def without_lone_spots(
    inset: Region, art: Region, lost: Ridges, width_mm: float, depth_mm: float, kept: Region
) -> Region:
    """An inset of the art without the spots that it leaves where lines meet or bend that are too thin for any of it.

    `lost` are the ridges of these, `width_mm` the least width of what is left of an inset by `depth_mm`. What touches
    `kept` stays.
    """
    pieces: Geometries = shapely.get_parts(inset)
    spots = np.flatnonzero(_are_spots(pieces, width_mm))
    if not len(spots):
        return inset
    spots = spots[_are_bends(pieces[spots], lost, width_mm, depth_mm)]
    spots = spots[_amid_more(pieces[spots], art, width_mm)]
    spots = np.delete(spots, which_near(pieces[spots], kept, 0.0))
    return gather(np.delete(pieces, spots)) if len(spots) else inset


def without_spots_amid_more(inset: Region, art: Region, width_mm: float, radius_mm: float) -> Region:
    """An inset of the art without the spots that lie in something longer than a spot, and hold no disc larger than
    where lines meet: of that radius in the inset."""
    pieces: Geometries = shapely.get_parts(inset)
    spots = np.flatnonzero(_are_spots(pieces, width_mm))
    if len(spots):
        spots = spots[largest_discs(pieces[spots])[1] <= radius_mm]
    return gather(np.delete(pieces, spots[_amid_more(pieces[spots], art, width_mm)]))


def _are_spots(pieces: Geometries, width_mm: float) -> Flags:
    return fit_in_circle(pieces, SPOT_WIDTHS * width_mm)


def _are_bends(pieces: Geometries, lost: Ridges, width_mm: float, depth_mm: float) -> Flags:
    """Which pieces several lines of ridges lead away from, and are not much wider than these, each told at its widest.

    Of a piece no wider than the least it is not known how much wider its place is: the most it can be counts. A bend
    may leave two pieces, one for each of its lines.
    """
    ends, half_mm = _line_ends(lost, LINE_WIDTHS * width_mm)
    bodies = inset_each(pieces, GRID_MM)  # spikes of no width, as rounding leaves them, lead to other lines
    piece, end = shapely.STRtree(ends).query(bodies, predicate="dwithin", distance=width_mm + GRID_MM)
    lines_mm = np.zeros(len(pieces))
    np.maximum.at(lines_mm, piece, half_mm[end])
    bends = np.bincount(piece, minlength=len(pieces)) >= LINES_AWAY
    _, radius_mm = largest_discs(pieces[bends])
    bends[bends] = radius_mm + depth_mm <= BEND_TIMES * lines_mm[bends]
    return bends


@remembered
def _line_ends(ridges: Ridges, longer_mm: float) -> tuple[Geometries, Floats]:
    """Both ends of lines of ridges, as points, and how far their walls are on the mean (mm), if the lines are longer
    than that."""
    lines = ridges.chains()
    lines = lines[shapely.length(lines) > longer_mm]
    xyz, line = shapely.get_coordinates(lines, include_z=True, return_index=True)
    half_mm = np.bincount(line, xyz[:, 2], len(lines)) / np.bincount(line, minlength=len(lines))
    return np.concatenate([shapely.get_point(lines, 0), shapely.get_point(lines, -1)]), np.tile(half_mm, 2)


def _amid_more(pieces: Geometries, art: Region, width_mm: float) -> Indices:
    """Which pieces lie in a piece of the art that is no spot itself."""
    around: Geometries = shapely.get_parts(art)
    return which_near(pieces, around[~_are_spots(around, width_mm)], 0.0)
