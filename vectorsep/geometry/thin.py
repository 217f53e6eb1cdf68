"""Where a region is narrower than a width: thin lines, their ends, and necks between wide parts; corners are none.

A disc of the width, moved about inside the region, misses thin lines and, for being round, the corners of wide parts.
A missed piece is a corner, and left out, when it hangs on the swept part by one side only and sticks out of it by
less than SPUR widths; a dot or a pinhole that is missed as a whole is none. All of it is looked at only near places
where two edges face each other.

That nothing is passed over: let a piece be kept, and h be half the width. Within it no disc of radius h fits.

- It hangs on the swept part by two sides: a way through it from one side to the other has edge of the region on its
  left and right. On the way that keeps farthest from the edge, the narrowest point is a saddle of the distance to the
  edge: a disc smaller than h touches the edge there on two sides, 180 degrees apart.
- It sticks out by 2 widths or more: walk from its far end to where the distance to the edge rises most. Either the
  walk comes to the swept part, after 4 h of way on which the distance rose by less than h. The rise is the cosine of
  half the angle between the two sides on which a disc touches the edge; where it is under 1/4 they are 150 degrees
  apart. Or the walk ends on a summit lower than h, and from there another leads over a saddle as above, unless the
  summit is the only one of its piece of the region and all slopes are steeper than 1/4: such a piece measures at most
  4 widths each way.

`facing` gives the middles of all such discs and all such small pieces.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial

import numpy as np
import shapely

from vectorsep.geometry.arrays import Flags, Floats, Geometries
from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.facing import Facing, facing_edges
from vectorsep.geometry.measure import Strip, edge, strip_sizes, strips_across
from vectorsep.geometry.near import near_bounds, within_bounds
from vectorsep.geometry.offset import grow
from vectorsep.geometry.region import EMPTY, frame_around, gather, outlines, polygons
from vectorsep.geometry.sweep import Disc, Sweep, across_mm, are_narrow, sweep
from vectorsep.geometry.thinning import COARSE_MM, coarsened
from vectorsep.geometry.windows import windows_around
from vectorsep.model import Region

ROOMS = (4.0, 16.0)
"""Widths that are looked at around facing edges; the larger, where a missed piece comes near the rim of the smaller."""
LEAST_ROOM_MM = 0.5
"""Room for widths that no mesh has: smaller windows would be more work, not less."""


def facing_at(area: Region, width_mm: float) -> Facing:
    """The facing edges by which narrow places and gaps up to the width are found."""
    return facing_edges(area, Disc(width_mm).passage_mm)


def thin_places(area: Region, width_mm: float, facing: Facing | None = None) -> tuple[Strip, ...]:
    """Pieces of the area that no disc of the width reaches, as strips, longest first.

    `facing`, if it is known already: `facing_at` the same or a larger width, of the area or of one of which the area
    is some pieces. What is within two hundredths of the width and 4 micrometres of being wide enough, or beside what is
    swept of not being there, is within the engine's error and not told.
    """
    disc, facing = Disc(width_mm), facing or facing_at(area, width_mm)
    pieces, swept = _narrow(partial(intersection, area), area, facing.across_inside(disc.passage_mm), disc)
    stand_alone = ~shapely.dwithin(swept.swept, pieces, disc.slack_mm)  # no error of the sweep can have made them
    sure = stand_alone | (strip_sizes(pieces)[1] > 2 * disc.slack_mm)
    return strips_across(pieces[sure], across_mm(pieces[sure], swept), 0.0)


def thin_parts(area: Region, width_mm: float) -> Region:
    """The same narrow places as a region."""
    disc = Disc(width_mm)
    places = facing_at(area, width_mm).across_inside(disc.passage_mm)
    return gather(_narrow(partial(intersection, area), area, places, disc)[0])


def narrow_gaps(
    area: Region, width_mm: float, facing: Facing | None = None, hidden_by: Iterable[Region] = ()
) -> tuple[Strip, ...]:
    """The narrow places, in the same sense, of all that the area leaves free, as far as none of some regions hides
    them."""
    disc, facing = Disc(width_mm), facing or facing_at(area, width_mm)
    pieces, swept = _narrow(partial(_left_free, area), area, facing.across_outside(disc.passage_mm), disc)
    across = across_mm(pieces, swept)
    for cover in hidden_by:
        pieces, across = _in_sight(pieces, across, cover, width_mm)
    return strips_across(pieces, across, 2 * disc.slack_mm)


def narrow_gaps_near(area: Region, width_mm: float, at: Floats) -> Region:
    """The same gaps as a region, grown by twice what thinning may take of them, where they come near some places
    (boxes)."""
    disc, near = Disc(width_mm), within_bounds(at[:, :2], at[:, 2:])
    pieces = shapely.get_parts(area)
    beside = coarsened(gather(pieces[near_bounds(pieces, near, width_mm)]))
    places = facing_at(beside, width_mm).across_outside(disc.passage_mm)
    places = places[near_bounds(within_bounds(places[:, :2], places[:, 2:]), near, 0.0)]
    return grow(gather(_narrow(partial(_left_free, beside), beside, places, disc)[0]), 2 * COARSE_MM)


def in_holes(gaps: Sequence[Strip], area: Region, largest_mm2: float) -> Flags:
    """Which of the gaps lie in a hole of the area that covers no more than so much."""
    rings, _, is_hole = outlines(area)
    holes = np.asarray(shapely.polygons(rings[is_hole]))
    small = shapely.STRtree(holes[shapely.area(holes) <= largest_mm2])
    at_mm = np.reshape([gap.at_mm for gap in gaps], (-1, 2))
    inside, _ = small.query(shapely.points(at_mm), predicate="within")
    flags = np.zeros(len(gaps), dtype=bool)
    flags[inside] = True
    return flags


def _in_sight(pieces: Geometries, across_mm: Floats, cover: Region, width_mm: float) -> tuple[Geometries, Floats]:
    """What a cover leaves of some gaps of the width, and how wide each is still told to be. What peeps out from under
    it by less than the width is no gap."""
    covers = shapely.get_parts(cover)
    piece, over = shapely.STRtree(covers).query(pieces, predicate="intersects")
    touched = np.unique(piece)
    left = [polygons(difference(pieces[i], gather(covers[over[piece == i]]))) for i in touched]
    parts: Geometries = np.array([part for some in left for part in some], dtype=object)
    across_of_parts_mm = np.repeat(across_mm[touched], [len(some) for some in left])
    seen = strip_sizes(parts)[0] > width_mm
    return (
        np.append(np.delete(pieces, touched), parts[seen]),
        np.append(np.delete(across_mm, touched), across_of_parts_mm[seen]),
    )


def _left_free(area: Region, window: Region) -> Region:
    return difference(window, area)


def _narrow(within: Callable[[Region], Region], area: Region, places: Floats, disc: Disc) -> tuple[Geometries, Sweep]:
    """The narrow places of what lies within a window, near the places (boxes) where there can be any, and the sweep
    that missed them."""
    if not len(places):
        return np.empty(0, dtype=object), sweep(EMPTY, disc)
    for window in _windows(area, places, disc):
        swept = sweep(within(window), disc)
        cut_short = _near_rim(swept.missed, window, disc.sight_mm)
        if not _is_any_at(swept.missed[cut_short], places):
            break
    missed = swept.missed[~cut_short]
    return missed[are_narrow(missed, swept)], swept


def _windows(area: Region, places: Floats, disc: Disc) -> Iterator[Region]:
    """Wider and wider windows; the last one holds everything, so far from its edge that nothing is cut short."""
    yield from (windows_around(places, max(room * disc.width_mm, LEAST_ROOM_MM)) for room in ROOMS)
    yield frame_around(area, 2 * disc.sight_mm)


def _near_rim(pieces: Geometries, window: Region, distance_mm: float) -> Flags:
    """Which pieces lie so near to the window's edge that its cut may show in them."""
    rim = edge(window)
    shapely.prepare(rim)
    return np.asarray(shapely.dwithin(rim, pieces, distance_mm))


def _is_any_at(pieces: Geometries, places: Floats) -> bool:
    """Whether a piece touches one of the places."""
    return len(shapely.STRtree(pieces).query(shapely.box(*places.T), predicate="intersects")[0]) > 0
