"""Narrow gaps, small dots and fine shadows, however they lie on the page and wherever their outlines start: against
plain buffers of the engine and areas known beforehand."""

import math
import re

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, Polygon, affinity, box

from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import make_stack
from vectorsep.settings import Settings

RED, YELLOW, BLUE, BLACK = "#c81e28", "#f0c81e", "#2040a0", "#101010"
EDGE_MM = 0.006
"""Thinning, grid and chords of two edges."""


def stack_of(*shapes, **values):
    settings = Settings(**values)
    painted = tuple(PaintedShape(area, hex_, Place("path")) for area, hex_ in shapes)
    return make_stack(separate_inks(Artwork(40.0, 40.0, painted), settings), settings)


def area_of(stack, role):
    return shapely.union_all([plate.area for plate in stack.plates if plate.role == role])


def polygon(middle, radius, corners, first=0.0):
    turn = 2 * math.pi * (np.arange(corners) + first) / corners
    return Polygon(np.c_[middle[0] + radius * np.cos(turn), middle[1] + radius * np.sin(turn)])


def restarted(shape, corner):
    return Polygon(np.roll(shapely.get_coordinates(shape)[:-1], corner, axis=0))


@pytest.mark.parametrize("spread", [0.2, 0.3, 0.4])
@pytest.mark.parametrize("gap", [0.3, 0.5, 0.65, 0.75, 0.85, 1.2])
@pytest.mark.parametrize("length", [1.5, 4])
def test_a_gap_that_fills_ends_at_its_mouth(spread, gap, length):
    """Its ridge runs on into the open: the blocker must not. It lies within spread and half a least gap of the art."""
    comb = shapely.union_all([box(x, 10, x + 0.2, 10 + length) for x in (10, 10.2 + gap, 10.4 + 2 * gap)])
    settings = {"spread_mm": spread, "clearance_mm": 0.15, "registration_mm": 0.15}
    stack = stack_of((comb, RED), **settings)
    beyond = area_of(stack, "blocker").difference(comb.buffer(spread + Settings().min_gap_mm / 2 + EDGE_MM))
    assert beyond.is_empty
    widest = 2 * spread + Settings().min_gap_mm  # what a gap may measure at a mouth before it counts as open
    for told in (notice.message for notice in stack.notices if notice.code == "gap-closes"):
        long, wide = (float(number) for number in re.findall(r"([\d.]+) mm", told))
        assert length - 0.1 <= long <= length + 2 * widest
        assert gap - 0.02 <= wide <= widest


@pytest.mark.parametrize(("tooth", "gap"), [(0.45, 0.5), (0.45, 0.7), (0.6, 0.7), (0.8, 0.5)])
def test_fine_teeth_on_a_bold_back_keep_their_ink(tooth, gap):
    """What is bold stands a corner's recession away from them, no farther: the gaps between the teeth fill."""
    teeth = [box(x, 12, x + tooth, 17) for x in (6 + i * (tooth + gap) for i in range(5))]
    art = shapely.union_all([box(5, 5, 25, 13), *teeth])
    assert art.difference(area_of(stack_of((art, RED)), "colour")).area < 0.02 * sum(one.area for one in teeth)


@pytest.mark.parametrize(
    ("wide", "white", "opens"),
    [(width, False, width >= 0.8) for width in (0.6, 0.72, 0.85, 1.2)]
    + [(width, True, width >= 1.025) for width in (0.72, 0.85, 1.0, 1.05, 1.2)],
)
def test_a_gap_opens_beside_an_arm_that_keeps_two_thirds_of_itself_and_its_white(wide, white, opens):
    """Beside a gap of 0.45 mm that stays open by 0.4, ink recedes by the clearance of 0.25 less 0.025: of 0.72 mm about
    0.47 would be left, of 0.85 about 0.6. White of 0.3 takes 0.8 of it, with a least choke of 0.25 on both sides. The
    arm hangs on bold art, which may recede."""
    arm = box(2, 12, 2 + wide, 30)
    beside = box(2 + wide + 0.45, 16, 30, 34)
    values = {} if white else {"blocker": "grey", "white_under_colours": False}
    stack = stack_of((box(2, 2, 30, 12) | arm, RED), (beside, BLUE), **values)
    across = LineString([(2 + wide, 24), (2 + wide + 0.45, 24)]).difference(area_of(stack, "blocker"))
    assert across.length == pytest.approx(0.4 if opens else 0, abs=2 * EDGE_MM)
    kept_mm = LineString([(2, 24), (2 + wide, 24)]).intersection(area_of(stack, "colour")).length
    assert kept_mm == pytest.approx(wide - (0.225 if opens else 0), abs=0.03)
    assert kept_mm >= 2 / 3 * wide


