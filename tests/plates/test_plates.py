"""Plates on designs of known geometry: blocker, white, traps, order, and relations that hold for any design."""

import dataclasses
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from shapely import Point, affinity, box

from vectorsep.errors import SettingsError
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM, grow
from vectorsep.geometry.refit import REFIT_GUARD_MM
from vectorsep.inks import separate_inks
from vectorsep.job import read_job
from vectorsep.model import Artwork, PaintedShape, Place
from vectorsep.plates import assign_roles, make_plates, make_stack
from vectorsep.settings import InkSetting, Settings, TrapSetting

RED, YELLOW, NAVY, WHITE, BLACK = "#c81e28", "#f0c81e", "#14285a", "#ffffff", "#101010"
PLACE = Place("path")
AREA_TOLERANCE = 1e-3
"""Square millimetres by which the 0.1 micrometre plate grid may change a plate of some 100 mm of edge."""


def design(*shapes, **values):
    painted = tuple(PaintedShape(area, hex_, PLACE) for area, hex_ in shapes)
    return separate_inks(Artwork(200.0, 200.0, painted), Settings(**values))


def plates(*shapes, **values):
    made = make_plates(design(*shapes), Settings(**values))
    return {"blocker" if p.role == "blocker" else "white" if p.role == "white" else p.hex: p.area for p in made}


def differ(one, other):
    return shapely.symmetric_difference(one, other).area


def test_the_blocker_is_the_silhouette_grown_by_the_spread():
    square = box(50, 50, 60, 60)
    blocker = plates((square, RED), spread_mm=1.0)["blocker"]
    assert blocker.area == pytest.approx(143.14159, abs=0.01)  # Steiner, 1840
    assert differ(blocker, grow(square, 1.0)) < AREA_TOLERANCE


@pytest.mark.parametrize("spread", [0.1, 0.4])
@pytest.mark.parametrize("gap", [2.0, 1.0, 0.6, 0.42, 0.3])
def test_gaps_that_the_mesh_can_hold_stay_open_and_others_close(gap, spread):
    left_open = max(0.4, gap - 2 * spread) if gap >= 0.4 else 0.0
    bars = shapely.union(box(50, 50, 60, 90), box(60 + gap, 50, 70 + gap, 90))
    stack = make_stack(design((bars, RED)), Settings(spread_mm=spread, min_gap_mm=0.4))
    blocker = stack.plates[0].area
    across = shapely.difference(shapely.LineString([(55, 70), (65, 70)]), blocker).length
    assert left_open - 0.003 <= across <= left_open + 0.04
    closing = [notice for notice in stack.notices if notice.code == "gap-closes"]
    assert len(closing) == (left_open == 0)
    if closing:
        assert "0.3 mm wide" in closing[0].message
        assert 60 < closing[0].at_mm[0] < 60.3


@pytest.mark.parametrize(
    ("values", "severity"),
    [
        ({"garment_hex": "#1c1c1f"}, "note"),
        ({"garment_hex": "#1c1c1f", "blocker": "grey"}, "warning"),
        ({"garment_hex": "#c81e28", "fill_gaps": True}, "warning"),
        ({}, "warning"),  # nobody told the garment's colour
    ],
)
def test_a_gap_that_closes_unseen_is_a_note(values, severity):
    bars = shapely.union(box(50, 50, 60, 90), box(60.3, 50, 70.3, 90))
    stack = make_stack(design((bars, RED)), Settings(min_gap_mm=0.4, **values))
    (told,) = [notice for notice in stack.notices if notice.code == "gap-closes"]
    assert told.severity == severity
    assert ("hardly shows on this cloth" in told.message) == (severity == "note")


@given(st.floats(0, 180), st.floats(0.41, 1.3), st.floats(-0.9, 0.9))
@hypothesis_settings(max_examples=40, deadline=None)
def test_a_straight_gap_stays_open_at_any_angle(turn, gap, along):
    bars = shapely.union(box(50, 50, 60, 90), box(60 + gap, 50, 70 + gap, 90))
    blocker = plates((affinity.rotate(bars, turn, origin=(100, 100)), RED), spread_mm=0.4, min_gap_mm=0.4)["blocker"]
    across = affinity.rotate(
        shapely.LineString([(55, 70 + 18 * along), (65, 70 + 18 * along)]), turn, origin=(100, 100)
    )
    assert shapely.difference(across, blocker).length == pytest.approx(max(0.4, gap - 0.8), abs=0.004)


@given(st.floats(6, 20), st.floats(0.41, 1.3), st.floats(0, 360))
@hypothesis_settings(max_examples=40, deadline=None)
def test_a_round_gap_stays_open_all_round(radius, gap, direction):
    middle = Point(100, 100)
    ring = shapely.difference(
        middle.buffer(radius + gap + 3, quad_segs=128), middle.buffer(radius + gap, quad_segs=128)
    )
    disc = middle.buffer(radius, quad_segs=128)
    blocker = plates((shapely.union(disc, ring), RED), spread_mm=0.4, min_gap_mm=0.4)["blocker"]
    across = affinity.rotate(
        shapely.LineString([(100 + radius - 1, 100), (100 + radius + gap + 1, 100)]), direction, origin=(100, 100)
    )
    assert shapely.difference(across, blocker).length == pytest.approx(max(0.4, gap - 0.8), abs=0.006)


@pytest.mark.parametrize(
    ("gap_mm", "values", "told"),
    [(0.03, {}, True), (0.09, {}, True), (0.11, {}, False), (0.09, {"close_gaps_mm": 0.1}, False)],
)
def test_gaps_that_nobody_drew_are_told_with_their_cost_and_cure(gap_mm, values, told):
    shapes = ((box(50, 50, 60, 90), RED), (box(60 + gap_mm, 50, 70, 90), NAVY))
    slips = [n for n in make_stack(design(*shapes, **values), Settings(**values)).notices if n.code == "gap-slips"]
    assert len(slips) == told
    for slip in slips:
        assert slip.message.startswith("1 gap between shapes, 40")
        assert "set art.close_gaps to 0.1 mm" in slip.message
        assert 60 < slip.at_mm[0] < 60 + gap_mm


def test_upper_inks_recede_from_a_gap_that_stays_open():
    bars = shapely.union(box(50, 50, 60, 90), box(60.5, 50, 70.5, 90))
    made = plates((bars, RED), registration_mm=0.25, min_gap_mm=0.4)
    gap = shapely.difference(shapely.LineString([(55, 70), (65, 70)]), made[RED]).length
    assert gap == pytest.approx(0.4 + 2 * (0.25 + REFIT_GUARD_MM), abs=0.05)


def test_an_outline_printed_by_the_blocker_keeps_its_drawn_edge():
    outline = shapely.difference(box(50, 50, 90, 90), box(52, 52, 88, 88))
    art = ((box(50, 50, 90, 90), BLACK), (box(52, 52, 88, 88), RED))
    stack = make_stack(design(*art), Settings(merge_black=True))
    assert differ(stack.plates[0].area, box(50, 50, 90, 90)) < AREA_TOLERANCE
    assert [plate.role for plate in stack.plates] == ["blocker", "white", "colour"]
    assert differ(assign_roles(design(*art).inks, Settings(merge_black=True)).exposed_black, outline) < AREA_TOLERANCE
    assert stack.rim_mm2 < AREA_TOLERANCE


@pytest.mark.parametrize(
    ("choke_mm", "min_choke_mm", "trap_mm", "onto_mm"),
    [(0.3, 0.25, 0.25, 0.0), (0.2, 0.2, 0.2, 0.0), (0.05, 0.25, 0.25, 0.2), (0.3, 0.1, 0.25, 0.15), (0, 0, 0.2, 0.2)],
)
def test_colours_run_over_exposed_black_by_what_the_choke_leaves_of_the_trap(choke_mm, min_choke_mm, trap_mm, onto_mm):
    """It is white alone that would show beside it: by the whole trap, black lines of 0.5 mm came out as 0.17 mm."""
    art = ((box(50, 50, 90, 90), BLACK), (box(54, 54, 86, 86), RED))
    made = plates(*art, merge_black=True, choke_mm=choke_mm, min_choke_mm=min_choke_mm, trap_mm=trap_mm)
    assert differ(made["white"], box(54, 54, 86, 86).buffer(-choke_mm)) < AREA_TOLERANCE
    assert differ(made[RED], grow(box(54, 54, 86, 86), onto_mm)) < 0.05


def test_a_thin_tip_against_exposed_black_keeps_its_shape():
    """It was a blunt finger of 0.5 mm."""
    tip = shapely.Polygon([(60, 60), (60, 61), (80, 60.5)])
    made = plates((box(50, 50, 90, 90), BLACK), (tip, YELLOW), merge_black=True)
    assert differ(made[YELLOW], tip) < 0.01


def test_white_is_choked_at_cloth_but_not_where_colours_meet():
    made = plates((box(50, 50, 60, 60), RED), (box(60, 50, 70, 60), NAVY))
    assert differ(made["white"], box(50.3, 50.3, 69.7, 59.7)) < AREA_TOLERANCE


