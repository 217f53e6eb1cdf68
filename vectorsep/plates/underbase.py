"""The white plate: under every colour, choked so that no white shows; at full size where the art is white."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, joined_coverage, union
from vectorsep.geometry.graded import graded_inset
from vectorsep.geometry.measure import Strip, edge_outside
from vectorsep.geometry.offset import grow, grow_lines
from vectorsep.geometry.region import EMPTY, touching
from vectorsep.model import Region
from vectorsep.plates.roles import Roles
from vectorsep.settings import Settings


@dataclass(frozen=True, slots=True)
class WhiteShape:
    """What the white covers, the thin lines of colour that get no white, and how much colour has none in all."""

    area: Region
    bare_lines: tuple[Strip, ...]
    bare_mm2: float


def shape_white(roles: Roles, keep_in: Region, settings: Settings) -> WhiteShape:
    """Choke the area that carries ink, as one piece, so that nothing is choked where two inks meet.

    Carried is all art that prints above the blocker, white art included, or the white art alone where colours go
    without white. `keep_in` is where upper ink may lie (mm), and so where the colours really end: the choke counts
    from there.
    Thin lines keep a core of white as long as the least choke allows one. White art is not choked: its own edge
    is what shows.
    """
    carried_inks = roles.carried if settings.white_under_colours else roles.white_art
    carried = intersection(joined_coverage([ink.area for ink in carried_inks]), keep_in)
    white_art = intersection(joined_coverage([ink.area for ink in roles.white_art]), keep_in)
    choked = graded_inset(carried, settings.choke_mm, settings.min_line_mm, settings.min_choke_mm)
    beside = _beside_white_art(carried, white_art, settings.choke_mm)
    white = union([choked.area, white_art, beside])
    bare = choked.lost.where(~choked.lost.inside(white_art)).strips()
    return WhiteShape(white, bare, carried.area - white.area)


def _beside_white_art(carried: Region, white_art: Region, choke_mm: float) -> Region:
    """Colour next to white art, as far as the choke took its white for an edge that is the white art's own.

    Where thin white art lies between a colour and the outside, the plain inset would leave a slit without white
    between the two; only the colour's own edges to the outside need the choke.
    """
    if white_art.is_empty or choke_mm == 0:
        return EMPTY
    colours = touching(difference(carried, white_art), white_art)
    white = touching(white_art, colours)
    own_edge = edge_outside(colours, white)
    return difference(intersection(grow(white, choke_mm), colours), grow_lines(own_edge, choke_mm))
