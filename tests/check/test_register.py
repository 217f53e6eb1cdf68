"""Plates out of register, against areas that elementary geometry gives, and against a second geometry engine."""

import math
import time

import numpy as np
import pytest
import shapely
from handmade import blob, plate, square
from second_engine import difference_mm2
from shapely import affinity

from vectorsep.check.clearance import measure_clearance
from vectorsep.check.mishaps import register_findings
from vectorsep.check.register import DIRECTIONS, moves_of, register_cases
from vectorsep.check.stack import measure_stack
from vectorsep.settings import Settings

CLOSE = 1e-6
BLOCKER = plate("blocker", square(20))
E = 0.25


def case(cases, kind, ink):
    (found,) = [one for one in cases if one.kind == kind and one.plate.ink == ink]
    return found


def past_a_corner(side, margin, shift):
    """Area that a square with this margin on all sides pushes over the edges, when shifted by a vector."""
    over = [max(0.0, abs(step) - margin) for step in shift]
    return side * (over[0] + over[1]) - over[0] * over[1]


@pytest.mark.parametrize("margin", [0.0, 0.05, 0.1, 0.2])
def test_ink_on_cloth_of_a_square_in_a_square(margin):
    side = 20 - 2 * margin
    upper = plate("colour", square(side), "red")
    worst = case(register_cases([BLOCKER, upper], BLOCKER, Settings()), "ink-on-cloth", "red")
    shifts = [move.shift_mm for move in moves_of(BLOCKER, Settings())]
    assert worst.area_mm2 == pytest.approx(max(past_a_corner(side, margin, shift) for shift in shifts), abs=CLOSE)
    assert math.hypot(*worst.shift_mm) == pytest.approx(E)
    moved = affinity.translate(upper.area, *worst.shift_mm)
    assert moved.buffer(1e-9).contains(shapely.Point(worst.at_mm)) and not square(20).contains(
        shapely.Point(worst.at_mm)
    )


@pytest.mark.parametrize("margin", [0.25, 0.3])
def test_a_square_that_keeps_the_tolerance_never_meets_cloth(margin):
    upper = plate("colour", square(20 - 2 * margin), "red")
    (worst,) = register_cases([BLOCKER, upper], BLOCKER, Settings())
    assert worst.area_mm2 == 0 and worst.at_mm is None


def test_sixteen_shifts_of_the_whole_tolerance_and_a_turn_each_way():
    moves = moves_of(BLOCKER, Settings())
    shifts = np.array([move.shift_mm for move in moves[:DIRECTIONS]])
    assert np.hypot(*shifts.T) == pytest.approx(E)
    assert np.sort(np.degrees(np.arctan2(shifts[:, 1], shifts[:, 0])) % 360) == pytest.approx(np.arange(16) * 22.5)
    assert [move.turn_deg for move in moves[DIRECTIONS:]] == [moves[-2].turn_deg, -moves[-2].turn_deg]


def test_a_turn_not_known_moves_the_farthest_corner_by_the_tolerance():
    turn = moves_of(BLOCKER, Settings(), page_centre_mm=(3.0, -2.0))[-2]
    corner = shapely.Point(-10, 10)
    assert turn.of(corner.buffer(1e-3)).centroid.distance(corner) == pytest.approx(E, rel=1e-6)


@pytest.mark.parametrize("side", [0.1, 1.0])
def test_a_speck_turns_no_farther_than_a_plate_can(side):
    """By the tolerance of 0.25 mm one would be turned by 20 degrees, the other cannot be moved so far at all; 5 is what
    pins let through."""
    moves = moves_of(plate("blocker", square(side), "blocker"), Settings())
    assert [abs(move.turn_deg) for move in moves[DIRECTIONS:]] == [5.0, 5.0]


def test_a_set_turn_may_ask_for_more_than_the_tolerance_and_makes_the_stack_unsafe():
    # A corner 14 mm out moves by 14 mm x 2 sin(2 degrees / 2) = 0.49 mm.
    upper = plate("colour", square(20 - 2 * 0.3), "red")
    assert measure_stack([BLOCKER, upper], Settings()).safe
    check = measure_stack([BLOCKER, upper], Settings(turn_deg=2.0))
    assert [(finding.code, finding.plate) for finding in check.findings] == [("ink-on-cloth", "red")]
    assert not check.safe and check.findings[0].message.startswith("turned by 2 degrees clockwise, ")
    # The corner of a square turned in a larger one: a triangle past each of the four sides.
    half, turn = 9.7, math.radians(2.0)
    over = half * (math.cos(turn) + math.sin(turn)) - 10
    triangle = over**2 / 2 * (math.tan(turn) + 1 / math.tan(turn))
    assert case(check.register, "ink-on-cloth", "red").area_mm2 == pytest.approx(4 * triangle, abs=CLOSE)