@pytest.mark.parametrize("art", [box(60, 60, 70, 60.75), shapely.Point(60, 60).buffer(0.375)], ids=["line", "dot"])
def test_a_line_or_dot_too_thin_for_white_is_told_with_the_width_that_white_takes(art):
    stack = make_stack(design((art, RED)), Settings(min_choke_mm=0.25, min_line_mm=0.3))
    assert [plate.role for plate in stack.plates] == ["blocker", "colour"]
    (told,) = [notice.message for notice in stack.notices if notice.code == "no-white"]
    assert "white takes 0.8 mm" in told
    wide = make_stack(design((shapely.buffer(art, 0.03), RED)), Settings(min_choke_mm=0.25, min_line_mm=0.3))
    assert [plate.role for plate in wide.plates] == ["blocker", "white", "colour"]
    assert "no-white" not in {notice.code for notice in wide.notices}


def test_white_art_prints_with_the_white_at_full_size():
    made = plates((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), WHITE))
    assert differ(made["white"], shapely.union(box(50.3, 50.3, 59.7, 59.7), box(80, 50, 90, 60))) < AREA_TOLERANCE
    assert WHITE not in made


def test_white_runs_on_beneath_a_colour_behind_a_thin_line_of_white_art():
    red, line, black = box(50, 50, 70, 70), box(70, 50, 70.1, 70), box(70.1, 50, 80, 70)
    made = plates((red, RED), (line, WHITE), (black, BLACK), merge_black=True, choke_mm=0.3)
    across = shapely.LineString([(60, 60), (75, 60)])
    # Unbroken from the middle of the red to the white line's own edge; the red's other edges keep their choke.
    assert shapely.intersection(across, made["white"]).length == pytest.approx(10.1, abs=1e-3)
    assert made["white"].bounds[1] == pytest.approx(50.0, abs=0.02)
    red_only = shapely.difference(made["white"], shapely.buffer(line, 0.35))
    assert red_only.bounds[:2] == pytest.approx((50.3, 50.3), abs=1e-3)


def test_a_gap_that_fills_for_fine_strokes_leaves_no_slit():
    strokes = shapely.union_all([box(50 + i * 0.9, 50, 50.4 + i * 0.9, 60) for i in range(8)])
    tight = Settings(spread_mm=0.2, min_gap_mm=0.4, clearance_mm=0.15, registration_mm=0.15, choke_mm=0.15)
    stack = make_stack(design((strokes, WHITE)), tight)
    assert any("would lose too much" in notice.message for notice in stack.notices)
    between = box(50, 50.3, 56.7, 59.7)  # a spread of 0.2 mm leaves 0.1 mm open of gaps of 0.5 mm
    assert shapely.difference(between, stack.plates[0].area).area < AREA_TOLERANCE


@pytest.mark.parametrize("rim_mm", [0.0005, 0.003, 0.01])
@pytest.mark.parametrize("left_mm", [90, 120])
def test_a_white_backing_that_rounding_leaves_peeping_out_is_no_white_art(rim_mm, left_mm):
    """Some draw one with every colour, never meant to be seen. White art that is may stand apart or hang on the rim."""
    colour, white_art = box(50, 50, 90, 90), box(left_mm, 60, left_mm + 10, 70)
    backing = shapely.union(shapely.buffer(colour, rim_mm, join_style="mitre"), white_art)
    white, alone = (plates((area, WHITE), (colour, RED))["white"] for area in (backing, white_art))
    # The choke counts from the rim's edge. Of 48 mm² that went unchoked short stubs are left at the white art.
    assert differ(white, alone) < colour.length * rim_mm + 0.15
    drawn = plates((shapely.buffer(colour, 0.05, join_style="mitre"), WHITE), (colour, RED))["white"]
    assert drawn.contains(colour), "what is wider than a hairline was drawn"


@pytest.mark.parametrize("seed", range(8))
def test_the_blocker_has_no_hole_too_narrow_for_its_mesh(seed):
    rng = np.random.default_rng(seed)
    bars = [shapely.LineString(ends).buffer(0.6) for ends in rng.uniform(20, 70, (14, 2, 2))]
    tips = [shapely.convex_hull(shapely.MultiPoint(corners)) for corners in rng.uniform(20, 70, (6, 3, 2))]
    blocker = plates((shapely.union_all([*bars, *tips]), RED), spread_mm=0.4, min_gap_mm=0.4)["blocker"]
    holes = [shapely.Polygon(hole) for piece in shapely.get_parts(blocker) for hole in piece.interiors]
    assert holes
    assert [hole.area for hole in holes if hole.buffer(-0.4 / 2 + 5 * CHORD_TOLERANCE_MM).is_empty] == []


@pytest.mark.parametrize("seed", range(12))
def test_colour_beside_white_art_lies_on_white_whatever_the_angle(seed):
    # A bar over a white triangle that sticks out on both sides, so that cloth is near across the white.
    rng = np.random.default_rng(seed)
    angle, (above, below, beyond), choke = rng.uniform(0, 180), rng.uniform(0.3, 3, 3), 0.5
    triangle, bar = shapely.Polygon([(20, 22 + above), (38, 21 - below), (38, 22 + beyond)]), box(15, 20, 42, 21.4)
    triangle, bar = (affinity.rotate(shape, angle, origin=(60.123, 57.771)) for shape in (triangle, bar))
    white = plates((triangle, WHITE), (bar, RED), choke_mm=choke, spread_mm=0.6)["white"]
    own_edge = shapely.difference(bar.boundary, triangle.buffer(1e-6))
    beside = shapely.intersection(bar, shapely.buffer(shapely.difference(triangle, bar), choke - 0.02))
    bare = shapely.difference(beside, shapely.union(white, shapely.buffer(own_edge, choke + 0.02)))
    assert bare.area < 0.05  # a slit along the border is 0.2 to 0.5 mm²; at a sharp end the two measures part a little


def test_no_scrap_of_white_stays_in_a_thin_colour_beside_the_end_of_a_white_line():
    made = plates((box(50, 50, 50.6, 60), RED), (box(45, 55, 50, 55.4), WHITE), choke_mm=0.3, min_choke_mm=0.25)
    assert differ(made["white"], box(45, 55, 50, 55.4)) < AREA_TOLERANCE


def test_highlight_white_gets_a_last_screen():
    shapes = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), WHITE))
    made = make_plates(design(*shapes), Settings(highlight_white=True))
    assert [(plate.role, plate.hex) for plate in made][2:] == [("colour", RED), ("colour", WHITE)]
    assert (
        differ(made[1].area, shapely.union(box(50.3, 50.3, 59.7, 59.7), box(80.3, 50.3, 89.7, 59.7))) < AREA_TOLERANCE
    )


@pytest.mark.parametrize("inks", [(), (InkSetting(WHITE, "opaque white"),), (InkSetting("#fbfbf9", "old white"),)])
def test_white_and_off_white_share_the_highlights_screen_as_they_do_the_whites(inks):
    """And meet there without a trap, under the name that the job gives to one of them."""
    off_white, white = box(50, 50, 60, 60), box(60, 50, 70, 60)
    art = design((box(40, 40, 80, 80), RED), (off_white, "#fbfbf9"), (white, WHITE), inks=inks)
    *_, last = made = make_plates(art, Settings(highlight_white=True, inks=inks))
    assert [plate.role for plate in made] == ["blocker", "white", "colour", "colour"]
    assert last.ink == f"highlight {inks[0].name if inks else 'white'}"
    assert last.hex == (inks[0].hex if inks else WHITE)
    assert differ(last.area, shapely.union(off_white, white)) < AREA_TOLERANCE


@pytest.mark.parametrize("stroke_mm", [0.35, 0.5, 0.8])
def test_a_gap_between_fine_strokes_fills_rather_than_that_they_recede(stroke_mm):
    pitch = stroke_mm + 0.5
    strokes = shapely.union_all([box(50 + i * pitch, 50, 50 + i * pitch + stroke_mm, 54) for i in range(8)])
    stack = make_stack(design((strokes, WHITE)), Settings(spread_mm=0.4, min_gap_mm=0.4))
    white = next(plate.area for plate in stack.plates if plate.role == "white")
    assert differ(white, strokes) < AREA_TOLERANCE
    filled = [notice for notice in stack.notices if "would lose too much" in notice.message]
    assert len(filled) == 7
    assert "art-recedes" not in {notice.code for notice in stack.notices}


def test_beside_bold_art_the_gap_stays_and_the_art_recedes():
    bars = shapely.union_all([box(50 + 8.5 * i, 50, 58 + 8.5 * i, 90) for i in range(3)])
    stack = make_stack(design((bars, RED)), Settings(spread_mm=0.4, min_gap_mm=0.4))
    assert shapely.difference(shapely.LineString([(57, 70), (59, 70)]), stack.plates[0].area).length > 0.39
    recede = next(notice for notice in stack.notices if notice.code == "art-recedes")
    assert recede.message.endswith("beside gaps that stay open, which blocker.fill_gaps closes instead")