def grating(seed):
    """Bars that end on a line, with gaps too narrow to stay open, turned; and a square far off."""
    rng = np.random.default_rng(seed)
    pitch, share = rng.uniform(0.45, 0.6), rng.uniform(0.35, 0.5, 12)
    bars = [box(12 + i * pitch, 6, 12 + (i + share[i]) * pitch, 12) for i in range(12)]
    turned = affinity.rotate(shapely.union_all(bars), rng.choice([0, 45, rng.uniform(0, 180)]), origin=(15, 9))
    return turned | box(34, 33, 38, 38)


def kept_to_their_ends(bars, stack):
    whole = bars.difference(area_of(stack, "colour")).area < 0.005  # thinning, all along the bars
    around = shapely.buffer(bars, Settings().spread_mm - EDGE_MM)
    return whole and around.difference(area_of(stack, "blocker")).is_empty


@pytest.mark.parametrize("seed", range(12))
def test_bars_with_filled_gaps_between_them_keep_their_ends(seed):
    """No ridge runs askew out of the gaps' mouths and opens the blocker around the bars' corners."""
    bars = grating(seed)
    assert kept_to_their_ends(bars, stack_of((bars, RED)))


@pytest.mark.parametrize("apart", [1.3, 1.6, 2.0, 2.7])
@pytest.mark.parametrize("seed", range(4))
def test_so_do_bars_that_end_before_another_shape(seed, apart):
    """The open gap between bars and shape has no dents where the closed gaps meet it."""
    rng = np.random.default_rng(seed)
    pitch, share = rng.uniform(0.5, 0.6), rng.uniform(0.35, 0.5, 12)
    bars = shapely.union_all([box(12 + i * pitch, 10, 12 + (i + share[i]) * pitch, 14) for i in range(12)])
    stack = stack_of((bars, RED), (box(8, 14 + apart, 25, 20), YELLOW))
    assert kept_to_their_ends(bars, stack)


@pytest.mark.parametrize("apart", [1.3, 1.6, 2.0, 2.7, 3.4])
@pytest.mark.parametrize("gap", [0.2, 0.3])
@pytest.mark.parametrize("turn", [0, 23])
def test_so_do_bars_that_end_before_the_ends_of_others(gap, apart, turn):
    """Two mouths that face each other took half a millimetre off all four corners, those on the other side nothing."""
    row = shapely.union_all([box(i * (4 + gap), 0, i * (4 + gap) + 4, 5) for i in range(3)])
    both = row | affinity.translate(row, 0, 5 + apart)
    bars = affinity.rotate(affinity.translate(both, 10, 10), turn, origin=(18, 16))
    assert kept_to_their_ends(bars, stack_of((bars, RED)))


@pytest.mark.parametrize("gap", [0.5, 0.6, 0.7, 0.8])
@pytest.mark.parametrize("lean", [30, 45, 50])
@pytest.mark.parametrize("turn", [0, 23])
def test_an_open_gap_at_a_corner_opens_on_both_sides_as_wide_as_the_mesh_holds(gap, lean, turn):
    """A corner points at a wall: on its two sides the place widens faster than any that has a ridge."""
    wall = affinity.rotate(box(0, 0, 40, 6), turn, origin=(20, 20))
    tip = affinity.rotate(box(20, 6 + gap, 30, 16 + gap), lean, origin=(20, 6 + gap))
    tip = affinity.rotate(tip, turn, origin=(20, 20))
    blocker = area_of(stack_of((wall, RED), (tip, BLUE)), "blocker")
    cloth = shapely.box(5, 5, 35, 35).difference(blocker)
    along = shapely.get_parts(cloth.buffer(-0.47 * Settings().min_gap_mm))
    beside = affinity.rotate(Point(20, 6 + gap / 2), turn, origin=(20, 20)).buffer(2)
    assert sum(part.intersects(beside) for part in along) == 1


