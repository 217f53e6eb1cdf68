"""The blocker plate: under everything, a spread wider, and no wider than it must be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

import numpy as np

from vectorsep.geometry.arrays import Flags
from vectorsep.geometry.boolean import covered, difference, union
from vectorsep.geometry.finish import finished
from vectorsep.geometry.graded import cores_along, narrow_places, swept
from vectorsep.geometry.holes import without_holes_near, without_narrow_holes
from vectorsep.geometry.measure import Strip, no_shorter, pieces_costing, pieces_down_to, pieces_losing
from vectorsep.geometry.offset import OPENING_TOLERANCE, grow, grow_part, inset, opened
from vectorsep.geometry.region import (
    EMPTY,
    GRID_MM,
    amid_others,
    apart_from,
    frame_around,
    gather,
    hanging_on,
    touching,
)
from vectorsep.geometry.ridges import Ridges, Wall, leaning_on, put_together
from vectorsep.geometry.thinning import thinned
from vectorsep.mesh import dot_mm2
from vectorsep.model import Region
from vectorsep.plates.rim import fills_gaps
from vectorsep.plates.roles import Roles
from vectorsep.plates.room import UpperRoom, room_distance_mm, room_inside
from vectorsep.remember import remembered
from vectorsep.settings import MAX_DISTANCE_MM, Settings
from vectorsep.threads import together

FRAME_MM = 3 * MAX_DISTANCE_MM
"""How far cloth is taken to go on around the art: past where any spread and gap could reach."""
SHORTEST_LOSS_MM = 0.5
"""A narrow place shorter than this is a sharp corner's last tip, not a line or a gap that somebody drew."""
WORN_SHARE = 2.0
"""A line beside a gap must keep so many times what one side of it loses, else the gap is not worth it: a line that
recedes on one side keeps two thirds of itself, on both sides half."""
WORTH_SHARE = 0.1
"""No gap is worth such a share of a piece of art: dots lost a third of their area on four sides and came out square,
letters of 5 mm up to a fifth, in dents."""
DEAR_TIMES = 2.0
"""No opening is worth so many times its own area of art: around a hole of 0.5 mm it costs 3.5 times that, and what was
a speck of cloth comes out as a ring of blocker 0.9 mm wide; beside the narrowest gap it costs 1.25 times."""
LINE_FILLED, OPENING_FILLED = 1 / 2, 1 / 3
"""A gap between two junctions of which such a share fills does so as a whole, since its open ends would be notches past
a bar; and so does an opening, a letter above all, of which dashes were left, where all of its neighbours filled."""
CORNERS = 1.5
"""At a corner art recedes so many times farther than along an edge, if the corner is not very sharp."""
CROSSING_DOTS = 3.0
"""Where gaps cross that close, the least gap may just fit amid them, as between four dots: what opens there is up to so
many dots of it, and is no gap that anybody drew. Art around the crossing would be bitten for it."""

ROOM_TIMES = 1.1
"""Discs that come into reach lie within so many times their width of it, whatever offsets fall short by."""


@dataclass(frozen=True, slots=True)
class BlockerShape:
    """What the blocker covers, how much of it stands out past the art, and the ridges of gaps of the art that were
    closed: of those that its mesh cannot hold, and of those that art beside them could not recede from."""

    area: Region
    rim_mm2: float
    lost: Ridges
    filled: Ridges

    def closed_gaps(self) -> tuple[Strip, ...]:
        """The gaps that its mesh cannot hold, as far as it covers them."""
        return _covered(self.area, self.lost)

    def filled_gaps(self) -> tuple[Strip, ...]:
        """The gaps that it fills for the art beside them."""
        return _covered(self.area, self.filled)


@remembered
def _covered(blocker: Region, gaps: Ridges) -> tuple[Strip, ...]:
    return gaps.where(gaps.inside(blocker)).strips()


def shape_blocker(silhouette: Region, roles: Roles, settings: Settings) -> BlockerShape:
    """Grow the art by the spread, but keep every gap open that the mesh can hold, unless fine art would pay for it or
    all gaps fill that art would have to recede from.

    Where the blocker itself prints the design's black there is nothing to protect: the black keeps its drawn
    edge, and only the other inks are spread beneath. All areas are in mm; the result covers the silhouette.
    """
    white_art = tuple(ink.area for ink in roles.white_art)
    ground = _ground(silhouette, roles.exposed_black, roles.upper_areas, white_art)
    return _shaped(ground, settings.spread_mm, settings.min_gap_mm, _upper(settings))