def test_ink_that_a_turn_takes_from_one_dot_of_the_blocker_to_the_next_lies_on_cloth_between_them():
    """A circle of 120 dots: turned by 3 degrees each lies on its neighbour's blocker, by half of that all lie bare."""
    places = [(60 * math.cos(angle), 60 * math.sin(angle)) for angle in np.arange(120) * math.radians(3.0)]
    dots, wider = (shapely.union_all(shapely.buffer(shapely.points(places), radius)) for radius in (0.5, 1.0))
    blocker, white = plate("blocker", wider), plate("white", dots)
    assert affinity.rotate(dots, 3.0, origin=(0, 0)).difference(wider).area < 1e-6 * dots.area
    assert not measure_stack([blocker, white], Settings(turn_deg=3.0)).safe
    (found, _) = register_cases([blocker, white], blocker, Settings(turn_deg=3.0))
    turned = affinity.rotate(dots, found.turn_deg, origin=found.about_mm)
    assert found.area_mm2 == pytest.approx(turned.difference(wider).area, rel=1e-6)
    assert found.area_mm2 == pytest.approx(dots.area, rel=0.02)


def test_a_small_set_turn_never_makes_a_short_clearance_safe():
    upper = plate("colour", square(20 - 2 * 0.2), "red")
    assert not measure_stack([BLOCKER, upper], Settings(turn_deg=0.001)).safe


def test_a_disc_about_the_page_centre_does_not_care_for_turns():
    upper = plate("colour", shapely.Point(0, 0).buffer(5, quad_segs=90), "red")
    around = plate("blocker", shapely.Point(0, 0).buffer(5.3, quad_segs=90))
    (worst,) = register_cases([around, upper], around, Settings(turn_deg=5.0))
    assert worst.area_mm2 == 0


@pytest.mark.parametrize("trap", [0.0, 0.1, 0.2, 0.25, 0.4])
def test_gap_between_two_colours_is_the_border_times_what_the_trap_lacks(trap):
    left, right = (
        plate("colour", shapely.box(-6, -4, trap, 4), "yellow"),
        plate("colour", shapely.box(0, -4, 6, 4), "red"),
    )
    cases = register_cases([BLOCKER, left, right], BLOCKER, Settings())
    for ink, towards in (("yellow", -1), ("red", 1)):
        worst = case(cases, "gap-opens", ink)
        assert worst.area_mm2 == pytest.approx(8 * max(0.0, E - trap), abs=CLOSE)
        if trap < E:
            assert worst.shift_mm == pytest.approx((towards * E, 0), abs=CLOSE)


def test_the_outer_edge_of_the_art_is_no_gap():
    alone = [plate("colour", square(4, -4, 0), "yellow"), plate("colour", square(4, 4, 0), "red")]
    cases = register_cases([BLOCKER, *alone], BLOCKER, Settings())
    assert {one.area_mm2 for one in cases} == {0}


@pytest.mark.parametrize("choke", [0.0, 0.1, 0.2, 0.25, 0.3])
def test_white_shows_by_what_the_choke_lacks(choke):
    white = plate("white", square(8 - 2 * choke))
    cases = register_cases([BLOCKER, white, plate("colour", square(8), "red")], BLOCKER, Settings())
    shifts = [move.shift_mm for move in moves_of(BLOCKER, Settings())]
    expected = max(past_a_corner(8 - 2 * choke, choke, shift) for shift in shifts)
    assert case(cases, "white-shows", "white").area_mm2 == pytest.approx(expected, abs=CLOSE)


def test_white_under_colour_may_slide_onto_white_art():
    """White art beside red, white running under the red as one piece. Sliding left, it comes to lie on white art;
    only where the border ends can a corner of it come out sideways, widest at 45 degrees."""
    white = plate("white", shapely.box(-4, -2, 3.6, 2))
    red = plate("colour", shapely.box(0, -2.4, 4, 2.4), "red")
    cases = register_cases([BLOCKER, white, red], BLOCKER, Settings())
    assert case(cases, "white-shows", "white").area_mm2 == pytest.approx(E**2 / 2, abs=CLOSE)


def test_findings_name_plate_and_place_and_leave_out_what_no_eye_finds():
    red, yellow = plate("colour", shapely.box(0, -4, 6, 4), "red"), plate("colour", shapely.box(-6, -4, 0, 4), "yellow")
    found = list(register_findings(register_cases([BLOCKER, yellow, red], BLOCKER, Settings()), [], Settings()))
    assert [(finding.code, finding.severity, finding.plate) for finding in found] == [
        ("gap-opens", "warning", "yellow"),
        ("gap-opens", "warning", "red"),
    ]
    assert all(abs(finding.at_mm[0]) < E and abs(finding.at_mm[1]) < 4 for finding in found)
    # Eight millimetres of a gap 0.04 wide: 0.32 mm2, but narrower than an eye finds; at 0.06 it is told.
    for tolerance, told in ((0.04, 0), (0.06, 2)):
        cases = register_cases([BLOCKER, yellow, red], BLOCKER, Settings(registration_mm=tolerance))
        assert len(list(register_findings(cases, [], Settings()))) == told
    # A spot of 0.1 mm2 is what an eye finds: a gap as wide as the tolerance, 0.25 mm, and 0.32 or 0.48 mm long.
    for long_mm, told in ((0.32, 0), (0.48, 2)):
        short = [plate("colour", shapely.box(x, 0, x + 6, long_mm), f"colour {x}") for x in (-6, 0)]
        cases = register_cases([BLOCKER, *short], BLOCKER, Settings())
        assert len(list(register_findings(cases, [], Settings()))) == told