def test_the_gap_of_a_u_is_told_as_long_and_as_wide_as_it_is():
    u = Polygon([(10, 9), (11.25, 9), (11.25, 13), (11, 13), (11, 10), (10.25, 10), (10.25, 13), (10, 13)])
    stack = stack_of((u, "#607080"))
    assert area_of(stack, "blocker").bounds == pytest.approx((9.6, 8.6, 11.65, 13.4), abs=EDGE_MM)
    (told,) = [notice.message for notice in stack.notices if notice.code == "gap-closes"]
    long, wide = (float(number) for number in re.findall(r"([\d.]+) mm", told))
    assert long == pytest.approx(3 + 0.75, abs=0.2)  # a disc that fills it runs from end to end
    assert wide == pytest.approx(0.75, abs=0.05)


@pytest.mark.parametrize(("line", "gap"), [(0.15, 0.42), (0.15, 0.7), (0.2, 0.42), (0.25, 0.5), (0.3, 0.42)])
def test_a_gap_that_fills_beside_thin_black_ends_at_the_black(line, gap):
    """The black keeps its drawn edge on its far side too, but at its ends, where the gap has its mouths."""
    black = box(5, 10.5 + gap, 35, 10.5 + gap + line)
    blocker = area_of(stack_of((box(5, 10, 35, 10.5), RED), (black, BLACK), merge_black=True), "blocker")
    assert blocker.intersection(box(6.5, black.bounds[3] + EDGE_MM, 33.5, 16)).is_empty


@pytest.mark.parametrize("gap", [0.72, 0.8, 0.9, 1.0])
def test_no_thread_of_blocker_is_left_between_an_open_gap_and_black(gap):
    """Such a thread stood apart, with no art on it and a slit behind it that no mesh holds."""
    shapes = (box(5, 10, 15, 30), RED), (box(15 + gap, 10, 35, 30), BLACK)
    blocker = area_of(stack_of(*shapes, merge_black=True, spread_mm=0.7, min_gap_mm=0.3), "blocker")
    art = shapely.union_all([area for area, _ in shapes])
    assert all(shapely.intersects(piece, art) for piece in shapely.get_parts(blocker))
    across = LineString([(15, 20), (15 + gap, 20)]).difference(blocker)
    assert all(part.length >= 0.3 - EDGE_MM for part in shapely.get_parts(across))


HOOK = box(10, 10, 20, 20).difference(box(14, 14, 20, 20))
BESIDE_BLACK = {
    "straight": (box(5, 5, 25, 15), lambda gap: box(5, 15 + gap, 25, 25)),
    "around a disc": (
        Point(15, 15).buffer(9, quad_segs=64).difference(Point(15, 15).buffer(5, quad_segs=64)),
        lambda gap: Point(15, 15).buffer(5 - gap, quad_segs=64),
    ),
    "around a corner": (HOOK, lambda gap: box(14 + gap, 14 + gap, 20, 20)),
    "inside a corner": (box(14, 14, 20, 20), lambda gap: HOOK.difference(box(14 - gap, 14 - gap, 20, 20))),
    "widening": (box(5, 5, 25, 15), lambda gap: Polygon([(5, 15.41), (25, 15.41 + 2 * gap), (25, 25), (5, 25)])),
}
"""A colour, and the black that lies so far beside it."""


@pytest.mark.parametrize("gap", [0.42, 0.5, 0.6, 0.75, 0.8])
@pytest.mark.parametrize("shape", BESIDE_BLACK)
@pytest.mark.parametrize("turn", [0, 31.7])
def test_an_open_gap_beside_black_lies_against_its_drawn_edge(shape, gap, turn):
    """The black keeps its edge, so the colour's blocker comes as near to it as a least gap, and no nearer."""
    colour, beside = BESIDE_BLACK[shape]
    colour, black, inside = (affinity.rotate(area, turn, (15, 15)) for area in (colour, beside(gap), box(7, 7, 19, 19)))
    blocker = area_of(stack_of((colour, RED), (black, BLACK), merge_black=True), "blocker")
    open_gap = black.buffer(Settings().min_gap_mm, quad_segs=64)
    due = shapely.union_all([black, colour, colour.buffer(Settings().spread_mm, quad_segs=64).difference(open_gap)])
    assert blocker.symmetric_difference(due).intersection(inside).buffer(-EDGE_MM / 2).is_empty