@dataclass(frozen=True, slots=True)
class _Upper:
    """How far (mm) upper ink must stay inside the blocker, the thinnest line of it worth printing, the thinnest with
    white below it, and whether bold art recedes so far from an open gap."""

    distance_mm: float
    min_line_mm: float
    white_line_mm: float
    recedes: bool


def _upper(settings: Settings) -> _Upper:
    # The choke may be less than its least, but blocker and colours stay as they are while it moves.
    white_line_mm = settings.white_line_mm if settings.white_under_colours else math.inf
    return _Upper(room_distance_mm(settings), settings.min_line_mm, white_line_mm, recedes=not fills_gaps(settings))


@dataclass(frozen=True, slots=True)
class _Ground:
    """All art, what of it the blocker prints, what prints above the blocker as a whole, what of that has any width, the
    same ink by ink, what the white prints of it, and the cloth around all art."""

    silhouette: Region
    black: Region
    carried: Region
    wide: Region
    inks: tuple[Region, ...]
    white_art: Region
    cloth: Region


@remembered
def _ground(silhouette: Region, black: Region, inks: tuple[Region, ...], white_art: tuple[Region, ...]) -> _Ground:
    cloth, white = difference(frame_around(silhouette, FRAME_MM), silhouette), covered(white_art)
    if black.is_empty:
        return _Ground(silhouette, black, silhouette, silhouette, inks, white, cloth)
    carried = difference(silhouette, black)
    # Rounding leaves spikes of no width along the black's edge: grown, they would be blocker past it.
    return _Ground(silhouette, black, carried, inset(carried, GRID_MM), inks, white, cloth)


@dataclass(frozen=True, slots=True)
class _Gaps:
    """Gaps that the blocker's mesh can hold, by their ridges; the blocker with all of them closed; the cloth in which
    they lie, a wall for them to lean on, how wide they stay open, and how far from walls the spread leaves enough (mm).
    """

    ridges: Ridges
    closed: Region
    cloth: Region
    wall: Wall
    min_gap_mm: float
    plenty_mm: float

    @property
    def narrow(self) -> Ridges:
        """The ridges as far as the spread would leave too little, piece by piece."""
        return self.ridges.below(self.plenty_mm)

    def open(self, some: Flags) -> Region:
        """What stays open of some of them. Gaps are as wide as the least amid those drawn, whose walls both move.
        Beside black, which keeps its edge, they lie against it, and the other wall moves as far as it may; beside thin
        black, amid what it encloses and the other."""
        along = leaning_on(self.wall, self.cloth, self.ridges.where(some), self.min_gap_mm / 2, self.plenty_mm)
        return cores_along(along, self.cloth, self.min_gap_mm)

    def blocker(self, filled: Flags) -> Region:
        """The blocker with all of them open but some, which fill."""
        closed = _closed(self.closed, self.narrow.where(filled), self.plenty_mm, self.min_gap_mm)
        return difference(closed, self.open(~filled))


@remembered
def _shaped(ground: _Ground, spread_mm: float, min_gap_mm: float, upper: _Upper) -> BlockerShape:
    found = narrow_places(ground.cloth, spread_mm, min_gap_mm, 0.0, into_open=True)
    plenty_mm = spread_mm + min_gap_mm / 2
    closed = _closed(_spread(ground, spread_mm), found.lost, plenty_mm, min_gap_mm)
    wall = Wall(ground.black, ground.wide, spread_mm)  # what thin black encloses is spread past it
    gaps = _Gaps(found.held, closed, ground.cloth, wall, min_gap_mm, plenty_mm)
    kept = found.kept if ground.black.is_empty else gaps.open(np.ones(len(found.held.ends), dtype=bool))
    blocker, filled = _filled(gaps, kept, ground, upper)
    filling = gaps.narrow.where(filled)
    carrying = hanging_on(blocker, ground.silhouette)  # a strip between an open gap and black does not
    open_gaps = without_narrow_holes(carrying, min_gap_mm)
    lines = put_together([found.lost, filling]).lines()
    area = finished(without_holes_near(open_gaps, CROSSING_DOTS * dot_mm2(min_gap_mm), lines, min_gap_mm))
    return BlockerShape(area, area.area - ground.silhouette.area, found.lost, filling)


