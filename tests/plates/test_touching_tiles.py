"""Tiles that touch by an edge or by a corner alone, but for a rounding, and walls that face each other for a known
length. Against plain boxes, their insets, and lengths worked out by hand."""

import math
import re

import pytest
from shapely import Point, affinity, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

BLACK, RED, BLUE, YELLOW = "#141414", "#c81e28", "#1f3f95", "#f2b632"
ROUNDING_MM = [0.0, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4]


def stack_of(*shapes, **values):
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return make_stack(separate_inks(Artwork(20.0, 20.0, painted), settings), settings)


@pytest.mark.parametrize("apart_mm", ROUNDING_MM)
def test_tiles_on_black_that_are_a_rounding_apart_have_white_and_trap_as_if_they_touched(apart_mm):
    """A line of the black finer than ten nanometres stayed between them: white was choked along it and nothing ran
    under."""
    tiles = (box(5, 5, 15, 10), RED), (box(5, 10 + apart_mm, 15, 15), BLUE)
    _, white, *colours = stack_of((box(2, 2, 18, 18), BLACK), *tiles, merge_black=True).plates
    assert white.area.area == pytest.approx(9.4**2, abs=0.05)
    over = colours[0].area.intersection(colours[1].area)
    assert over.area == pytest.approx(10 * Settings().trap_mm, rel=0.02)


def told_gaps(stack):
    """Length and width (mm) of each gap that is told to close, and whether shapes were meant to meet there."""
    closed = [re.search(r": ([\d.]+) mm long, ([\d.]+) mm wide", n.message) for n in stack.notices if "gap-c" in n.code]
    return [(float(gap[1]), float(gap[2])) for gap in closed], any(n.code == "gap-slips" for n in stack.notices)


@pytest.mark.parametrize("apart_mm", [*ROUNDING_MM, 0.01, 0.05])
def test_no_gap_is_told_where_tiles_touch_by_a_corner(apart_mm):
    stack = stack_of((box(5, 5, 9, 9), RED), (box(9 + apart_mm, 9, 13 + apart_mm, 13), RED))
    assert told_gaps(stack) == ([], False)


@pytest.mark.parametrize("wide_mm", [0.05, 0.1])
@pytest.mark.parametrize("facing_mm", [0.1, 1.0, 3.0, 4.7])
def test_a_gap_is_as_long_as_its_walls_face_each_other(facing_mm, wide_mm):
    """Half its width more at each end, for a disc that fills it, and as much again until the wall opposite is half as
    far again. It ran on along one wall by up to 0.6 mm."""
    stack = stack_of((box(4, 4, 9, 9), RED), (box(9 + wide_mm, 9 - facing_mm, 14 + wide_mm, 14 - facing_mm), RED))
    gaps, _ = told_gaps(stack)
    told = [(facing_mm + wide_mm, wide_mm)] if facing_mm > 0.5 else []  # shorter ones are not told
    assert gaps == [pytest.approx(gap, abs=0.15) for gap in told]


@pytest.mark.parametrize("ground", [BLUE, BLACK])
def test_a_ring_flush_with_the_disc_below_it_has_its_trap_once(ground):
    """Between the chords of both dozens of crumbs of the disc were left, and each had a trap of its own."""
    disc, flush = Point(10, 10).buffer(5, quad_segs=60), Point(10, 10).buffer(5, quad_segs=49)
    ring = flush.difference(Point(10, 10).buffer(3.8, quad_segs=60))
    yellow = stack_of((box(1, 1, 19, 19), ground), (disc, YELLOW), (ring, BLUE)).plates[2]
    assert yellow.area.area == pytest.approx(math.pi * (3.8 + Settings().trap_mm) ** 2, rel=0.005)


@pytest.mark.parametrize("hexes", [(RED, RED), (RED, BLUE)])
@pytest.mark.parametrize("turn_deg", range(0, 90, 3))
def test_unlike_tiles_have_white_across_their_common_edge_however_they_are_turned(hexes, turn_deg):
    """The corner of the shorter one lies on the edge of the longer, by a last bit beside it as a rule: a gap without
    area, open to the cloth, stayed between the two, and white was choked on both sides of it."""
    tiles = box(8, 8, 12, 14), box(2, 8, 8, 16)
    shapes = [(affinity.rotate(tile, turn_deg, origin=(10, 10)), hex_) for tile, hex_ in zip(tiles, hexes, strict=True)]
    areas = [plate.area for plate in stack_of(*shapes).plates if plate.role == "white"]
    choke_mm = Settings().choke_mm
    inside = box(2, 8, 8, 16).union(box(7, 8, 12, 14)).buffer(-choke_mm, join_style="mitre")
    assert [area.area for area in areas] == [pytest.approx(inside.area, abs=0.06)]  # the inner corner is round