def test_colour_that_need_not_recede_from_black_does_not():
    """A least gap and the colour's clearance are 0.65 mm, and films may lose a few hundredths."""
    red = box(5, 5, 35, 15)
    stack = stack_of((red, RED), (box(5, 15.7, 35, 25), BLACK), merge_black=True, fill_gaps=False)
    assert red.difference(area_of(stack, "colour")).area < 1e-3


@pytest.mark.parametrize("line", [0.05, 0.1, 0.2])
def test_colour_inside_a_thin_black_outline_pays_no_more_for_a_gap_than_colour_beyond(line):
    """Its blocker stands out past the black as well, which so is no wall that keeps its edge."""
    blue, yellow = box(10, 20, 25, 40), box(25.7 + line, 20, 40, 40)
    outline = blue.buffer(line, join_style="mitre")
    stack = stack_of((outline, BLACK), (blue, BLUE), (yellow, YELLOW), merge_black=True, fill_gaps=False)
    colours = shapely.union_all([plate.area for plate in stack.plates if plate.role == "colour"])
    within = box(10.5, 20.5, 39.5, 39.5)
    lost = [area.intersection(within).difference(colours).area for area in (blue, yellow)]
    assert lost[0] == pytest.approx(lost[1], abs=0.1)


def test_a_gap_that_widens_beside_thin_black_leaves_no_tongue_of_blocker():
    blue, other = box(10, 20, 50, 40), Polygon([(10, 20), (50, 10), (10, 10)])
    outline = blue.buffer(0.1, join_style="mitre")
    stack = stack_of((outline, BLACK), (blue, BLUE), (other, YELLOW), merge_black=True, spread_mm=0.8, fill_gaps=False)
    bare = box(5, 5, 60, 45).difference(area_of(stack, "blocker"))
    between = box(12, 11, 45, 20).intersection(bare)
    assert len(shapely.get_parts(between)) == 1
    assert between.buffer(0.15).buffer(-0.15).difference(between).area < 0.01


@pytest.mark.parametrize("gap", [0.5, 0.6, 0.7, 0.8])
@pytest.mark.parametrize("quarter", [4, 64])
def test_an_open_gap_between_two_black_outlines_leans_on_neither(gap, quarter):
    """The blocker of what they enclose stands out past both, as far on one side as on the other."""
    left = [
        (Point(15 - 7.15 - gap / 2, 15).buffer(size, quad_segs=quarter), ink) for size, ink in ((7.15, BLACK), (7, RED))
    ]
    right = [(affinity.scale(area, -1, 1, origin=(15, 15)), ink) for area, ink in left]
    blocker = area_of(stack_of(*left, *right, merge_black=True), "blocker")
    across = shapely.intersection(box(10, 11, 20, 19), blocker)
    assert across.symmetric_difference(affinity.scale(across, -1, 1, origin=(15, 15))).buffer(-EDGE_MM).is_empty


def test_no_blocker_is_laid_apart_from_all_art():
    flat, slope = box(10, 30, 20, 30.6), Polygon([(10, 29.991), (20, 29.4), (20, 28.8), (10, 29.391)])
    for min_gap in (0.3, 0.4):
        stack = stack_of((flat, BLUE), (slope, BLUE), spread_mm=0.2, min_gap_mm=min_gap)
        assert len(shapely.get_parts(area_of(stack, "blocker"))) == 1


@pytest.mark.parametrize("width", [0.4, 0.41, 0.42])
def test_a_crossing_of_gaps_that_stays_open_is_not_told_as_closed(width):
    half = width / 2
    cross = shapely.union_all([box(15 - half, 8, 15 + half, 22), box(8, 15 - half, 22, 15 + half)])
    stack = stack_of((box(5, 5, 25, 25).difference(cross), RED))
    assert cross.intersection(area_of(stack, "blocker")).area < 0.1 * cross.area
    assert not [notice for notice in stack.notices if notice.code == "gap-closes"]


@pytest.mark.parametrize("shift", [0.02, 0.03, 0.05])
def test_a_notch_closes_without_a_blob_past_the_tips_beside_it(shift):
    wedge = Polygon([(5, 10), (20, 11), (5, 12)])
    shapes = (affinity.translate(wedge, shift, shift), BLUE), (wedge, BLACK)
    blocker = area_of(stack_of(*shapes, spread_mm=0.0), "blocker")
    assert blocker.difference(shapely.union_all([area for area, _ in shapes]).convex_hull.buffer(EDGE_MM)).is_empty