def _filled(gaps: _Gaps, kept: Region, ground: _Ground, upper: _Upper) -> tuple[Region, Flags]:
    """The blocker with those gaps filled that are not worth what they cost the art, and which these are. `kept` is what
    is open of all of them."""
    blocker, narrow = difference(gaps.closed, kept), gaps.narrow
    room = room_inside(blocker, upper.distance_mm, ground.carried)
    filled = narrow.near(_worn(ground, room, upper), upper.distance_mm + gaps.min_gap_mm)
    filled |= narrow.inside(pieces_costing(kept, room.receding, upper.distance_mm, DEAR_TIMES))
    filled = narrow.lines_with(filled, LINE_FILLED)
    if not filled.any():
        return blocker, filled
    without, page = gaps.blocker(filled), frame_around(ground.silhouette, FRAME_MM)
    left_over = pieces_down_to(difference(page, blocker), difference(page, without), 1 - OPENING_FILLED)
    of_these = narrow.inside(left_over) & ~filled
    return (gaps.blocker(filled | of_these), filled | of_these) if of_these.any() else (without, filled)


def _spread(ground: _Ground, spread_mm: float) -> Region:
    """The art, with what prints above the blocker grown."""
    if ground.black.is_empty:
        return grow(ground.carried, spread_mm)
    return grow_part(ground.silhouette, ground.wide, spread_mm + GRID_MM)  # by which what has width was inset


def _closed(blocker: Region, gaps: Ridges, reach_mm: float, min_gap_mm: float) -> Region:
    """A blocker over all within reach of the ridges of gaps that is too narrow for its mesh: where no disc of the least
    gap fits beside it. So what the spread alone would leave of a gap closes, and its mouths end as round as that disc.
    """
    if not len(gaps.ends):
        return blocker
    within = swept(gaps, reach_mm)
    bare = difference(grow(within, ROOM_TIMES * min_gap_mm), blocker)
    return union([blocker, difference(within, opened(bare, min_gap_mm))])


def _worn(ground: _Ground, room: UpperRoom, upper: _Upper) -> Region:
    """What would recede to such room of lines that would get thinner than the least, lose their white or vanish by it,
    and of pieces that would lose too much; all that would recede, if none shall."""
    if room.receding.is_empty or not upper.recedes:
        return room.receding
    receded = room.parted(ground.carried)[1]
    thin = union(
        together(
            [
                partial(_whiteless, ground, room.receding, receded, upper),
                partial(_thin, room.receding, receded, upper),
                *(partial(_thin_lines, ink, room, upper) for ink in amid_others(ground.inks, ground.carried)),
            ]
        )
    )
    bold = apart_from(room.receding, thin)  # what goes with the thin comes back when its gap fills
    return gather([thin, touching(bold, pieces_losing(ground.carried, bold, WORTH_SHARE))])


def _thin(receding: Region, receded: Region, upper: _Upper) -> Region:
    """What of some art's receding parts belongs to lines that are too thin in what is left, the receded."""
    least_mm = max(upper.min_line_mm, WORN_SHARE * upper.distance_mm)
    core = thinned(inset(receded, least_mm / 2), least_mm * OPENING_TOLERANCE)
    sound = grow(core, least_mm / 2 + CORNERS * upper.distance_mm)
    return no_shorter(difference(receding, sound), SHORTEST_LOSS_MM)


def _thin_lines(amid: Region, room: UpperRoom, upper: _Upper) -> Region:
    """The same of one ink amid others: a line of it along another is as fine as one amid cloth."""
    line = touching(amid, room.receding)
    own = room.of(line)
    return _thin(own.receding, own.parted(line)[1], upper)


def _whiteless(ground: _Ground, receding: Region, receded: Region, upper: _Upper) -> Region:
    """The same of lines of colour that have white below them, and would have none in what is left."""
    if math.isinf(upper.white_line_mm):
        return EMPTY
    half_mm = upper.white_line_mm / 2
    before = difference(inset(touching(ground.carried, receding), half_mm), ground.white_art)
    after = thinned(inset(receded, half_mm), half_mm * OPENING_TOLERANCE)
    lost = no_shorter(difference(before, grow(after, CORNERS * upper.distance_mm)), SHORTEST_LOSS_MM)
    return touching(receding, grow(lost, half_mm + upper.distance_mm))