@pytest.mark.parametrize("gap_mm", [0.42, 0.5, 0.7, 0.88])
@pytest.mark.parametrize("values", [{}, {"merge_black": True}])
def test_a_gap_fills_where_the_job_wants_bold_art_to_keep_its_edge(gap_mm, values):
    pitch = 8 + gap_mm
    bars = [(box(50 + pitch * i, 50, 58 + pitch * i, 90), hex_) for i, hex_ in enumerate((RED, RED, BLACK))]
    receding, kept = (make_stack(design(*bars), Settings(fill_gaps=fills, **values)) for fills in (False, True))
    assert "art-recedes" in {notice.code for notice in receding.notices}
    reds = shapely.union_all([bar for bar, hex_ in bars if hex_ == RED])
    red = next(plate.area for plate in kept.plates if plate.hex == RED)
    assert shapely.difference(reds, red).area < AREA_TOLERANCE
    across = shapely.LineString([(50, 70), (66 + gap_mm, 70)])
    assert shapely.difference(across, kept.plates[0].area).length < 1e-6
    assert "art-recedes" not in {notice.code for notice in kept.notices}
    filled = [notice for notice in kept.notices if "as blocker.fill_gaps asks" in notice.message]
    assert filled and {notice.severity for notice in filled} == {"note"}


@pytest.mark.parametrize(
    ("gap_mm", "values", "fills"), [(0.2, {}, True), (0.85, {"fill_gaps": True}, True), (2, {}, False)]
)
def test_the_rim_is_told_with_the_gaps_that_fill(gap_mm, values, fills):
    """Amid a filled gap of 0.85 mm the blocker lies 0.425 mm past the art, farther than the spread of 0.4 mm."""
    bars = shapely.union_all([box(50 + (4 + gap_mm) * i, 50, 54 + (4 + gap_mm) * i, 90) for i in range(2)])
    (rim,) = [n.message for n in make_stack(design((bars, RED)), Settings(**values)).notices if n.code == "rim"]
    assert rim.startswith(
        f"the blocker stands out up to 0.4 mm past the colours{', and fills gaps' if fills else ''}, "
    )


@pytest.mark.parametrize(
    ("values", "fills"),
    [
        ({}, False),  # nobody told the garment's colour
        ({"garment_hex": "#1c1c1f"}, True),
        ({"garment_hex": "#2b2b2d"}, True),  # 4.7 from the blocker by CIEDE2000
        ({"garment_hex": "#2d2d2f"}, False),  # 5.4 from it
        ({"garment_hex": "#1c1c1f", "fill_gaps": False}, False),
        ({"garment_hex": "#c81e28"}, False),
        ({"garment_hex": "#c81e28", "fill_gaps": True}, True),
        ({"garment_hex": "#1c1c1f", "blocker": "grey"}, False),
        ({"garment_hex": "#7c7f80", "blocker": "grey"}, True),
    ],
)
def test_gaps_that_nobody_sees_fill_rather_than_that_bold_art_recedes(values, fills):
    bars = shapely.union_all([box(50 + 8.5 * i, 50, 58 + 8.5 * i, 90) for i in range(3)])
    stack = make_stack(design((bars, RED)), Settings(**values))
    across = shapely.difference(shapely.LineString([(57, 70), (59, 70)]), stack.plates[0].area)
    assert (across.length < 1e-6) == fills
    assert ("art-recedes" in {notice.code for notice in stack.notices}) != fills
    why = "as blocker.fill_gaps asks" if values.get("fill_gaps") else "blocker.fill_gaps = false opens it"
    assert any(notice.code == "gap-closes" and why in notice.message for notice in stack.notices) == fills


def test_a_gap_is_not_promised_open_that_fine_art_beside_it_fills_all_the_same():
    """Bars of 0.7 mm, 0.5 mm apart, would lose most of themselves to open gaps: the key that is named opens none."""
    bars = shapely.union_all([box(50 + 1.2 * i, 50, 50.7 + 1.2 * i, 60) for i in range(6)])
    told = [notice.message for notice in notices("gap-closes", (bars, RED), garment_hex="#1c1c1f")]
    assert any("fill_gaps = false opens it where that has room to recede: " in message for message in told)
    opened = notices("gap-closes", (bars, RED), garment_hex="#1c1c1f", fill_gaps=False)
    assert any("would lose too much by receding" in notice.message for notice in opened)
    assert {notice.severity for notice in opened} == {"note"}, "on this cloth nobody sees it"


def test_of_gaps_that_close_unseen_those_that_the_job_can_open_are_told_first():
    bars = shapely.union_all([box(50, 50, 54, 90), box(54.5, 50, 58, 90), box(58.3, 50, 62, 90)])
    told = [n.message for n in make_stack(design((bars, RED)), Settings(garment_hex="#1c1c1f")).notices]
    first, second = (message for message in told if message.startswith("a gap "))
    assert "blocker.fill_gaps = false opens it" in first
    assert "too narrow to stay open" in second


def test_a_gap_that_art_need_not_recede_from_stays_open_though_the_job_fills_gaps():
    """Two clearances and a least gap wide: 0.9 mm, and what films may lose."""
    bars = shapely.union_all([box(50 + 5 * i, 50, 54 + 5 * i, 90) for i in range(3)])
    stack = make_stack(design((bars, RED)), Settings(fill_gaps=True))
    assert shapely.difference(shapely.LineString([(53, 70), (56, 70)]), stack.plates[0].area).length > 0.39


def test_art_that_recedes_for_want_of_spread_is_told_the_spread_it_wants():
    stack = make_stack(design((box(50, 50, 60, 60), RED)), Settings(spread_mm=0.1, registration_mm=0.25))
    recede = next(notice for notice in stack.notices if notice.code == "art-recedes")
    wanted = float(recede.message.split("a spread of ")[1].split(" mm")[0])
    saved = make_stack(design((box(50, 50, 60, 60), RED)), Settings(spread_mm=wanted, registration_mm=0.25))
    assert "art-recedes" not in {notice.code for notice in saved.notices}


def test_colours_print_light_to_dark():
    shapes = [(box(50 + 20 * i, 50, 60 + 20 * i, 60), hex_) for i, hex_ in enumerate((NAVY, YELLOW, RED))]
    order = [plate.hex for plate in make_plates(design(*shapes), Settings()) if plate.role == "colour"]
    assert order == [YELLOW, RED, NAVY]


@pytest.mark.parametrize(
    ("order", "expected"),
    [
        ((YELLOW,), [RED, NAVY, YELLOW]),
        ((NAVY, RED), [YELLOW, NAVY, RED]),
        ((RED.upper(), NAVY, YELLOW), [RED, NAVY, YELLOW]),
        ((), [YELLOW, RED, NAVY]),
    ],
)
def test_colours_print_last_in_the_jobs_own_order(order, expected):
    shapes = [(box(50 + 20 * i, 50, 60 + 20 * i, 60), hex_) for i, hex_ in enumerate((NAVY, YELLOW, RED))]
    plates_made = make_plates(design(*shapes, (box(120, 50, 130, 60), WHITE)), Settings(print_order=order))
    assert [plate.hex for plate in plates_made if plate.role == "colour"] == expected


def test_the_lighter_ink_runs_into_the_darker_in_any_order_and_under_a_highlight():
    yellow, navy, white = box(50, 50, 60, 60), box(60, 50, 80, 60), box(70, 52, 75, 57)
    made = plates(
        (yellow, YELLOW), (navy, NAVY), (white, WHITE), trap_mm=0.2, print_order=(YELLOW,), highlight_white=True
    )
    assert differ(made[YELLOW], box(50, 50, 60.2, 60)) < AREA_TOLERANCE
    assert differ(made[NAVY], navy.difference(box(70.2, 52.2, 74.8, 56.8))) < AREA_TOLERANCE
    assert differ(made[WHITE], white) < AREA_TOLERANCE


def test_an_order_that_lets_a_lighter_ink_run_over_a_darker_in_sight_is_noted():
    shapes = ((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY), (box(90, 50, 99, 60), RED))
    names = {ink.hex: ink.name for ink in design(*shapes).inks}
    (told,) = notices("lighter-on-top", *shapes, print_order=(YELLOW,))  # the red meets neither
    assert told.severity == "note"
    assert f"prints {names[YELLOW]} over the darker {names[NAVY]}, and its trap of 0.25 mm" in told.message
    kept = TrapSetting(names[YELLOW], names[NAVY], 0.0)
    for values in ({}, {"print_order": (NAVY,)}, {"print_order": (YELLOW,), "trap_mm": 0.0}):
        assert notices("lighter-on-top", *shapes, **values) == []
    assert notices("lighter-on-top", *shapes, print_order=(YELLOW,), traps=(kept,)) == []
    assert differ(plates(*shapes, print_order=(YELLOW,), traps=(kept,))[YELLOW], shapes[0][0]) < AREA_TOLERANCE


@pytest.mark.parametrize("order", [("soot",), (WHITE,), (YELLOW, NAVY, YELLOW), ("red", YELLOW, RED)])
def test_an_order_of_what_is_no_colour_or_named_twice_is_refused_with_its_place(order):
    art = design((box(50, 50, 60, 60), YELLOW), (box(70, 50, 80, 60), NAVY), (box(90, 50, 99, 60), WHITE))
    settings = Settings(print_order=order, inks=(InkSetting(RED, "red"),))
    with pytest.raises(SettingsError, match=r"is no colour with a plate .* @ colour.order\[") as refusal:
        make_plates(art, settings)
    assert "yellow" in str(refusal.value)


def test_the_lighter_ink_runs_under_the_darker_and_never_towards_cloth():
    made = plates((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY), trap_mm=0.2)
    assert differ(made[YELLOW], box(50, 50, 60.2, 60)) < AREA_TOLERANCE
    assert differ(made[NAVY], box(60, 50, 80, 60)) < AREA_TOLERANCE