def closed_by_a_disc(art, spread, width):
    """What no disc of the width reaches that stays out of the grown art: the engine's plain buffers."""
    return art.buffer(spread + width / 2, quad_segs=64).buffer(-width / 2, quad_segs=64)


@pytest.mark.parametrize("spread", [0.2, 0.3, 0.4])
@pytest.mark.parametrize("gap", [0.42, 0.5, 0.65, 0.8, 0.85])
@pytest.mark.parametrize("turn", [0, 27.3])
def test_a_filled_gap_ends_as_round_as_the_least_gap(spread, gap, turn):
    """Neither with a tab past the walls' grown outlines nor with a notch between them."""
    bars = shapely.union_all([box(10 + i * (3 + gap), 10, 13 + i * (3 + gap), 14) for i in range(3)])
    art, least = affinity.rotate(bars, turn, origin=(10, 10)), Settings().min_gap_mm
    stack = stack_of((art, RED), spread_mm=spread, registration_mm=spread - 0.05, fill_gaps=True)
    blocker = affinity.rotate(area_of(stack, "blocker"), -turn, origin=(10, 10))
    if gap >= 2 * (spread - 0.05) + least:  # nothing recedes from it, so there is nothing to fill it for
        assert not blocker.intersects(LineString([(13 + gap / 2, 10), (13 + gap / 2, 14)]))
    else:
        closed = closed_by_a_disc(bars, spread, least)
        assert shapely.hausdorff_distance(blocker.boundary, closed.boundary, densify=0.1) < 2 * EDGE_MM
        # A disc that rests on both corners, grown: its middle is a leg of a right triangle past the mouth.
        ends_at = 14 + math.sqrt((spread + least / 2) ** 2 - (gap / 2) ** 2) - least / 2
        along = LineString([(13 + gap / 2, 12), (13 + gap / 2, 16)])
        assert along.intersection(blocker).bounds[3] == pytest.approx(ends_at, abs=2 * EDGE_MM)


@pytest.mark.parametrize("radius", [0.3, 0.5, 0.8])
@pytest.mark.parametrize("gap", [0.45, 0.6, 0.8, 0.85])
@pytest.mark.parametrize("lean", [0.0, 0.5])
def test_filled_gaps_between_dots_leave_no_notches(radius, gap, lean):
    pitch = 2 * radius + gap
    dots = [
        Point(10 + (i + lean * (j % 2)) * pitch, 10 + j * pitch * math.sqrt(1 - lean**2)).buffer(radius)
        for i in range(4)
        for j in range(4)
    ]
    art, settings = shapely.union_all(dots), Settings(fill_gaps=True)
    blocker = area_of(stack_of((art, RED), fill_gaps=True), "blocker")
    closed = closed_by_a_disc(art, settings.spread_mm, settings.min_gap_mm)
    dots_mm2 = 3 * math.pi * (settings.min_gap_mm / 2) ** 2  # nobody drew an opening amid four dots that is no larger
    amid = [Polygon(hole) for piece in shapely.get_parts(closed) for hole in piece.interiors]
    closed = shapely.union_all([closed, *(hole for hole in amid if hole.area < dots_mm2)])
    assert shapely.hausdorff_distance(blocker.boundary, closed.boundary) < 2 * EDGE_MM


@pytest.mark.parametrize(
    ("radius", "corners", "choke"), [(0.6, 48, 0.5), (0.64, 40, 0.5), (0.85, 48, 1.0), (0.41, 64, 0.3)]
)
def test_a_dot_keeps_its_white_wherever_it_lies_and_starts(radius, corners, choke):
    """A disc of half the least line fits inside the least choke, so the white holds one, or what the choke leaves."""
    least = Settings().min_line_mm / 2
    for place in range(8):
        dot = restarted(polygon((10 + 0.37 * place, 12 + 0.73 * place), radius, corners, place / 7), 5 * place)
        white = area_of(stack_of((dot, RED), choke_mm=choke), "white")
        assert white.area >= math.pi * (0.99 * max(least, radius - choke)) ** 2 * 0.98
        assert white.distance(dot.boundary) >= Settings().min_choke_mm - EDGE_MM


