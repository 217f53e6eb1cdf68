"""The white plate: under every colour, choked so that no white shows; at full size where the art is white."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from shapely.geometry.base import BaseGeometry

from vectorsep.geometry.boolean import covered, difference, intersection, not_inside, union
from vectorsep.geometry.crossings import without_lone_spots
from vectorsep.geometry.finish import finished
from vectorsep.geometry.graded import graded_inset
from vectorsep.geometry.measure import Strip, edge_outside
from vectorsep.geometry.near import stretches
from vectorsep.geometry.offset import grow, grow_lines, inset
from vectorsep.geometry.piecewise import in_halves
from vectorsep.geometry.region import EMPTY, GRID_MM, one_on_grid, shared_out, touching
from vectorsep.geometry.ridges import Ridges, put_together
from vectorsep.model import Region
from vectorsep.plates.roles import Roles
from vectorsep.plates.room import UpperRoom
from vectorsep.remember import remembered
from vectorsep.settings import Settings
from vectorsep.threads import together


@dataclass(frozen=True, slots=True)
class WhiteShape:
    """What the white covers, how much colour has none in all, and the ridges of what is too thin for a core: among it
    art that is white, which prints at full size, and what cores near by cover."""

    area: Region
    bare_mm2: float
    thin: Ridges

    def bare_lines(self) -> tuple[Strip, ...]:
        """The thin lines of colour that get no white."""
        return _outside(self.area, self.thin)


@remembered
def _outside(white: Region, thin: Ridges) -> tuple[Strip, ...]:
    return thin.where(~thin.inside(white)).strips()


@dataclass(frozen=True, slots=True)
class _Ground:
    """What white is laid for, cut to where upper ink may lie: all that it carries there, the white art among it, and of
    white art that has an edge of its own to the outside the colours that it meets, what of it meets these, and their
    edges to the outside."""

    carried: Region
    white_art: Region
    colours_beside: Region
    white_beside: Region
    own_edges: BaseGeometry


@dataclass(frozen=True, slots=True)
class _Choke:
    """How far white stays inside the art, at least on thin lines, and the thinnest line of it (mm)."""

    depth_mm: float
    least_mm: float
    line_mm: float


def shape_white(roles: Roles, room: UpperRoom, settings: Settings) -> WhiteShape:
    """Choke the area that carries ink, as one piece, so that nothing is choked where two inks meet.

    Carried is all art that prints above the blocker, white art included, or the white art alone where colours go
    without white. `room` is where upper ink may lie (mm), and so where the colours really end: the choke counts
    from there.
    Thin lines keep a core of white as long as the least choke allows one. Where lines that have none meet or bend,
    there is no bright dot either. White art is not choked: its own edge is what shows.
    """
    carried_inks = roles.carried if settings.white_under_colours else roles.white_art
    carried, white_art = (tuple(ink.area for ink in inks) for inks in (carried_inks, roles.white_art))
    choke = _Choke(settings.choke_mm, settings.min_choke_mm, settings.min_line_mm)
    shaping = [partial(_shaped, ground, choke) for ground in _grounds(carried, white_art, room)]
    return _put_together(tuple(together(shaping)))


@remembered
def _put_together(shapes: tuple[WhiteShape, ...]) -> WhiteShape:
    return WhiteShape(
        one_on_grid(shape.area for shape in shapes),
        sum(shape.bare_mm2 for shape in shapes),
        put_together([shape.thin for shape in shapes]),
    )


@remembered
def _shaped(ground: _Ground, choke: _Choke) -> WhiteShape:
    choked = graded_inset(ground.carried, choke.depth_mm, choke.line_mm, choke.least_mm)
    standing = not_inside(_standing(choked.kept, ground.white_art), choked.plain)
    white = union([choked.plain, standing, _beside_white_art(ground, choke.depth_mm)])
    white = without_lone_spots(white, ground.carried, choked.lost, choke.line_mm, choke.depth_mm, ground.white_art)
    return WhiteShape(finished(white), ground.carried.area - white.area, choked.lost)


@remembered
def _standing(cores: Region, white_art: Region) -> Region:
    """The white that stays where it is while the choke moves."""
    return union([cores, white_art])


@remembered
def _grounds(carried: tuple[Region, ...], white_art: tuple[Region, ...], room: UpperRoom) -> tuple[_Ground, ...]:
    """Whole pieces of what is carried, to be shaped by themselves: what was cut, which takes longest, and what was left
    as it is, whose white a new spread leaves; each in halves for two threads."""
    whole, cut = room.parted(covered(carried))
    parts = [half for part in (cut, whole) if not part.is_empty for half in in_halves(part)]
    whites = shared_out(room.cut(covered(white_art)), parts)
    return tuple(_ground(part, white) for part, white in zip(parts, whites, strict=True))


@remembered
def _ground(carried: Region, white_art: Region) -> _Ground:
    """What the choke does not change."""
    at_edge = touching(white_art, stretches(carried))
    if at_edge.is_empty:
        return _Ground(carried, white_art, EMPTY, EMPTY, EMPTY)
    colours = touching(difference(carried, white_art), at_edge)
    # Rounding leaves spikes of no width of it along colours that end flush with it: grown, they would hide their edges.
    white = grow(inset(at_edge, GRID_MM), 2 * GRID_MM)  # an edge cut anew may lie beside it by the last bit
    own_edges = edge_outside(touching(carried, at_edge), white)
    return _Ground(carried, white_art, colours, touching(at_edge, colours), own_edges)


def _beside_white_art(ground: _Ground, choke_mm: float) -> Region:
    """Colour next to white art, as far as the choke took its white for an edge that is the white art's own.

    Where thin white art lies between a colour and the outside, the plain inset would leave a slit without white
    between the two; only the colour's own edges to the outside need the choke.
    """
    if ground.white_beside.is_empty or choke_mm == 0:
        return EMPTY
    near_white = intersection(grow(ground.white_beside, choke_mm), ground.colours_beside)
    beside = difference(near_white, grow_lines(ground.own_edges, choke_mm))
    return touching(beside, ground.white_beside)  # what hangs on no white art would be a speck of its own