def test_a_trap_on_exposed_black_ends_square_with_its_border():
    red, white, black = box(50, 50, 60, 60), box(50, 60, 60, 70), box(60, 45, 80, 75)
    made = plates((black, BLACK), (red, RED), (white, WHITE), merge_black=True, trap_mm=0.25, choke_mm=0.0)
    # Over the black the red runs on by the trap, but not sideways past the border's end, where it would show.
    assert made[RED].bounds[2] == pytest.approx(60.25, abs=2e-3)
    assert shapely.intersection(made[RED], box(60, 60.005, 61, 61)).is_empty


def test_a_trap_under_a_darker_ink_runs_on_past_its_borders_end():
    yellow, red, navy = box(50, 50, 60, 60), box(50, 60, 60, 70), box(60, 45, 80, 75)
    made = plates((navy, NAVY), (yellow, YELLOW), (red, RED), trap_mm=0.25)
    assert not shapely.intersection(made[YELLOW], box(60.05, 60.05, 61, 61)).is_empty


def test_pairs_that_cannot_trap_are_refused():
    shapes = ((box(50, 50, 60, 60), RED), (box(60, 50, 80, 60), BLACK))
    names = {ink.hex: ink.name for ink in design(*shapes).inks}
    for pair in ((names[BLACK], names[RED]), (names[RED], names[RED])):
        with pytest.raises(SettingsError, match=r"traps\[0\]"):
            plates(*shapes, merge_black=True, traps=(TrapSetting(*pair, 0.1),))


def test_plates_that_would_share_a_name_are_told_apart():
    shapes = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), "#f1f0ee"), (box(100, 50, 110, 60), WHITE))
    for values in ({}, {"highlight_white": True}):
        made = make_plates(design(*shapes), Settings(**values))
        assert len({plate.ink for plate in made}) == len(made)


@pytest.mark.parametrize("highlight", [False, True])
def test_any_ink_names_give_plates_of_different_names(highlight):
    """Names that plates have already, or could be given to tell them apart."""
    names = ("white", "white colour", "blocker black", "highlight white", "highlight white colour", "white colour 2")
    hexes = ("#e8e8e8", "#e0d8c8", RED, NAVY, YELLOW, "#1b8a93")
    inks = tuple(InkSetting(hex_, name) for hex_, name in zip(hexes, names, strict=True))
    shapes = [(box(20 * i, 50, 20 * i + 10, 60), hex_) for i, hex_ in enumerate((*hexes, WHITE))]
    made = make_plates(design(*shapes, inks=inks), Settings(inks=inks, highlight_white=highlight))
    assert len(made) == 8 + highlight
    assert len({plate.ink for plate in made}) == len(made)


def unused(*shapes, **values):
    notices = make_stack(design(*shapes), Settings(**values)).notices
    return [notice.message for notice in notices if notice.code == "setting-unused"]


def test_settings_that_do_nothing_are_told():
    red, white, black = (box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), WHITE), (box(20, 50, 30, 60), BLACK)
    meshes = tuple(InkSetting(hex_, None, 77) for hex_ in (RED, WHITE, BLACK))
    (told,) = unused(red, white, black, inks=meshes)
    assert "inks[1].mesh asks 77" in told and "110 of white.mesh" in told
    assert unused(red, white, black, inks=meshes, white_mesh_per_inch=77, highlight_white=True) == []
    assert "86 of blocker.mesh" in unused(red, black, inks=meshes, merge_black=True)[0]
    assert "set blocker.merge_black" in unused(red, black, design_black=BLACK)[0]
    assert unused(red, black, design_black=BLACK, merge_black=True) == []
    assert "no ink of the art is white" in unused(red, black, highlight_white=True)[0]


def test_near_white_is_offered_to_the_white_and_taking_it_saves_the_screen():
    shapes = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), "#f4efe6"))
    stack = make_stack(design(*shapes), Settings())
    offered = [saving for saving in stack.savings if "with the white" in saving.step]
    assert [(saving.step, saving.screens) for saving in offered] == [("print off-white with the white", 1)]
    merge = float(re.search(r"colour.merge_inks to ([\d.]+)", offered[0].cost)[1])
    values = {"inks": (InkSetting(WHITE),), "merge_inks": merge}
    assert len(make_plates(design(*shapes, **values), Settings(**values))) == len(stack.plates) - 1


def test_near_white_that_is_called_white_is_told_from_the_white_that_it_would_print_with():
    """The art's white, listed by the job and so with a screen of its own."""
    values = {"inks": (InkSetting("#fdfdf0", "white"),)}
    shapes = (box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), "#fdfdf0")
    steps = [saving.step for saving in make_stack(design(*shapes, **values), Settings(**values)).savings]
    assert "print white #fdfdf0 with the white" in steps


CREAM = "#f4f1e8"  # 5.2 from white by CIEDE2000, plain white to a printer who is not asked for more


def notices(code, *shapes, **values):
    made = make_stack(design(*shapes, **values), Settings(**values))
    return [notice for notice in made.notices if notice.code == code]


@pytest.mark.parametrize("highlight", [False, True])
def test_cream_that_prints_as_white_is_told_and_listing_it_gives_it_a_screen(highlight):
    shapes = (box(50, 50, 90, 60), WHITE), (box(60, 52, 70, 58), CREAM)
    (told,) = notices("prints-as-white", *shapes, highlight_white=highlight)
    of_plates = {plate.ink for plate in make_plates(design(*shapes), Settings(highlight_white=highlight))}
    assert told.plate in of_plates and ("highlight" in told.plate) == highlight
    assert told.severity == "warning" and CREAM in told.message and "[[inks]]" in told.message
    assert box(60, 52, 70, 58).contains(shapely.Point(told.at_mm))
    listed = (InkSetting(CREAM, "cream"),)
    assert notices("prints-as-white", *shapes, inks=listed) == []
    made = make_plates(design(*shapes, inks=listed), Settings(inks=listed))
    assert [(plate.role, plate.ink) for plate in made[1:]] == [("white", "white"), ("colour", "cream")]


def test_a_white_that_the_job_lists_is_still_white_art():
    for hex_ in (WHITE, "#fdfdfd"):
        inks = (InkSetting(hex_, "bright white"),)
        made = make_plates(design((box(50, 50, 90, 60), hex_), inks=inks), Settings(inks=inks))
        assert [plate.role for plate in made] == ["blocker", "white"]
        assert notices("prints-as-white", (box(50, 50, 90, 60), hex_), inks=inks) == []


def test_two_inks_that_hardly_differ_are_told_with_what_makes_them_one():
    twin = "#c91e28"
    shapes = (box(50, 50, 60, 60), RED), (box(70, 50, 80, 60), twin), (box(90, 50, 99, 60), NAVY)
    (told,) = notices("inks-alike", *shapes)
    assert RED in told.message and twin in told.message
    merge = float(re.search(r"colour.merge_inks = ([\d.]+)", told.message)[1])
    assert len(make_plates(design(*shapes, merge_inks=merge), Settings(merge_inks=merge))) == 4
    assert notices("inks-alike", *shapes, inks=(InkSetting(RED), InkSetting(twin))) == []


SHADES = [f"#{40 + 2 * i:02x}{90 + 2 * i:02x}{130 + 3 * i:02x}" for i in range(18)]
"""Eighteen blues, each hardly to be told from the next."""


def test_many_shades_are_told_in_one_line_that_is_true():
    shapes = [(box(10 * i, 50, 10 * i + 9, 60), hex_) for i, hex_ in enumerate(SHADES)]
    assert notices("inks-alike", *shapes) == []
    (told,) = notices("many-shades", *shapes)
    assert told.severity == "warning"
    assert told.message.startswith(f"{len(make_plates(design(*shapes), Settings()))} screens, ")
    offers = re.findall(r"--merge-inks ([\d.]+) .*? would make them (\d+)", told.message)
    assert [merge for merge, _ in offers] == ["2", "5"]
    for merge, screens in offers:
        values = {"merge_inks": float(merge)}
        assert len(make_plates(design(*shapes, **values), Settings(**values))) == int(screens)
    assert notices("many-shades", *shapes, merge_inks=5.0) == []


def test_shades_that_the_job_lists_are_meant():
    shapes = [(box(10 * i, 50, 10 * i + 9, 60), hex_) for i, hex_ in enumerate(SHADES)]
    assert notices("many-shades", *shapes, inks=tuple(map(InkSetting, SHADES))) == []


def test_many_shades_keep_the_black_that_the_job_names():
    shapes = [(box(10 * i, 50, 10 * i + 9, 60), hex_) for i, hex_ in enumerate(SHADES)]
    (told,) = notices("many-shades", *shapes, merge_black=True, design_black=SHADES[0])
    for merge, screens in re.findall(r"--merge-inks ([\d.]+) .*? would make them (\d+)", told.message):
        values = {"merge_inks": float(merge), "merge_black": True, "design_black": SHADES[0]}
        assert len(make_plates(design(*shapes, **values), Settings(**values))) == int(screens)


def test_a_black_beside_the_one_that_the_blocker_prints_can_be_saved():
    shapes = (box(50, 50, 60, 60), BLACK), (box(70, 50, 80, 60), "#141414"), (box(90, 50, 99, 60), RED)
    saved = [s for s in make_stack(design(*shapes), Settings(merge_black=True)).savings if not s.taken]
    assert [s.key for s in saved] == ["colour.merge_inks = 1"]
    values = {"merge_black": True, "merge_inks": 1.0}
    assert len(make_plates(design(*shapes, **values), Settings(**values))) == 3