@pytest.mark.parametrize("arms", [0, 1, 2, 3, 5])
def test_a_hub_keeps_its_white_with_any_number_of_thin_arms(arms):
    turns = [2 * math.pi * arm / arms + 0.3 for arm in range(arms)]
    lines = [LineString([(10, 10), (10 + 4 * math.cos(turn), 10 + 4 * math.sin(turn))]).buffer(0.1) for turn in turns]
    hub = shapely.union_all([Point(10, 10).buffer(0.62), *lines])
    white = area_of(stack_of((hub, RED), choke_mm=0.5), "white")
    assert white.intersection(Point(10, 10).buffer(0.3)).area >= 0.06


@pytest.mark.parametrize("radius", [0.38, 0.45, 0.5, 0.55, 0.58, 0.7, 1.0])
def test_a_round_opening_stays_open_wherever_its_outline_starts(radius):
    """With a least gap of 0.4 and a spread of 0.4; what the spread leaves of it is open too."""
    least = Settings().min_gap_mm / 2
    for place in range(8):
        hole = restarted(polygon((15, 15), radius, 48), 6 * place)
        opening = hole.difference(area_of(stack_of((box(9, 9, 21, 21).difference(hole), RED)), "blocker"))
        assert opening.area >= 0.97 * math.pi * max(least, radius - Settings().spread_mm) ** 2


@pytest.mark.parametrize("turn", range(0, 360, 24))
def test_a_shadow_gets_its_trap_however_it_lies(turn):
    """A triangle over its copy. The trap is the border grown, within the triangle above: at least nine tenths of it.
    Where the copy peeps out by less than a hairline, as it does along a side at four of the turns, it is no ink that
    could be trapped: there is none."""
    under = affinity.rotate(Polygon([(17.2, 13.9), (8.7, 21.8), (13.1, 11.4)]), 1.3 * turn, origin=(15, 15))
    over = affinity.translate(under, 0.1, -0.2)
    stack = stack_of((under, YELLOW), (over, BLACK))
    seen = under.difference(over)
    printed = seen.buffer(-HAIRLINE_MM / 2).buffer(HAIRLINE_MM / 2 + 1e-3)
    trap = next(plate.area for plate in stack.plates if plate.hex == YELLOW).difference(seen)
    border = over.boundary.intersection(printed).difference(under.boundary.buffer(1e-6))
    due = border.buffer(0.9 * Settings().trap_mm, cap_style="flat").intersection(over.buffer(-0.5).buffer(0.5))
    assert due.area > 0.5
    assert due.difference(trap.union(seen).buffer(EDGE_MM)).area < 0.1 * due.area
    assert trap.difference(border.buffer(Settings().trap_mm + EDGE_MM)).area < 0.02


@pytest.mark.parametrize("turn", range(0, 90, 6))
def test_a_flush_bar_gets_its_trap_along_what_is_seen_alone(turn):
    under, over = (affinity.rotate(box(5, y, 15, y + 4), turn, origin=(15, 15)) for y in (10, 10.2))
    plates = {plate.hex: plate.area for plate in stack_of((under, YELLOW), (over, BLACK)).plates}
    trap = plates[YELLOW].difference(under.difference(over))
    assert trap.area == pytest.approx(10 * Settings().trap_mm, abs=0.02)


@pytest.mark.parametrize("spread", [0.0, 0.05, 0.1])
def test_an_ink_that_is_lost_whole_is_told(spread):
    shapes = (box(5, 5, 15, 15), BLUE), (Point(20, 10).buffer(0.12), RED)
    stack = stack_of(*shapes, spread_mm=spread)
    assert RED not in {plate.hex for plate in stack.plates}
    (told,) = [notice for notice in stack.notices if notice.code == "ink-lost"]
    assert told.severity == "warning"
    assert Point(20, 10).buffer(0.12).contains(Point(told.at_mm))
    assert not [notice for notice in stack_of(*shapes, spread_mm=0.4).notices if notice.code == "ink-lost"]


