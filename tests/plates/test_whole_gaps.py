"""Gaps and openings that fill: as wholes, or not at all. Against plain lengths and areas of boxes, and an opening by
the engine's own buffers."""

import pytest
import shapely
from shapely import LineString, affinity, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

RED, YELLOW, BLUE = "#c81e28", "#f0c81e", "#2040a0"
EDGE_MM = 0.012
"""Thinning, grid and chords of two edges, and what a buffer of the engine falls short by."""


def blocker_of(*shapes, **values):
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return make_stack(separate_inks(Artwork(40.0, 40.0, painted), settings), settings).plates[0].area


def outlined(tile, width):
    return (tile, BLUE), (tile.buffer(-width, join_style="mitre"), YELLOW)


@pytest.mark.parametrize("gap", [0.42, 0.5, 0.6, 0.7, 0.8])
@pytest.mark.parametrize("outline", [0.3, 0.5, 0.6, 0.7, 0.8, 1.0])
@pytest.mark.parametrize("turn", [0, 33])
def test_a_gap_between_outlined_tiles_fills_from_mouth_to_mouth_or_stays_open(outline, gap, turn):
    """At its ends the outlines' corners are bold: there it stayed open, in slots that took a bite out of them."""
    tiles = [affinity.rotate(box(x, 10, x + 5, 16), turn, origin=(15, 13)) for x in (10, 15 + gap)]
    blocker = blocker_of(*outlined(tiles[0], outline), *outlined(tiles[1], outline))
    amid = affinity.rotate(LineString([(15 + gap / 2, 10), (15 + gap / 2, 16)]), turn, origin=(15, 13))
    covered = amid.intersection(blocker).length / amid.length
    assert covered > 0.99 or covered == 0
    if covered:
        half, both = Settings().min_gap_mm / 2, shapely.union_all(tiles)
        closed = both.buffer(Settings().spread_mm + half, quad_segs=64).buffer(-half, quad_segs=64)
        assert closed.buffer(-EDGE_MM).difference(blocker).is_empty


def letter(arms, stem=1.0, arm=0.6):
    """A stem of 5 mm with arms of 2 mm."""
    return shapely.union_all([box(10, 10, 10 + stem, 15), *(box(10, y, 13, y + arm) for y in (10, 12.2, 14.4)[:arms])])


@pytest.mark.parametrize("arms", [0, 1, 2, 3])
@pytest.mark.parametrize("turn", [0, 33])
def test_a_letter_cut_out_of_a_colour_stays_open_as_a_whole_or_not_at_all(arms, turn):
    """Nothing recedes from the stem, which alone stayed open, but for where arms join it: dashes in a row of letters
    were all that was left to read."""
    cut = affinity.rotate(letter(arms), turn, origin=(12, 12))
    bare = cut.difference(blocker_of((box(4, 4, 20, 20).difference(cut), RED), fill_gaps=True))
    if arms:
        assert bare.is_empty
    else:
        assert bare.area == pytest.approx(
            0.4 * 4.6, rel=0.1
        )  # the least gap, as far as the spread leaves of its length


def test_an_opening_of_which_little_fills_keeps_the_rest():
    """A room of 4 mm with an arm that fills is no letter."""
    cut = box(10, 10, 14, 14) | box(14, 11, 17, 11.6)
    bare = cut.difference(blocker_of((box(4, 4, 22, 20).difference(cut), RED), fill_gaps=True))
    spread = Settings().spread_mm
    assert bare.area == pytest.approx((4 - 2 * spread) ** 2, rel=0.03)
    assert bare.bounds[2] < 14