def test_a_trap_of_the_job_that_spreads_on_top_or_too_far_is_told():
    shapes = ((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY))
    names = {ink.hex: ink.name for ink in design(*shapes).inks}
    over = TrapSetting(names[NAVY], names[YELLOW], 2.0)
    (told,) = notices("trap-on-top", *shapes, traps=(over,))
    assert "2 mm" in told.message and told.plate == names[NAVY]
    (far,) = notices("far-distance", *shapes, traps=(over,))
    assert far.message.startswith("traps[0].width is 2 mm")
    under = TrapSetting(names[YELLOW], names[NAVY], 0.3)
    for code in ("trap-on-top", "far-distance"):
        assert notices(code, *shapes, traps=(under,)) == []
        assert notices(code, *shapes, traps=(TrapSetting(names[NAVY], names[YELLOW], 0.0),)) == []


def test_a_trap_that_spreads_on_top_by_itself_too_is_not_told():
    """A lighter colour does in any order of the job's; the notice advised the other way, which the job then undid."""
    shapes = ((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY), (box(80, 50, 90, 60), WHITE))
    yellow, navy, white = (next(ink.name for ink in design(*shapes).inks if ink.hex == hex_) for _, hex_ in shapes)
    values = {"print_order": (YELLOW,), "highlight_white": True}
    assert notices("trap-on-top", *shapes, traps=(TrapSetting(yellow, navy, 0.3),), **values) == []
    assert notices("trap-on-top", *shapes, traps=(TrapSetting(navy, yellow, 0.3),), **values) == []
    (told,) = notices("trap-on-top", *shapes, traps=(TrapSetting(white, navy, 0.3),), **values)
    assert told.plate == white


@pytest.mark.parametrize(("choke_mm", "told"), [(0.3, ""), (0.1, "; colours run over its edge by 0.15 mm, where they")])
def test_what_the_blockers_black_costs_says_how_far_colours_run_over_it(choke_mm, told):
    art = design((box(50, 50, 90, 90), BLACK), (box(54, 54, 86, 86), RED))
    (taken,) = [
        saving for saving in make_stack(art, Settings(merge_black=True, choke_mm=choke_mm)).savings if saving.taken
    ]
    size = f"up to about {128 * choke_mm:.1f} mm²"
    dark = f"; colour within {choke_mm} mm of it, {size}, has no white beneath and looks darker"
    assert taken.cost.removeprefix(f"black looks as the blocker does{dark}").startswith(told)  # 4 edges of 32 mm
    assert ("run over" in taken.cost) == bool(told)


def test_what_the_blockers_black_would_cost_is_about_what_is_told():
    """By the white of both stacks: what of it the merge takes from under colours. Around a disc it is a little more,
    along a line through a narrow place less."""
    disc, line = Point(62, 70).buffer(9), box(75, 55, 76, 85)
    shapes = (box(50, 50, 90, 90), RED), (disc, BLACK), (line, BLACK)
    (offered,) = [s for s in make_stack(design(*shapes), Settings()).savings if s.step.startswith("let the blocker")]
    told_mm2 = float(re.search(r"up to about ([\d.]+) mm²", offered.cost)[1])
    whole, merged = (plates(*shapes, merge_black=merge)["white"] for merge in (False, True))
    taken_mm2 = whole.difference(merged).difference(disc.union(line)).area
    assert taken_mm2 == pytest.approx(told_mm2, rel=0.03)


def test_a_trap_of_the_job_between_inks_that_never_meet_is_told():
    apart = ((box(50, 50, 60, 60), YELLOW), (box(60.5, 50, 80, 60), NAVY), (box(80, 50, 90, 60), RED))
    names = {ink.hex: ink.name for ink in design(*apart).inks}
    pairs = (TrapSetting(names[YELLOW], names[NAVY], 0.2), TrapSetting(names[RED], names[NAVY], 0.2))
    (told,) = notices("setting-unused", *apart, traps=pairs)
    assert told.message.startswith(f"traps[0] sets {names[YELLOW]} into {names[NAVY]}, which nowhere meet")
    assert told.severity == "note"
    assert notices("setting-unused", *apart, traps=pairs, close_gaps_mm=0.5) == []
    corner = ((box(50, 50, 60, 60), YELLOW), (box(60, 60, 80, 70), NAVY))
    assert len(notices("setting-unused", *corner, traps=pairs[:1])) == 1


def test_art_in_the_cloths_colour_is_offered_to_the_cloth_and_taking_it_saves_the_screen():
    shapes = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), NAVY))
    stack = make_stack(design(*shapes), Settings(garment_hex=RED))
    assert any(saving.step.startswith("leave") and "garment.knock_out" in saving.cost for saving in stack.savings)
    values = Settings(**read_job(f'[garment]\nhex = "{RED}"\nknock_out = true\n'))
    bare = separate_inks(Artwork(200.0, 200.0, tuple(PaintedShape(a, h, PLACE) for a, h in shapes)), values)
    assert len(make_plates(bare, values)) == len(stack.plates) - 1
    with pytest.raises(SettingsError, match=r"nothing is left to print @ garment\.knock_out"):
        separate_inks(Artwork(200.0, 200.0, (PaintedShape(shapes[0][0], RED, PLACE),)), values)


def test_little_ink_is_never_told_as_none():
    shapes = ((box(50, 50, 50.5, 50.5), RED), (box(60, 60, 60.5, 60.5), "#f7f3ea"))
    settings = Settings(garment_hex=RED)
    stack = make_stack(design(*shapes), settings)
    told = [*(notice.message for notice in stack.notices), *(saving.cost for saving in stack.savings)]
    assert sum("0.25 mm²" in text for text in told) == 3  # the red's bare lot, on cloth of its colour, and the cream
    assert not [text for text in told if re.search(r"(?<![.\d])0 mm²", text)]
    (left,) = separate_inks(
        Artwork(200.0, 200.0, tuple(PaintedShape(*shape, PLACE) for shape in shapes)),
        dataclasses.replace(settings, knock_out_garment=True),
    ).notices
    assert "0.25 mm² stay bare" in left.message


def test_the_little_that_recedes_is_never_told_as_none():
    settings = Settings(merge_black=True, spread_mm=0.26)
    stack = make_stack(design((box(50, 50, 60, 60), BLACK), (box(50, 50, 50.2, 50.2), RED)), settings)
    (recedes,) = [notice.message for notice in stack.notices if notice.code == "art-recedes"]
    assert recedes.startswith("less than 0.01 mm², 16.0 % of red, stay unprinted")


def test_a_slip_of_the_decimal_point_is_told():
    stack = make_stack(design((box(50, 50, 90, 90), RED)), Settings(choke_mm=5.0))
    assert {"far-distance", "white-short"} <= {notice.code for notice in stack.notices}
    usual = make_stack(design((box(50, 50, 90, 90), RED)), Settings())
    assert not {"far-distance", "white-short"} & {notice.code for notice in usual.notices}


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ({}, []),
        ({"min_line_mm": 0.1}, ["white.min_line is 0.1 mm, finer than the 0.31 mm that 110 threads/inch holds"]),
        ({"white_mesh_per_inch": 60}, ["white.min_line is 0.3 mm"]),
        ({"min_gap_mm": 0.0}, ["blocker.min_gap is 0 mm, finer than the 0.4 mm that 86 threads/inch holds"]),
        ({"min_line_mm": 0.1, "min_gap_mm": 0.1, "detail_line_mm": 0.1, "detail_gap_mm": 0.1}, []),
        ({"detail_line_mm": 0.6}, []),  # of that the check tells
        ({"min_line_mm": 0.1, "detail_white_line_mm": 0.1}, []),
        ({"min_line_mm": 0.1, "detail_colour_line_mm": 0.1}, ["white.min_line is 0.1 mm"]),
        ({"min_gap_mm": 0.1, "detail_blocker_gap_mm": 0.1}, []),
        ({"min_gap_mm": 0.1, "detail_white_gap_mm": 0.1}, ["blocker.min_gap is 0.1 mm"]),
    ],
)
def test_detail_that_the_job_asks_of_a_mesh_that_does_not_hold_it_is_told(values, told):
    """86 and 110 threads/inch have 70 and 64 micrometres of thread to 295 and 231 of pitch."""
    found = [notice.message for notice in notices("finer-than-mesh", (box(50, 50, 90, 90), RED), **values)]
    assert len(found) == len(told)
    assert all(message.startswith(start) for message, start in zip(found, told, strict=True))


def test_colours_run_under_a_highlight_white_that_prints_last_and_its_own_edge_stays():
    white, navy = box(55, 55, 60, 60), box(50, 50, 70, 70)
    made = plates((navy, NAVY), (white, WHITE), highlight_white=True, trap_mm=0.25)
    assert differ(made[WHITE], white) < AREA_TOLERANCE
    assert differ(made[NAVY], navy.difference(box(55.25, 55.25, 59.75, 59.75))) < AREA_TOLERANCE


def line_between(line_mm, *sides):
    """A navy line from 60 mm on, and what lies on its left and right."""
    boxes = (box(50, 50, 60, 90), box(60 + line_mm, 50, 70, 90))
    return ((box(60, 50, 60 + line_mm, 90), NAVY), *((area, hex_) for area, hex_ in zip(boxes, sides, strict=False)))