def tiles(gap, turn=0.0, size=5):
    """Sixteen tiles with one gap between all of them, and the nine places where gaps cross."""
    pitch = size + gap
    squares = [box(x * pitch, y * pitch, x * pitch + size, y * pitch + size) for x in range(4) for y in range(4)]
    crossings = [Point(x * pitch - gap / 2, y * pitch - gap / 2) for x in (1, 2, 3) for y in (1, 2, 3)]
    on_page = (affinity.translate(shape, 9, 9) for shape in (shapely.union_all(squares), shapely.union_all(crossings)))
    return [affinity.rotate(shape, turn, origin=(20, 20)) for shape in on_page]


@pytest.mark.parametrize("turn", [0, 17, 45])
@pytest.mark.parametrize("gap", [0.25, 0.3, 0.35, 0.39])
def test_no_dot_opens_where_gaps_cross_that_close(gap, turn):
    """At a crossing of 0.3 mm fits a disc of 0.42 mm: four tiles lost their corners for it, at each of nine."""
    art, crossings = tiles(gap, turn)
    stack = stack_of((art, RED))
    assert not [hole for piece in shapely.get_parts(area_of(stack, "blocker")) for hole in piece.interiors]
    lost = art.difference(area_of(stack, "colour")).buffer(-EDGE_MM)
    assert lost.intersection(crossings.buffer(2)).is_empty


@pytest.mark.parametrize("gap", [0.45, 0.8])
def test_crossings_of_gaps_that_stay_open_do_so_too(gap):
    art, crossings = tiles(gap, size=14)
    assert not shapely.intersects(area_of(stack_of((art, RED)), "blocker"), crossings)


def test_a_small_opening_that_was_drawn_stays():
    art = box(10, 10, 30, 30).difference(Point(20, 20).buffer(0.38, quad_segs=32))
    assert not shapely.intersects(area_of(stack_of((art, RED)), "blocker"), Point(20, 20))


@pytest.mark.parametrize("seed", range(3))
def test_a_blocker_that_neither_spreads_nor_keeps_a_gap_open_is_the_art(seed):
    bars = grating(seed)
    blocker = area_of(stack_of((bars, RED), spread_mm=0, min_gap_mm=0, clearance_mm=0), "blocker")
    assert shapely.hausdorff_distance(blocker.boundary, bars.boundary) < EDGE_MM
    assert blocker.symmetric_difference(bars).area < EDGE_MM * bars.length / 100  # half a step of the grid


def test_a_gap_beside_two_bold_inks_is_held_against_neither_for_what_the_other_loses():
    """Both recede from it, and each for itself has enough to lose."""
    red, yellow, blue = (box(5, 5, 35, 15), RED), (box(5, 15.8, 20, 30), YELLOW), (box(20, 15.8, 35, 30), BLUE)
    blocker = area_of(stack_of(red, yellow, blue), "blocker")
    assert not blocker.intersects(LineString([(8, 15.4), (32, 15.4)]))


@pytest.mark.parametrize("outline", [0.22, 0.4, 0.6])
@pytest.mark.parametrize("outer", [RED, "#ffffff"])
def test_a_thin_outline_of_bold_art_does_not_vanish_along_a_gap(outline, outer):
    """For a gap of 0.6 mm that stays open art recedes by 0.17 mm: of bold art little, of an outline of 0.22 mm most."""
    tiles = [box(5, 5, 15, 15), box(15.6, 5, 25, 15)]
    inner = [(tile.buffer(-outline, join_style="mitre"), BLUE) for tile in tiles]
    stack = stack_of(*((tile, outer) for tile in tiles), *inner)
    printed = shapely.union_all([plate.area for plate in stack.plates if plate.hex == outer])
    for inside, edge in ((15, -1), (15.6, 1)):
        line = LineString([(inside, 10), (inside + edge * outline, 10)])
        assert line.difference(printed).length < 2 * EDGE_MM


@pytest.mark.parametrize("stripe", [0.7, 2.5])
def test_stripes_that_end_at_a_gap_are_no_lines_along_it(stripe):
    """The gap stays open: each stripe loses no more than its end."""
    stripes = [(box(5, y, 15, y + stripe), RED if i % 2 else BLUE) for i, y in enumerate(np.arange(5, 12, stripe))]
    stack = stack_of(*stripes, (box(15.6, 3, 25, 15), YELLOW))
    across = LineString([(15, 9), (15.6, 9)]).difference(area_of(stack, "blocker"))
    assert across.length == pytest.approx(Settings().min_gap_mm, abs=2 * EDGE_MM)