@pytest.mark.parametrize("seed", range(6))
def test_areas_agree_with_a_second_engine(seed):
    """Every case of three blobs on a blocker too tight for them, its area recomputed by Clipper."""
    rng = np.random.default_rng(seed)
    one, two = blob(rng, -5), blob(rng, 5)
    blocker = plate("blocker", one.union(two).buffer(0.1))
    white = plate("white", one.union(two).buffer(-0.15))
    colours = [plate("colour", one, "yellow"), plate("colour", two.difference(one.buffer(-0.1)), "red")]
    cases = register_cases([blocker, white, *colours], blocker, Settings(turn_deg=1.0))
    assert {one_case.kind for one_case in cases if one_case.area_mm2 > 0} == {
        "ink-on-cloth",
        "white-shows",
        "gap-opens",
    }
    for found in cases:
        moved = affinity.rotate(found.plate.area, found.turn_deg, origin=found.about_mm)
        moved = affinity.translate(moved, *found.shift_mm)
        if found.kind == "ink-on-cloth":
            assert found.area_mm2 == pytest.approx(difference_mm2(moved, blocker.area), abs=1e-5)
        elif found.kind == "white-shows":
            # All white lies under colour here, so what shows is what leaves the colours' union.
            covered = shapely.union_all([colour.area for colour in colours])
            assert found.area_mm2 == pytest.approx(difference_mm2(moved, covered), abs=1e-5)


def test_white_without_colours_spoils_nothing():
    (_, showing) = register_cases([BLOCKER, plate("white", square(8))], BLOCKER, Settings())
    assert (showing.kind, showing.area_mm2) == ("white-shows", 0)


def plainly_spoilt(found, blocker, white, colours, move):
    """What the case's plate spoils when moved so, all of it laid over all the others."""
    others = shapely.union_all([colour.area for colour in colours if colour is not found.plate])
    if found.kind == "ink-on-cloth":
        return move.of(found.plate.area).difference(blocker.area)
    if found.kind == "white-shows":
        return move.of(white.area.intersection(others)).difference(others.union(white.area))
    return found.plate.area.difference(others).intersection(move.of(others.difference(found.plate.area)))


@pytest.mark.parametrize("seed", range(8))
def test_looking_only_near_edges_finds_the_worst_of_all_moves(seed):
    """On blockers wide enough, too tight, and left in register already; with a turn as wide as a shift, and wider."""
    rng = np.random.default_rng(seed)
    blots = [blob(rng, x, y) for x in (-5, 5, 15) for y in (0, 9)]
    art = shapely.union_all(blots)
    blocker = plate("blocker", art.buffer((0.6, 0.3, 0.1, -0.2)[seed % 4]))
    white = plate("white", art.buffer(-0.15))
    colours = [plate("colour", shapely.union_all(blots[i::2]).buffer(0.1 * i), f"colour {i}") for i in range(2)]
    settings = Settings(turn_deg=(0.0, 1.0)[seed // 4])
    plates = [blocker, white, *colours]
    clearances = [measure_clearance(upper, blocker) for upper in plates[1:]]
    cases = register_cases(plates, blocker, settings, (3.0, 4.0), clearances)
    assert cases == register_cases(plates, blocker, settings, (3.0, 4.0))
    for found in cases:
        spoilt = [
            plainly_spoilt(found, blocker, white, colours, move) for move in moves_of(blocker, settings, (3.0, 4.0))
        ]
        assert found.area_mm2 == pytest.approx(max(area.area for area in spoilt), abs=CLOSE)
        assert any(found.spoilt.symmetric_difference(area).area < CLOSE for area in spoilt)


@pytest.mark.bench
def test_six_plates_of_five_thousand_points_take_half_a_second():
    rng = np.random.default_rng(1)
    petals = [blob(rng, 40 * math.cos(i), 40 * math.sin(i), 34, 5000) for i in range(4)]
    art = shapely.union_all(petals)
    spread = [petal.difference(shapely.union_all(petals[i + 1 :])).buffer(0.2) for i, petal in enumerate(petals)]
    plates = [
        plate("blocker", art.buffer(0.4)),
        plate("white", art.buffer(-0.25)),
        *(plate("colour", area.intersection(art), f"colour {i}") for i, area in enumerate(spread)),
    ]
    assert min(shapely.get_num_coordinates(one.area) for one in plates) > 2500
    started = time.process_time()
    cases = register_cases(plates, plates[0], Settings())
    assert time.process_time() - started < 0.5
    assert len(cases) == 10