def left_bare(line_mm, *sides, **values):
    """How much of the navy line (mm, in its middle) has no yellow beneath."""
    made = plates(*line_between(line_mm, *sides), **values)
    return shapely.difference(shapely.LineString([(60, 70), (60 + line_mm, 70)]), made[YELLOW]).length


@pytest.mark.parametrize(("line_mm", "trap_mm"), [(0.7, 0.4), (0.8, 0.25), (1.2, 0.4), (1.4, 0.7)])
def test_a_trap_takes_at_most_half_of_a_thin_neighbour(line_mm, trap_mm):
    wanted = line_mm - 2 * min(trap_mm, line_mm / 2)
    assert wanted - 0.01 <= left_bare(line_mm, YELLOW, YELLOW, trap_mm=trap_mm) <= wanted + 0.09


@pytest.mark.parametrize("line_mm", [0.05, 0.1, 0.15, 0.3, 0.45, 0.55, 0.65, 0.7])
def test_a_slot_between_traps_that_no_mesh_holds_open_fills_under_what_prints_over_it(line_mm):
    """The published guide lets a trap take half of an outline at its thinnest: two take all of it. A third each left a
    slot in the yellow, and a slip of register white beside the line."""
    assert left_bare(line_mm, YELLOW, YELLOW) == 0
    shapes = line_between(line_mm, YELLOW, YELLOW)
    made = plates(*shapes)
    assert differ(made[YELLOW], box(50, 50, 70, 90)) < AREA_TOLERANCE + 4 * 2 * line_mm * 0.01
    assert differ(made[NAVY], shapes[0][0]) < AREA_TOLERANCE


@pytest.mark.parametrize("line_mm", [0.15, 0.3, 0.45, 0.6, 0.8])
@pytest.mark.parametrize("beyond", [(), (WHITE,)])
def test_a_dark_line_before_white_or_cloth_keeps_what_it_may_slip_bare_of_the_trap(line_mm, beyond):
    """So that none of the yellow shows beyond it; a thinner one keeps two thirds of itself."""
    assert left_bare(line_mm, YELLOW, *beyond) >= min(line_mm * 2 / 3, Settings().registration_mm) - 0.01


def test_a_light_line_stays_open_in_the_dark_ink_around_it():
    made = plates((box(50, 50, 70, 90), NAVY), (box(60, 50, 60.1, 90), YELLOW))
    assert differ(made[NAVY], box(50, 50, 70, 90).difference(box(60, 50, 60.1, 90))) < AREA_TOLERANCE


def test_a_trap_is_whole_where_a_dark_ink_runs_out_between_a_light_and_another_dark_one():
    light, wedge = box(50, 50, 70, 60), shapely.Polygon([(50, 60), (70, 60), (50, 66)])
    shapes = ((light, YELLOW), (box(50, 60, 70, 75), NAVY), (wedge, RED))
    made = plates(*shapes, trap_mm=0.3)
    assert differ(made[YELLOW], box(50, 50, 70, 60.3)) < AREA_TOLERANCE
    before_cloth = plates((light, YELLOW), (wedge, RED), trap_mm=0.3)[YELLOW]
    assert before_cloth.bounds[3] == pytest.approx(60.3, abs=1e-3)
    # The red is 0.24 mm wide at 69.2 and 0.39 mm half a millimetre before that: a third of it is under 0.14 mm.
    assert shapely.intersection(before_cloth, box(69.2, 60.14, 70, 66)).is_empty


def test_traps_leave_no_pinholes_under_darker_inks_and_no_bits_of_their_own():
    # A dark wedge that runs out between a light ink and a middle one: the light one's trap narrows in it by steps.
    light, middle, wedge = box(50, 50, 60, 80), box(60, 50, 80, 80), [(60, 55), (60, 70), (75, 80), (60.5, 54)]
    shapes = ((light, YELLOW), (middle, RED), (shapely.Polygon(wedge).buffer(0), NAVY))
    made = plates(*shapes, trap_mm=0.25, detail_gap_mm=0.25)
    for hex_, area in ((YELLOW, made[YELLOW]), (RED, made[RED])):
        drawn = next(ink.area for ink in design(*shapes).inks if ink.hex == hex_)
        pieces = shapely.get_parts(area)
        openings = [shapely.Polygon(ring) for piece in pieces for ring in piece.interiors]
        assert all(opening.area >= np.pi / 4 * 0.25**2 for opening in openings)
        assert all(piece.intersects(drawn) for piece in pieces)


def test_no_bit_of_a_trap_lies_beyond_a_slit_that_its_ink_ends_at():
    """A trap ends round, 0.25 mm past the light ink's corner: across a slit of 0.06 mm it reached the dark beyond."""
    dark = (box(60, 50, 80, 60), NAVY), (box(60, 60.06, 80, 80), NAVY)
    made = plates((box(50, 50, 60, 60), YELLOW), *dark, trap_mm=0.25)
    assert made[YELLOW].bounds == pytest.approx((50, 50, 60.25, 60), abs=1e-3)


@pytest.mark.parametrize("wide_mm", [0.3, 0.34, 0.5, 0.7, 0.8])
def test_traps_under_a_dark_dot_leave_no_opening_that_fills_anyway(wide_mm):
    """Slots alone are looked for: an opening that holds no disc of the narrowest gap is one, whatever its shape."""
    dot = shapely.Point(65, 55).buffer(wide_mm / 2, quad_segs=32)
    made = plates((box(50, 50, 80, 60), YELLOW), (dot, NAVY), trap_mm=0.25, detail_gap_mm=0.25)
    openings = [shapely.Polygon(ring) for piece in shapely.get_parts(made[YELLOW]) for ring in piece.interiors]
    assert all(2 * shapely.minimum_bounding_radius(opening) >= 0.25 - 0.01 for opening in openings)
    assert bool(openings) == (wide_mm >= 0.8)


def test_all_that_the_job_says_wrongly_of_the_inks_is_told_at_once_before_any_plate_is_shaped(monkeypatch):
    for name in ("shape_blocker", "trapped_areas"):
        monkeypatch.setattr(f"vectorsep.plates.stack.{name}", lambda *args: pytest.fail("work that is thrown away"))
    pairs = (TrapSetting("mauve", "red", 0.1), TrapSetting("red", "puce", 0.1))
    with pytest.raises(SettingsError) as caught:
        plates(
            (box(50, 50, 60, 60), RED),
            merge_black=True,
            design_black="coal",
            print_order=(RED, "plum", "sky"),
            traps=pairs,
        )
    places = [problem.rsplit(" @ ")[-1] for problem in caught.value.problems]
    assert places == ["blocker.design_black", "colour.order[1]", "colour.order[2]", "traps[0]", "traps[1]"]


def test_the_pair_table_goes_before_lightness():
    shapes = ((box(50, 50, 60, 60), YELLOW), (box(60, 50, 80, 60), NAVY))
    names = {ink.hex: ink.name for ink in design(*shapes).inks}
    made = plates(*shapes, traps=(TrapSetting(names[NAVY], names[YELLOW], 0.1),))
    assert differ(made[YELLOW], box(50, 50, 60, 60)) < AREA_TOLERANCE
    assert differ(made[NAVY], box(59.9, 50, 80, 60)) < AREA_TOLERANCE
    with pytest.raises(SettingsError, match=r"traps\[0\]"):
        plates(*shapes, traps=(TrapSetting("mauve", names[YELLOW], 0.1),))


def test_art_without_black_has_none_for_the_blocker_to_print():
    """So one job file serves a whole shop; only a black that the job names must be there."""
    red, navy = (box(70, 50, 80, 60), RED), (box(50, 50, 60, 60), NAVY)
    asked, plain = (make_stack(design(red, navy), Settings(merge_black=merge)) for merge in (True, False))
    assert asked.plates == plain.plates
    (told,) = unused(red, navy, merge_black=True)
    assert "no ink of the art is black" in told
    with pytest.raises(SettingsError, match=r"blocker\.design_black"):
        plates(red, navy, merge_black=True, design_black="#000000")
    assert NAVY not in plates(
        (box(50, 50, 60, 60), NAVY), (box(70, 50, 80, 60), RED), merge_black=True, design_black=NAVY
    )


def test_screens_to_be_saved_are_told():
    shapes = ((box(50, 50, 60, 60), BLACK), (box(70, 50, 80, 60), RED), (box(90, 50, 99, 60), "#ca2029"))
    savings = make_stack(design(*shapes), Settings(garment_hex="#c81e28")).savings
    assert sum(not saving.taken for saving in savings) == 4
    assert all(saving.cost for saving in savings)
    # Merging the black and leaving a red to the garment go together; leaving that red and joining it with another not.
    changes = {saving.step.split()[0]: saving.changes for saving in savings}
    assert not changes["let"] & changes["leave"]
    assert changes["leave"] & changes["print"]
    merged = make_stack(design(*shapes), Settings(merge_black=True)).savings
    assert [saving.screens for saving in merged if saving.taken] == [1]


