"""Growing and insetting, with a stated error.

A buffer's arcs are polygons inscribed in the true arc, so a growth falls short by up to the chord tolerance,
and the engine first smooths its input by up to one hundredth of the distance. Where a distance is a promise
(a clearance), use the `_at_least` form, which carries both errors on the safe side.

Pieces are buffered one by one: the engine's own buffer of many pieces at once is several times slower. So are the
rings of a piece with many holes, as cloth around a page of letters is one: for each hole the engine looks through all
other edges, and takes the square of the time. Outlines that are rough, with many points within the distance, as of
pictures traced pixel by pixel, are offset in stages.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from vectorsep.errors import UNITE_SHAPES, ArtworkError
from vectorsep.geometry.arrays import Flags, Geometries
from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.near import stretches
from vectorsep.geometry.region import GRID_MM, coming_near, gather
from vectorsep.model import Region

CHORD_TOLERANCE_MM = 0.001
"""How far the chords of a grown corner may lie inside the true arc: a fifth of a dot at 5,080 dpi."""
NO_DISTANCE_MM = GRID_MM / 100
"""Smaller offsets change nothing, and the engine loses areas over them."""
ENGINE_SMOOTHING = 0.01
"""GEOS simplifies the input of a buffer by up to this share of the distance (its BufferParameters' default)."""
OPENING_TOLERANCE = 0.01
"""Whether a part is wide is told to a hundredth of the width, as exactly as the engine insets."""
UNEVEN_MM = 1e-9
"""No offset is by the very distance that is asked for, but by so much more: where two outlines come to lie on each
other, as those of a line that is twice as wide as its inset, the engine may lose all of a sound piece, or its holes,
without a word. Of shapes with such lines it did so in one of 18, so of random designs in one of 130."""
LEAST_CHANGE_MM2 = 1e-6
"""Areas are told apart by a square of one micrometre."""
MANY_POINTS, CROWDED = 400, 15
"""An outline of more points than the first, from each of which more than the second lie on the way to where it is the
distance ahead, is offset in stages: the engine takes the square of such crowds."""
STAGES = (1 / 16, 3 / 16, 3 / 4)
"""The shares of a distance in turn by which what is crowded is offset. Each leaves fewer points to the next."""
MANY_HOLES = 64
"""A piece with more holes is buffered ring by ring. With fewer that gains nothing."""
LEAST_QUARTER_SEGMENTS = 8
"""With fewer, GEOS closes inside corners by long detours that cross each other: three times slower, not faster."""


def quarter_segments(radius_mm: float) -> int:
    """How many chords a quarter circle needs to stay within the chord tolerance: r (1 - cos(pi / 4q)) <= tolerance."""
    if radius_mm <= CHORD_TOLERANCE_MM:
        return LEAST_QUARTER_SEGMENTS
    return max(LEAST_QUARTER_SEGMENTS, math.ceil(math.pi / 4 / math.acos(1 - CHORD_TOLERANCE_MM / radius_mm)))


def grow(area: Region, distance_mm: float) -> Region:
    """All within the distance of the area, corners round."""
    if distance_mm < NO_DISTANCE_MM:
        return area
    return union(grown_each(shapely.get_parts(area), distance_mm))


def grow_part(whole: Region, part: Region, distance_mm: float) -> Region:
    """A whole, and all within the distance of a part of it. Pieces that lie deep inside cannot grow out of it."""
    return union([whole, grow(coming_near(part, stretches(whole), distance_mm), distance_mm)])


def inset(area: Region, distance_mm: float) -> Region:
    """What lies deeper inside the area than the distance; convex corners stay sharp."""
    if distance_mm < NO_DISTANCE_MM:
        return area
    return gather(inset_each(shapely.get_parts(area), distance_mm))


def inset_at_least(area: Region, distance_mm: float) -> Region:
    """What lies inside the area and nowhere nearer to its edge than the distance, whatever the engine's error."""
    return inset(area, distance_mm * (1 + ENGINE_SMOOTHING) + 2 * CHORD_TOLERANCE_MM)


def opened(area: Region, width_mm: float) -> Region:
    """What discs of that width cover that fit into the area, and a few chord tolerances more at most."""
    slack_mm = min(width_mm / 2, 3 * CHORD_TOLERANCE_MM)  # or a place as wide as the disc may be told as too narrow
    return grow(inset(area, width_mm / 2 - slack_mm), width_mm / 2)


def grown_each(pieces: Geometries, distance_mm: float) -> Geometries:
    """The same as `grow` for each piece apart: a polygon, or a region."""
    return _offset_each(pieces, distance_mm)


def inset_each(pieces: Geometries, distance_mm: float) -> Geometries:
    """The same as `inset` for each piece apart: a polygon, or a region."""
    return _offset_each(pieces, -distance_mm)


def _offset_each(pieces: Geometries, distance_mm: float) -> Geometries:
    """Each piece grown by the distance, or inset where that is negative."""
    parts, piece = shapely.get_parts(pieces, return_index=True)
    many = np.bincount(piece, shapely.get_num_interior_rings(parts), minlength=len(pieces)) > MANY_HOLES
    outcome = np.empty(len(pieces), dtype=object)
    outcome[~many] = _in_stages(pieces[~many], distance_mm)
    outcome[many] = [_part_by_part(region, distance_mm) for region in pieces[many]]
    return outcome


def _part_by_part(region: Region, distance_mm: float) -> Region:
    parts = [_ring_by_ring(part, distance_mm) for part in shapely.get_parts(region)]
    return union(parts) if distance_mm > 0 else gather(parts)


def _ring_by_ring(part: Polygon, distance_mm: float) -> Region:
    """Holes of what grows are inset, and holes of what is inset grow and may meet."""
    outlines = np.asarray(shapely.polygons(shapely.get_rings(part)))
    (shell,), openings = _in_stages(outlines[:1], distance_mm), _in_stages(outlines[1:], -distance_mm)
    return difference(shell, gather(openings) if distance_mm > 0 else union(openings))


def _in_stages(pieces: Geometries, distance_mm: float) -> Geometries:
    """Each piece offset, crowded ones in stages. The chords of each stage are those of the whole distance, so that what
    they and the engine's smoothing fall short by adds up to what it is in one."""
    chords = quarter_segments(abs(distance_mm))
    crowded = _crowded(pieces, abs(distance_mm))
    outcome = pieces.copy()
    outcome[~crowded] = _by_engine(pieces[~crowded], distance_mm, chords)
    if crowded.any():
        for share in STAGES:
            outcome[crowded] = _by_engine(outcome[crowded], share * distance_mm, chords)
    return outcome


def _crowded(pieces: Geometries, distance_mm: float) -> Flags:
    """Which have crowds of points that the engine's smoothing leaves: of a staircase, steps that are deeper."""
    crowded: Flags = shapely.get_num_coordinates(pieces) > MANY_POINTS
    smoothed_mm = math.sqrt(0.5) * ENGINE_SMOOTHING * distance_mm
    for i in np.flatnonzero(crowded):
        crowded[i] = _is_crowd(pieces[i], distance_mm) and _is_crowd(
            shapely.simplify(pieces[i], smoothed_mm, preserve_topology=False), distance_mm
        )
    return crowded


def _is_crowd(piece: Region, distance_mm: float) -> bool:
    points = shapely.get_coordinates(piece)
    way_mm = np.append(0.0, np.hypot(*np.diff(points, axis=0).T).cumsum())
    ahead = np.searchsorted(way_mm, way_mm[:-1] + distance_mm) - np.arange(len(points) - 1)
    return len(points) > MANY_POINTS and bool(ahead.mean() > CROWDED)


def _by_engine(pieces: Geometries, distance_mm: float, chords: int) -> Geometries:
    """Each piece offset, a quarter circle by so many chords. Where the engine loses art, it is tried again by distances
    that are longer by next to nothing; where it does so by all of these, ArtworkError is raised."""
    outcome: Geometries = np.empty(len(pieces), dtype=object)
    left = np.arange(len(pieces))
    for longer_mm in (UNEVEN_MM, 100 * UNEVEN_MM, 10_000 * UNEVEN_MM):
        by_mm = distance_mm + math.copysign(longer_mm, distance_mm)
        outcome[left] = shapely.buffer(pieces[left], by_mm, quad_segs=chords)
        left = left[~_may_be_offsets(pieces[left], outcome[left], by_mm)]
        if not len(left):
            return outcome
    x, y = shapely.get_coordinates(pieces[left[0]])[0]
    raise ArtworkError(f"the geometry engine loses art around {x:.2f}, {y:.2f} mm: {UNITE_SHAPES}")


def _may_be_offsets(pieces: Geometries, outcome: Geometries, distance_mm: float) -> Flags:
    """Whether outcomes are as large as pieces can be that are grown by the distance, or inset where that is negative.

    What an offset adds or takes away lies within the distance of an outline, on one side of it: in strips along its
    edges, and in sectors of a disc where it turns away from that side. Most add or take less than the strips alone.
    """
    changed_mm2 = np.copysign(1.0, distance_mm) * (shapely.area(outcome) - shapely.area(pieces))
    strips_mm2 = abs(distance_mm) * shapely.length(pieces)
    slack_mm2 = ENGINE_SMOOTHING * strips_mm2 + LEAST_CHANGE_MM2
    may_be: Flags = changed_mm2 <= strips_mm2 + slack_mm2
    for i in np.flatnonzero(~may_be):
        sectors_mm2 = distance_mm**2 / 2 * _turning(pieces[i], outwards=distance_mm > 0)
        may_be[i] = changed_mm2[i] <= strips_mm2[i] + sectors_mm2 + slack_mm2[i]
    return np.asarray(may_be & (changed_mm2 >= -slack_mm2))


def _turning(region: Region, *, outwards: bool) -> float:
    """By how much (radians) outlines turn in all where they turn away from one side, the outer one or the inner."""
    total = 0.0
    for ring in shapely.get_rings(shapely.orient_polygons(shapely.get_parts(region))):
        ways = np.diff(shapely.get_coordinates(ring).view(np.complex128).ravel())
        turns = np.angle(np.roll(ways, -1) * ways.conj())  # to the left where the region, on the left, juts out
        total += float(np.maximum(turns if outwards else -turns, 0.0).sum())
    return total


def grow_lines(lines: BaseGeometry | Geometries, distance_mm: float) -> Region:
    """All within a distance of lines, bends and ends round."""
    return union(widened(shapely.get_parts(lines), distance_mm))


def widened(lines: Geometries, distance_mm: float, *, past_ends: bool = True) -> Geometries:
    """The same for each line apart."""
    caps: Literal["round", "flat"] = "round" if past_ends else "flat"
    return np.asarray(shapely.buffer(lines, distance_mm, quad_segs=quarter_segments(distance_mm), cap_style=caps))


def hold_disc(pieces: Geometries, radius_mm: float) -> Flags:
    """Which pieces hold a disc of the radius. Each holds one of its area over its perimeter at least, since all of
    it lies as near to its edge as its largest disc is wide; and none that is larger than itself."""
    areas = shapely.area(pieces)
    holds = areas >= radius_mm * shapely.length(pieces)
    doubtful = np.flatnonzero(~holds & (areas >= math.pi * radius_mm**2))
    holds[doubtful] = ~shapely.is_empty(inset_each(pieces[doubtful], radius_mm))
    return holds
