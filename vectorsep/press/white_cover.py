"""How much colour has no white beneath it: measured on the plates, whoever made or edited them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.crossings import BEND_TIMES, without_spots_amid_more
from vectorsep.geometry.measure import is_measurable
from vectorsep.geometry.offset import inset_at_least, opened
from vectorsep.geometry.region import inner_point
from vectorsep.model import Plate, Point, Region
from vectorsep.settings import WIDEST_CHOKE_MM, Settings
from vectorsep.units import LEAST_SEEN_MM2

MOST_BARE_SHARE = 0.05
"""Away from its edges a plate as made lies on white altogether (measured on the demos: 0.0 %). A twentieth leaves room
for the retouching of films by hand; where more is bare, dye has another way through the print (our reading)."""
WIDEST_BARE_MM = 2.0
"""Nobody retouches so wide a spot away, however little of a large print it is: this is white that is gone (our
reading)."""
READING_MM = 0.02
"""How far the edges of films may be read and refitted from those of the plates, and twice as much to spare."""


@dataclass(frozen=True, slots=True)
class BareColour:
    """A plate of colour that lacks white: how much of it, as an area and as a share of what should lie on white."""

    plate: Plate
    bare_mm2: float
    share: float
    at_mm: Point | None


def bare_colours(plates: Sequence[Plate], settings: Settings) -> tuple[BareColour, ...]:
    """The colours (mm) that lack more white than their edges explain, in print order: more than a share of the plate,
    or a spot too wide for retouching.

    Near an edge of all colours together the choke keeps the white away, on thin lines as much as the least choke
    and half the thinnest white line, and colours may run over the black that a blocker prints. Deeper than that
    every colour should lie on white, but for spots where lines meet or bend that are too thin for any. Plates that
    cannot be measured are left to the check of the plates.
    """
    sound = [plate for plate in plates if is_measurable(plate.area) and plate.area.is_valid]
    colours = [plate for plate in sound if plate.role == "colour"]
    choke_mm = _choke_mm(settings)
    edge_mm = choke_mm + _trap_mm([plate.ink for plate in plates], settings) + READING_MM
    colour = union(plate.area for plate in colours)
    meeting_mm = BEND_TIMES * settings.white_line_mm / 2 - choke_mm + READING_MM
    deep = without_spots_amid_more(inset_at_least(colour, edge_mm), colour, settings.min_line_mm, meeting_mm)
    white = union(plate.area for plate in sound if plate.role == "white")
    bare = difference(deep, white)
    return () if bare.area < LEAST_SEEN_MM2 else tuple(_lacking(colours, deep, bare))


def _choke_mm(settings: Settings) -> float:
    """How far from the colours' edges a choke keeps the white."""
    return min(max(settings.choke_mm, settings.white_line_mm / 2), WIDEST_CHOKE_MM)


def _trap_mm(inks: Sequence[str], settings: Settings) -> float:
    """How much farther colours may run over what has no white. Traps into what has a plate lie on its white; of the
    others' names only the black is left, which the blocker prints."""
    own_mm = [pair.width_mm for pair in settings.traps if pair.into not in inks]
    return max([settings.trap_on_blocker_mm, *own_mm]) if settings.merge_black else 0.0


def _lacking(colours: Sequence[Plate], deep: Region, bare: Region) -> Iterator[BareColour]:
    wide = opened(bare, WIDEST_BARE_MM)
    for plate in colours:
        without = intersection(plate.area, bare)
        share = without.area / max(intersection(plate.area, deep).area, LEAST_SEEN_MM2)
        is_wide = intersection(plate.area, wide).area >= LEAST_SEEN_MM2
        if is_wide or (share > MOST_BARE_SHARE and without.area >= LEAST_SEEN_MM2):
            yield BareColour(plate, without.area, share, inner_point(without))