def test_savings_that_take_the_same_white_do_not_go_together():
    """White art, whatever its ink is called, cannot print with the white under the colours where that is left off."""
    shapes = (box(50, 50, 60, 60), RED), (box(70, 50, 80, 60), WHITE)
    values = {"highlight_white": True, "blocker": "grey", "inks": (InkSetting(WHITE, "snow"),)}
    savings = make_stack(design(*shapes, **values), Settings(**values)).savings
    changes = {saving.key: saving.changes for saving in savings}
    assert changes["white.highlight = false"] & changes["white.under_colours = false"]
    assert [saving.key for saving in savings if saving.weakens] == ["white.under_colours = false"]


@pytest.mark.parametrize(
    ("hex_", "passes"), [("#343434", True), ("#363636", False), ("#1a1a2a", True), ("#1a1a2c", False)]
)
def test_only_dark_ink_that_is_hardly_coloured_passes_for_black(hex_, passes):
    """By CIELAB, which tests/test_colour.py holds: lightness 21.7 and 22.6, at most 22; chroma 11.8 and 13.3 at a
    lightness of 10, at most 12. Charcoal and navy that the blocker prints would come out as black."""
    shapes = (box(50, 50, 60, 60), hex_), (box(70, 50, 80, 60), RED)
    merged = make_stack(design(*shapes), Settings(merge_black=True))
    assert (hex_ not in {plate.hex for plate in merged.plates}) == passes
    offered = [saving for saving in make_stack(design(*shapes), Settings()).savings if saving.step.startswith("let")]
    assert len(offered) == passes


def test_of_several_blacks_that_the_blocker_may_print_it_is_said_that_only_one_saves_a_screen():
    """Process and spot blacks in one drawing: three rows that save a screen each read as three screens."""
    blacks = [(box(50 + 20 * i, 50, 60 + 20 * i, 60), hex_) for i, hex_ in enumerate((BLACK, "#231f20", "#000000"))]
    offered = [s for s in make_stack(design(*blacks), Settings()).savings if s.step.startswith("let the blocker")]
    assert len(offered) == 3
    assert all("of the 3 blacks it prints one" in saving.cost for saving in offered)
    alone = make_stack(design(*blacks[:1]), Settings()).savings
    assert [saving.cost for saving in alone] == ["black looks as the blocker does"]
    for _, hex_ in blacks:
        merged = make_stack(design(*blacks), Settings(merge_black=True, design_black=hex_))
        assert len(merged.plates) == len(make_stack(design(*blacks), Settings()).plates) - 1


@pytest.mark.parametrize(
    "values",
    [
        {},
        {"blocker": "grey"},
        {"blocker": "grey", "white_under_colours": False},
        {"highlight_white": True},
        {"blocker": "grey", "highlight_white": True},
        {"blocker": "grey", "white_under_colours": False, "highlight_white": True},
    ],
)
@pytest.mark.parametrize("white_art", [(), ((box(50, 70, 60, 80), WHITE),)])
def test_the_key_of_a_saving_written_into_the_job_saves_the_screens_that_it_says(values, white_art):
    shapes = (*white_art, (box(50, 50, 60, 60), BLACK), (box(70, 50, 80, 60), RED), (box(90, 50, 99, 60), "#ca2029"))
    stack = make_stack(design(*shapes), Settings(**values))
    offered = [saving for saving in stack.savings if saving.key and not saving.taken]
    assert offered
    for saving in offered:
        chosen = values | read_job(saving.key)
        made = make_stack(design(*shapes, **chosen), Settings(**chosen))
        assert len(stack.plates) - len(made.plates) == saving.screens, saving.key
    keys = [saving.key for saving in offered]
    carries_two = bool(white_art) and values.get("highlight_white") and values.get("white_under_colours", True)
    assert ("white.highlight = false" in keys) == bool(carries_two)


def test_art_that_is_black_alone_saves_its_white_too_where_the_blocker_prints_it():
    shapes = ((box(50, 50, 60, 60), BLACK),)
    stack = make_stack(design(*shapes), Settings())
    (saving,) = stack.savings
    merged = make_stack(design(*shapes), Settings(**read_job(saving.key)))
    assert len(stack.plates) - len(merged.plates) == saving.screens == 2
    assert [(taken.screens, taken.taken) for taken in merged.savings] == [(2, True)]


def test_two_listed_inks_are_made_one_as_the_saving_says():
    shapes = ((box(50, 50, 60, 60), RED), (box(70, 50, 80, 60), "#ca2029"))
    listed = {"inks": (InkSetting(RED), InkSetting("#ca2029"))}
    (saving,) = make_stack(design(*shapes, **listed), Settings(**listed)).savings
    assert saving.key is None and "take one out of [[inks]]" in saving.cost
    merge = float(re.search(r"colour.merge_inks = ([\d.]+)", saving.cost)[1])
    for kept, screens in ((listed["inks"], 4), (listed["inks"][:1], 3), (listed["inks"][1:], 3)):
        values = {"inks": kept, "merge_inks": merge}
        assert len(make_plates(design(*shapes, **values), Settings(**values))) == screens


def test_an_off_white_that_is_listed_is_made_white_as_the_saving_says():
    shapes = ((box(50, 50, 60, 60), RED), (box(80, 50, 90, 60), "#f4efe6"))
    listed = {"inks": (InkSetting("#f4efe6", "oat"),)}
    (saving,) = make_stack(design(*shapes, **listed), Settings(**listed)).savings
    assert "list #ffffff in [[inks]] in place of #f4efe6 and set" in saving.cost
    merge = float(re.search(r"colour.merge_inks to ([\d.]+)", saving.cost)[1])
    for kept, screens in (((*listed["inks"], InkSetting(WHITE)), 4), ((InkSetting(WHITE),), 3)):
        values = {"inks": kept, "merge_inks": merge}
        assert len(make_plates(design(*shapes, **values), Settings(**values))) == screens


@pytest.mark.parametrize(("registration", "far"), [(0.25, 1.25), (0.1, 0.5), (0.02, 0.25)])
def test_each_distance_of_more_than_five_tolerances_is_told(registration, far):
    """A tolerance that no press has counts as the least, 0.05 mm."""
    shapes = (box(50, 50, 90, 90), YELLOW), (box(90, 50, 130, 90), NAVY)
    yellow, navy = (ink.name for ink in design(*shapes).inks)

    def told(distance):
        values = dict.fromkeys(("spread_mm", "choke_mm", "trap_mm", "clearance_mm"), distance)
        values |= {"traps": (TrapSetting(yellow, navy, distance),), "registration_mm": registration}
        return [notice.message.split()[0] for notice in notices("far-distance", *shapes, **values)]

    assert told(far) == []
    assert told(far + 0.01) == ["blocker.spread", "white.choke", "colour.trap", "colour.clearance", "traps[0].width"]


@pytest.mark.parametrize(("side", "told"), [(4.4, "4.92 mm² of colour, 25 % of all"), (4.6, None)])
def test_colour_without_white_is_told_from_a_quarter_of_all_on(side, told):
    """A choke of 0.3 mm leaves 3.8² of 4.4² mm² on white and 4² of 4.6²: 25.4 and 24.4 % are bare."""
    notices = make_stack(design((box(50, 50, 50 + side, 50 + side), RED)), Settings(choke_mm=0.3)).notices
    short = [notice.message for notice in notices if notice.code == "white-short"]
    assert len(short) == (told is not None) and all(message.startswith(told) for message in short)


@pytest.mark.parametrize(("side", "told"), [(40.0, 0), (4.4, 1)])
def test_what_a_highlight_is_bare_of_is_a_share_of_highlights_too(side, told):
    """All around 40 mm of it a choke of 0.3 mm leaves 48 mm² bare: 3 % of all, but more than there is of the colour."""
    shapes = (box(50, 50, 50 + side, 50 + side), WHITE), (box(52, 52, 53, 53), RED)
    assert len(notices("white-short", *shapes, choke_mm=0.3, highlight_white=True)) == told


@pytest.mark.parametrize(("choke_mm", "offered"), [(0.25, False), (0.4, True)])
def test_no_choke_below_the_registration_is_advised_where_white_is_short(choke_mm, offered):
    """The check warns of white that such a choke shows; one down to the registration shows none."""
    small = (box(50, 50, 53.5, 53.5), RED)
    (message,) = [notice.message for notice in notices("white-short", small, choke_mm=choke_mm)]
    assert ("a white.choke down to the registration's 0.25 mm" in message) == offered
    assert "white.choke" in message or not offered


@pytest.mark.parametrize(
    ("named", "how"), [(None, "(found by its lightness and chroma)"), (BLACK, "(named in the job)")]
)
def test_it_is_told_how_the_blocker_came_to_its_black(named, how):
    shapes = (box(50, 50, 60, 60), BLACK), (box(70, 50, 80, 60), RED)
    stack = make_stack(design(*shapes), Settings(merge_black=True, design_black=named))
    (told,) = [notice.message for notice in stack.notices if notice.code == "black-merged"]
    assert BLACK in told and told.endswith(how)


def test_a_highlight_white_on_white_cloth_is_offered_to_the_cloth_too():
    shapes = (box(50, 50, 60, 60), WHITE), (box(70, 50, 80, 60), RED)
    values = {"highlight_white": True, "garment_hex": WHITE}
    stack = make_stack(design(*shapes), Settings(**values))
    (left,) = [saving for saving in stack.savings if saving.step == "leave white to the garment"]
    assert left.cost == "100 mm² show bare cloth, 0.0 from the ink (CIEDE2000): set garment.knock_out"
    chosen = values | {"knock_out_garment": True}
    made = make_stack(design(*shapes, **chosen), Settings(**chosen))
    assert len(stack.plates) - len(made.plates) == left.screens == 1


