"""Films put right: what lies mirrored, turned or scaled on a film is found out and undone, and the rest is read so.

A guess is made of how the drawing lies, from the film's page, from all that is drawn or from the ink; it is undone, and
it was right where the ink then measures as it was made. Whatever lies where marks and lettering belong stays there:
ink may have been mirrored without them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, compress, starmap

from vectorsep.check.likeness import SAME_AREA_MM2, Spot, Unlike, keeps_cells, unlike
from vectorsep.check.marks import MARK_TOLERANCE_MM, stray_lines
from vectorsep.check.poses import AS_MADE, Pose, box_of_middle, poses_between
from vectorsep.check.readback import PAGE_TOLERANCE_MM, by_zone, design_map, on_design
from vectorsep.geometry.boolean import union
from vectorsep.geometry.measure import ink_extent
from vectorsep.geometry.offset import grow
from vectorsep.geometry.region import gather, lie_in, rectangle
from vectorsep.model import Artwork, Bounds, InkMeasure, Region, Sheet

MOST_UNLIKE = 0.02
"""Share of the ink that may differ, from edits besides, where it is still known again when put right."""
CLEARLY = 0.25
"""It must come this much nearer to what was made: of near-symmetric art with a retouched corner, both are near."""


@dataclass(frozen=True, slots=True)
class Righted:
    """A film as it would be if it lay as it was made."""

    artwork: Artwork
    pose: Pose | None = None
    """How it lies; None where it lies as it was made, or nothing is known of it."""
    spots: tuple[Spot, ...] = ()
    """Where its ink came and went by lying so."""


@dataclass(frozen=True, slots=True)
class _Guess:
    """A pose, and how a film reads when it is undone."""

    pose: Pose
    unlike: Unlike
    off_mm2: float
    """What is unlike of the ink, and what is stray in the margin."""
    ink_bounds_mm: Bounds


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What a film draws, in the design's coordinates."""

    loose: list[Region]
    kept: list[Region]
    """Shapes that lie where the film's marks and lettering belong."""
    meant: Region
    """The margin as it was made."""
    sheet: Sheet
    made: InkMeasure

    def allows(self, pose: Pose) -> bool:
        """Whether there is as much ink as the pose asks for, marks and lettering counted or not."""
        drawn_mm2 = sum(area.area for area in self.loose) / abs(pose.place.determinant)
        least_mm2, most_mm2 = self.made.area_mm2, self.made.area_mm2 + self.meant.area
        return least_mm2 * (1 - MOST_UNLIKE) <= drawn_mm2 <= most_mm2 * (1 + MOST_UNLIKE)

    def guess(self, pose: Pose, *, likely_mm2: float) -> _Guess | None:
        """The film with a pose undone; None where its ink is then unlike by more than is likely."""
        inked, astray = by_zone([*pose.place.inverse().map_each(self.loose), *self.kept], self.sheet)
        ink = unlike(inked, self.made)
        if ink.total_mm2 > likely_mm2:
            return None
        stray = stray_lines(union(astray), self.meant, self.sheet)
        return _Guess(pose, ink, ink.total_mm2 + stray.area, gather(inked).bounds)

    def best_guess(self, poses: Iterable[Pose]) -> _Guess | None:
        """The pose in which the film is most as it was made, of several alike the first; None where none is likely."""
        best: _Guess | None = None
        for pose in sorted(filter(self.allows, dict.fromkeys(poses)), key=Pose.plainness):
            guess = self.guess(pose, likely_mm2=MOST_UNLIKE * self.made.area_mm2)
            if guess is not None and (best is None or guess.off_mm2 < best.off_mm2 - SAME_AREA_MM2):
                best = guess
        return best