def test_black_is_offered_to_a_grey_blocker_only_where_a_black_one_may_take_its_place():
    shapes = (box(50, 50, 60, 60), BLACK), (box(70, 50, 80, 60), RED)

    def offered(**values):
        made = make_stack(design(*shapes), Settings(blocker="grey", **values))
        return [(s.key, s.cost) for s in made.savings if s.step.startswith("let the blocker")]

    assert offered() == [(None, "needs a black blocker instead of a grey one; black looks as the blocker does")]
    assert offered(white_under_colours=False) == []


@pytest.mark.parametrize("highlight", [False, True])
def test_art_without_colours_has_none_to_go_without_white(highlight):
    stack = make_stack(design((box(50, 50, 60, 60), WHITE)), Settings(blocker="grey", highlight_white=highlight))
    assert [saving for saving in stack.savings if "colours" in saving.step] == []


def test_on_grey_the_colours_may_go_without_white():
    made = plates((box(50, 50, 60, 60), RED), blocker="grey", white_under_colours=False)
    assert list(made) == ["blocker", RED]


UNEVEN_MM = 0.00137
"""Keeps round sizes off those at which a core begins or ends, where the last bits of its outline decide."""


def random_shapes():
    number = st.floats(30, 170)
    disc = st.builds(lambda x, y, r: Point(x, y).buffer(r + UNEVEN_MM), number, number, st.floats(0.2, 25))
    bar = st.builds(
        lambda x, y, w, h, turn: affinity.rotate(box(x, y, x + w + UNEVEN_MM, y + h + UNEVEN_MM), turn),
        number, number, st.floats(0.2, 30), st.floats(0.2, 30), st.floats(0, 180),
    )  # fmt: skip
    return st.lists(st.tuples(disc | bar, st.sampled_from([RED, YELLOW, NAVY, WHITE, BLACK])), min_size=1, max_size=9)


distances = st.builds(
    lambda registration, spread, choke, trap: {
        "registration_mm": registration, "spread_mm": spread, "choke_mm": choke, "trap_mm": trap,
    },
    st.floats(0.05, 0.5), st.floats(0, 1), st.floats(0, 0.6), st.floats(0, 0.4),
)  # fmt: skip


@given(random_shapes(), distances, st.booleans())
@hypothesis_settings(max_examples=60, deadline=None)
def test_every_upper_plate_keeps_its_clearance_by_construction(shapes, values, merge):
    merge = merge and any(hex_ == BLACK for _, hex_ in shapes) and bool(design(*shapes).inks)
    try:
        made = make_plates(design(*shapes), Settings(merge_black=merge, **values))
    except SettingsError:  # the only black is hidden under something
        return
    blocker = made[0].area
    for plate in made[1:]:
        assert plate.area.is_valid
        # Oracle: the plate grown by the clearance (inscribed arcs, hence a hair less) lies within the blocker.
        grown = shapely.buffer(plate.area, values["registration_mm"], quad_segs=16)
        assert shapely.difference(grown, blocker).area < 1e-9


@given(random_shapes(), distances)
@hypothesis_settings(max_examples=60, deadline=None)
def test_every_piece_of_white_can_be_printed_or_hangs_on_white_art(shapes, values):
    made, job = design(*shapes), Settings(**values)
    drawn_white = shapely.union_all([ink.area for ink in made.inks if ink.hex == WHITE])
    for plate in make_plates(made, job):
        for piece in shapely.get_parts(plate.area) if plate.role == "white" else ():
            holds_a_disc = not piece.buffer(0.003 - job.min_line_mm / 2, quad_segs=16).is_empty
            assert holds_a_disc or shapely.dwithin(piece, drawn_white, 0.002)


@given(random_shapes(), st.floats(-20, 20), st.floats(-20, 20))
@hypothesis_settings(max_examples=25, deadline=None)
def test_the_job_commutes_with_a_move(shapes, dx, dy):
    here = plates(*shapes)
    there = plates(*((affinity.translate(area, dx, dy), hex_) for area, hex_ in shapes))
    assert here.keys() == there.keys()
    for name, area in here.items():
        assert differ(affinity.translate(area, dx, dy), there[name]) < 2e-3 * max(area.length, 1)


@given(random_shapes(), st.floats(0, 360))
@hypothesis_settings(max_examples=25, deadline=None)
def test_the_job_commutes_with_a_turn(shapes, turn):
    def turned(area):
        return affinity.rotate(area, turn, origin=(100, 100))

    here, there = plates(*shapes), plates(*((turned(area), hex_) for area, hex_ in shapes))
    assert here.keys() == there.keys()
    for name, area in here.items():
        # A turn moves where round corners have their vertices, each off by up to the chord tolerance.
        assert differ(turned(area), there[name]) < 5 * CHORD_TOLERANCE_MM * max(area.length, 1)


def test_the_job_commutes_with_scale_when_distances_scale_too():
    shapes = ((Point(60, 60).buffer(20), RED), (box(70, 50, 95, 58), NAVY), (box(50, 90, 90, 90.9), YELLOW))
    lengths = ("registration_mm", "spread_mm", "choke_mm", "trap_mm", "min_line_mm", "min_gap_mm")
    single = Settings(min_choke_mm=0.1)
    double = dataclasses.replace(
        single, **{name: 2 * getattr(single, name) for name in lengths}, clearance_mm=0.5, min_choke_mm=0.2
    )
    here = make_plates(design(*shapes), single)
    there = make_plates(design(*((affinity.scale(area, 2, 2, origin=(0, 0)), hex_) for area, hex_ in shapes)), double)
    for one, two in zip(here, there, strict=True):
        assert differ(affinity.scale(one.area, 2, 2, origin=(0, 0)), two.area) < 0.02 * two.area.length


def test_plates_are_the_same_every_time():
    rng = np.random.default_rng(4)
    shapes = [
        (Point(*rng.uniform(40, 160, 2)).buffer(rng.uniform(2, 25)), [RED, NAVY, YELLOW][i % 3]) for i in range(20)
    ]
    first, second = (make_plates(design(*shapes), Settings()) for _ in range(2))
    assert [shapely.to_wkb(plate.area) for plate in first] == [shapely.to_wkb(plate.area) for plate in second]


@pytest.mark.parametrize(
    ("values", "severity", "says"),
    [
        ({}, "note", "on any cloth but a black one, and the job does not tell the garment's colour (garment.hex)"),
        (
            {"blocker": "grey"},
            "note",
            "on any cloth but a grey one, and the job does not tell the garment's colour (garment.hex)",
        ),
        ({"garment_hex": "#17171a"}, "note", "hardly shows on the garment's #17171a (CIEDE2000 difference 1.7)"),
        ({"garment_hex": "#1b2745"}, "note", "shows on the garment's #1b2745 (CIEDE2000 difference 13.9)"),
        ({"garment_hex": "#58585a"}, "note", "difference 19.6)"),
        ({"garment_hex": "#5b5b5d"}, "warning", "difference 20.6); a grey one would show less (difference 13.9)"),
        ({"garment_hex": "#8d9094"}, "warning", "difference 40.6); a grey one would show less (difference 6.1)"),
        ({"garment_hex": "#8d9094", "merge_black": True}, "warning", "difference 40.6)"),
        (
            {"garment_hex": "#1b2745", "blocker": "grey"},
            "warning",
            "difference 33.0); a black one would show less (difference 13.9)",
        ),
        (
            {"garment_hex": "#1b2745", "blocker": "grey", "white_under_colours": False},
            "warning",
            "(CIEDE2000 difference 33.0)",
        ),
    ],
)
def test_the_rim_is_told_as_it_shows_on_the_cloth_that_the_job_tells(values, severity, says):
    """The differences: CIEDE2000, whose formula tests/test_colour.py holds against its authors' table."""
    notices = make_stack(design((box(9, 9, 40, 40), RED)), Settings(**values)).notices
    (rim,) = (notice for notice in notices if notice.code == "rim")
    assert rim.severity == severity
    assert rim.message.endswith(says)


def test_a_rim_that_is_seen_before_tonal_art_is_a_warning():
    """Ink nearly the garment's colour, on black: all that one sees of it is the outline."""
    navy, shade, deep = "#1b2745", "#1f2f52", "#24365e"
    art = (box(9, 9, 40, 40), shade), (box(20, 20, 25, 25), deep)
    (rim,) = notices("rim", *art, garment_hex=navy)
    assert rim.severity == "warning"
    assert re.search(
        r"; it is seen before [a-z ]+, 3\.\d from the cloth: a smaller blocker\.spread shows less", rim.message
    )
    beside = (box(9, 9, 40, 40), shade), (box(50, 9, 80, 40), deep)  # both at the cloth: the fainter one is named
    for both in (beside, beside[::-1]):
        assert ", 3." in notices("rim", *both, garment_hex=navy)[0].message
    framed = (box(5, 5, 44, 44), RED), *art  # the same shades, all of them within a bold red
    assert [notice.severity for notice in notices("rim", *framed, garment_hex=navy)] == ["note"]
    assert [notice.severity for notice in notices("rim", *art, garment_hex="#17171a")] == ["note"]
    assert [notice.severity for notice in notices("rim", *art)] == ["note"]