def put_right(artwork: Artwork, bare: Artwork, sheet: Sheet, made: InkMeasure) -> Righted:
    """Find out how a film lies, and put it right.

    `bare` is the film as made, without its ink. Moves alone are not undone. Nothing is known of a film whose report
    does not keep its ink by cells.
    """
    areas = on_design(artwork, sheet)
    if not keeps_cells(made) or not areas:
        return Righted(artwork)
    margin = union(on_design(bare, sheet))
    stays = lie_in(areas, grow(margin, MARK_TOLERANCE_MM))
    drawn = _Drawn(list(compress(areas, ~stays)), list(compress(areas, stays)), margin, sheet, made)
    as_is = drawn.guess(AS_MADE, likely_mm2=math.inf) if drawn.loose else None
    if as_is is None or as_is.off_mm2 <= SAME_AREA_MM2:
        return Righted(artwork)
    pose = _pose(drawn, as_is, _boxes(drawn, areas, artwork))
    if pose is None:
        return Righted(artwork)
    righted = iter(pose.place.inverse().map_each(drawn.loose))
    on_film = design_map(sheet).inverse()
    back = on_film.map_each([area if stay else next(righted) for area, stay in zip(areas, stays, strict=True)])
    shapes = tuple(replace(shape, area=area) for shape, area in zip(artwork.shapes, back, strict=True))
    width_mm, height_mm = _page_size(artwork, pose, sheet)
    put = replace(artwork, width_mm=width_mm, height_mm=height_mm, shapes=shapes)
    return Righted(put, pose, tuple(as_is.unlike.spots()))


def _pose(drawn: _Drawn, as_is: _Guess, boxes: Iterable[tuple[Bounds, Bounds]]) -> Pose | None:
    """How a film lies, if that is clear and more than a move."""
    best = drawn.best_guess(chain.from_iterable(starmap(poses_between, boxes)))
    if best is None:
        return None
    now = best.pose.place.map_region(rectangle(*best.ink_bounds_mm)).bounds
    finer = [pose for pose in poses_between(drawn.made.bounds_mm, now) if pose.sides == best.pose.sides]
    best = drawn.best_guess([*finer, best.pose]) or best  # ink that is known tells its scale better than a pen's line
    if best.pose.is_plain or best.off_mm2 > CLEARLY * as_is.off_mm2:
        return None
    whole = bool(by_zone(best.pose.place.inverse().map_each(drawn.loose), drawn.sheet)[1])
    grew_or_shrank = not best.pose.turns and not whole and not as_is.unlike.came_and_went
    return None if grew_or_shrank else replace(best.pose, is_whole=whole)


def _boxes(drawn: _Drawn, areas: Sequence[Region], artwork: Artwork) -> Iterator[tuple[Bounds, Bounds]]:
    """Boxes that correspond: as made, and as they are on the film. Which of them hold depends on what was edited."""
    made, inked = drawn.made, gather(by_zone(areas, drawn.sheet)[0])
    yield drawn.sheet.bounds_mm, _page_box(artwork, drawn.sheet)
    yield gather([drawn.meant, rectangle(*made.bounds_mm)]).bounds, gather(areas).bounds
    yield made.bounds_mm, gather(drawn.loose).bounds
    now = ink_extent(inked)
    if now is not None:
        yield made.bounds_mm, now.bounds_mm
        middles = (box_of_middle(measure.centroid_mm, measure.area_mm2) for measure in (made, now))
        yield next(middles), next(middles)


def _page_box(artwork: Artwork, sheet: Sheet) -> Bounds:
    return design_map(sheet).map_region(rectangle(0.0, 0.0, artwork.width_mm, artwork.height_mm)).bounds


def _page_size(artwork: Artwork, pose: Pose, sheet: Sheet) -> tuple[float, float]:
    """The size that the film's page has when put right, as far as it lies as the drawing does."""
    page = pose.place.map_region(rectangle(*sheet.bounds_mm)).bounds
    off_mm = max(abs(one - other) for one, other in zip(page, _page_box(artwork, sheet), strict=True))
    if not pose.is_whole or off_mm > PAGE_TOLERANCE_MM:
        return artwork.width_mm, artwork.height_mm
    return sheet.width_mm, sheet.height_mm
