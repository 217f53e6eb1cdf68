"""Painter's order into ink areas: relations that hold for any art, and small cases with known areas."""

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, box

from vectorsep.errors import ArtworkError, SettingsError
from vectorsep.geometry.boolean import HAIRLINE_MM
from vectorsep.geometry.tiles import RESCUE_DECIMALS
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, Notice, PaintedShape, Place
from vectorsep.settings import InkSetting, Settings

RED, BLUE, WHITE = "#c81e28", "#1e3cc8", "#ffffff"
PLACE = Place("path")


def art(*shapes):
    return Artwork(100.0, 100.0, tuple(PaintedShape(area, hex_, PLACE) for area, hex_ in shapes))


def areas(design):
    return {ink.hex: ink.area for ink in design.inks}


def discs():
    number = st.floats(5, 95, allow_nan=False)
    disc = st.builds(lambda x, y, r: Point(x, y).buffer(r), number, number, st.floats(0.5, 30))
    return st.lists(st.tuples(disc, st.sampled_from([RED, BLUE, WHITE, "#20a040"])), min_size=1, max_size=12)


@given(discs())
@settings(max_examples=60, deadline=None)
def test_inks_are_disjoint_and_cover_the_silhouette(shapes):
    design = separate_inks(art(*shapes), Settings())
    silhouette = shapely.union_all([area for area, _ in shapes])
    hairlines_closed = shapely.union(silhouette, silhouette.buffer(HAIRLINE_MM / 2).buffer(-HAIRLINE_MM / 2))
    whole, slack = sum(ink.area.area for ink in design.inks), silhouette.area * 1e-6
    assert silhouette.area - slack <= whole <= hairlines_closed.area + slack
    assert shapely.coverage_is_valid([part for ink in design.inks for part in shapely.get_parts(ink.area)])
    assert all(ink.area.is_valid for ink in design.inks)


@given(discs())
@settings(max_examples=40, deadline=None)
def test_a_hidden_shape_changes_nothing(shapes):
    lowest, *others = shapes
    hidden = shapely.intersection(lowest[0], box(40, 40, 60, 60))
    plain = areas(separate_inks(art(lowest, *others), Settings()))
    with_hidden = areas(separate_inks(art((hidden, "#777777"), lowest, *others), Settings()))
    assert with_hidden.keys() == plain.keys()
    for hex_, area in plain.items():
        # Where the engine fails on an edge more, corners are rounded to a ten-thousandth of a micrometre.
        slack = 1e-6 + 10.0 ** -RESCUE_DECIMALS[0] * area.length
        assert shapely.symmetric_difference(with_hidden[hex_], area).area < slack


@given(discs())
@settings(max_examples=40, deadline=None)
def test_areas_equal_a_point_by_point_reading_of_painters_order(shapes):
    # Oracle: the topmost shape at a sample point gives its colour; no polygon operation is involved.
    found = areas(separate_inks(art(*shapes), Settings()))
    sample = np.random.default_rng(0).uniform(0, 100, (200, 2))
    for x, y in sample:
        point = Point(x, y)
        if min(shapely.distance(point, area.boundary) for area, _ in shapes) < 0.05:
            continue
        on_top = [hex_ for area, hex_ in shapes if area.contains(point)]
        shown = [hex_ for hex_, area in found.items() if area.contains(point)]
        assert shown == on_top[-1:]


def test_a_hairline_between_two_colours_is_no_gap():
    design = separate_inks(art((box(0, 0, 10, 10), RED), (box(10.004, 0, 20, 10), BLUE)), Settings())
    assert shapely.union_all([ink.area for ink in design.inks]).area == pytest.approx(200, abs=0.01)
    assert len(shapely.get_parts(shapely.union_all([ink.area for ink in design.inks]))) == 1


def test_a_gap_that_a_screen_can_show_stays():
    design = separate_inks(art((box(0, 0, 10, 10), RED), (box(10.1, 0, 20, 10), BLUE)), Settings())
    assert shapely.union_all([ink.area for ink in design.inks]).area == pytest.approx(199, abs=1e-6)


def test_colours_alike_become_one_ink_only_on_request():
    shapes = art((box(0, 0, 10, 10), RED), (box(10, 0, 14, 10), "#c91f29"), (box(20, 0, 30, 10), BLUE))
    assert len(separate_inks(shapes, Settings()).inks) == 3
    merged = separate_inks(shapes, Settings(merge_inks=2.0))
    assert {hex_: round(area.area) for hex_, area in areas(merged).items()} == {RED: 140, BLUE: 100}
    assert [notice.code for notice in merged.notices] == ["inks-merged"]


def test_an_ink_of_the_job_takes_in_what_looks_like_it():
    job_red = "#c81f29"
    design = separate_inks(
        art((box(0, 0, 10, 10), RED)), Settings(merge_inks=2.0, inks=(InkSetting(job_red, "signal red"),))
    )
    assert [(ink.name, ink.hex) for ink in design.inks] == [("signal red", job_red)]


def test_garment_coloured_art_is_left_to_the_cloth_on_request():
    shapes = art((box(0, 0, 10, 10), RED), (box(2, 2, 8, 8), "#202024"))
    design = separate_inks(shapes, Settings(garment_hex="#202024", knock_out_garment=True))
    assert {ink.hex: ink.area.area for ink in design.inks} == {RED: 64.0}
    assert design.notices[0].code == "garment-shows"


def test_specks_go_to_the_neighbour_they_border_on_most():
    speck = box(9.9, 5, 10, 5.1)
    shapes = art((box(0, 0, 10, 10), RED), (speck, BLUE), (box(30, 30, 30.05, 30.05), BLUE))
    design = separate_inks(shapes, Settings(clean_below_mm2=0.05))
    assert {ink.hex: round(ink.area.area, 6) for ink in design.inks} == {RED: 100.0}
    given, dropped = design.notices
    assert (given.code, given.severity, dropped.code, dropped.severity) == (
        "speck-cleaned",
        "note",
        "left-out",
        "warning",
    )
    assert given.message.startswith("1 speck, 0.0100 mm²")
    assert dropped.message.startswith("1 speck, 0.0025 mm²")
    assert "is left out: no ink beside; at 30.0" in dropped.message
    apart = art((box(0, 0, 10, 10), RED), *((box(x, 30, x + 0.05, 30.05), BLUE) for x in (30, 40)))
    two = separate_inks(apart, Settings(clean_below_mm2=0.05))
    assert "are left out: no ink beside; first at 30.0" in two.notices[0].message
    assert dropped.at_mm == pytest.approx((30.025, 30.025), abs=0.025)
    assert {ink.hex for ink in separate_inks(shapes, Settings()).inks} == {RED, BLUE}


def test_a_speck_goes_to_the_longest_border_not_to_the_first():
    speck = box(9.9, 5, 10.1, 5.1)
    shapes = art((box(0, 0, 9.9, 10), RED), (box(9.9, 0, 20, 10), WHITE), (speck, BLUE))
    design = separate_inks(shapes, Settings(clean_below_mm2=0.05))
    found = areas(design)
    assert BLUE not in found
    assert found[WHITE].area == pytest.approx(101.0, abs=1e-6)  # three sides of the speck against the red's one


def test_a_mosaic_of_specks_on_art_leaves_no_hole():
    colours = (BLUE, WHITE, "#20a040")  # diagonally, so that no two tiles of a colour join
    tiles = [
        (box(3 + 1.9 * i, 3 + 1.9 * j, 4.9 + 1.9 * i, 4.9 + 1.9 * j), colours[(i + j) % 3])
        for i in range(3)
        for j in range(3)
    ]
    design = separate_inks(art((box(0, 0, 12, 12), RED), *tiles), Settings(clean_below_mm2=4.0))
    assert {hex_: round(area.area, 6) for hex_, area in areas(design).items()} == {RED: 144.0}


def test_specks_are_told_once_however_many():
    specks = [(box(2 * i, 20, 2 * i + 0.1, 20.1), BLUE) for i in range(40)]
    design = separate_inks(art((box(0, 0, 10, 10), RED), *specks), Settings(clean_below_mm2=0.05))
    [notice] = design.notices
    assert (notice.code, notice.message[:25]) == ("left-out", "40 specks, 0.4000 mm² in ")


def test_a_speck_stays_with_its_own_colour_where_that_is_what_it_comes_to_lie_in():
    # Blue's small piece lies in the red; the tiny red one in blue's middle borders on nothing else.
    shapes = art((box(0, 0, 10, 10), RED), (box(4, 4, 4.3, 4.3), BLUE), (box(4.1, 4.1, 4.2, 4.2), RED))
    design = separate_inks(shapes, Settings(clean_below_mm2=0.5))
    assert {hex_: round(area.area, 6) for hex_, area in areas(design).items()} == {RED: 100.0}
    assert [notice.message[:7] for notice in design.notices] == ["1 speck"]


def test_a_patch_of_colours_alike_is_no_heap_of_specks():
    tones = ("#1e3cc8", "#1f3dc9")
    tiles = [
        (box(20 + 0.2 * i, 20 + 0.2 * j, 20.2 + 0.2 * i, 20.2 + 0.2 * j), tones[(i + j) % 2])
        for i in range(10)
        for j in range(10)
    ]
    design = separate_inks(art((box(0, 0, 10, 10), RED), *tiles), Settings(clean_below_mm2=0.05, merge_inks=2.0))
    assert sorted(round(ink.area.area, 6) for ink in design.inks) == [4.0, 100.0]
    assert [notice.code for notice in design.notices] == ["inks-merged"]


def test_art_that_an_engine_loses_is_a_defect_not_a_smaller_design(monkeypatch):
    shapes = art((box(0, 0, 10, 10), RED), (box(20, 0, 22, 2), BLUE))

    def losing(painted):
        return [painted[0], shapely.MultiPolygon()]

    monkeypatch.setattr("vectorsep.inks.separate.without_hairlines", losing)
    with pytest.raises(ArtworkError, match=f"{BLUE} got lost .*: unite shapes"):
        separate_inks(shapes, Settings())


def test_a_stroke_too_thin_for_any_eye_is_no_defect():
    hair = box(0, 50, 100, 50.0001)
    assert separate_inks(art((box(0, 0, 10, 10), RED), (hair, BLUE)), Settings()).inks[0].hex == RED


def test_a_sliver_that_goes_to_a_neighbour_when_a_gap_is_closed_is_no_defect():
    bent = [(26.518, 48.493), (18.198781086486186, 49.28084596739039), (23.301, 55.455), (13.932430182663186, 48.2297)]
    bent += [(6.774, 45.189), (13.79256990833764, 36.98389913902624), (14.667997930462857, 44.478656617070015)]
    bent += [(15.355297437603799, 45.32969767840073), (20.211, 44.89)]
    beside = box(14.567442527141079, 36.252919239971, 28.1126578053098, 43.59601240055018)
    design = separate_inks(art((shapely.Polygon(bent), RED), (beside, BLUE)), Settings())
    assert areas(design)[BLUE].area == pytest.approx(beside.area, abs=1e-3)


def test_inks_are_named_by_the_job_or_by_their_colour():
    shapes = art((box(0, 0, 1, 1), RED), (box(2, 0, 3, 1), "#0000ff"), (box(4, 0, 5, 1), "#0101ff"))
    design = separate_inks(shapes, Settings(inks=(InkSetting(RED, "lantern red"), InkSetting("#00ff00"))))
    assert [ink.name for ink in design.inks] == ["lantern red", "blue", "blue 2"]
    assert [notice.code for notice in design.notices] == ["ink-not-in-art"]


def test_a_misspelt_ink_of_the_job_is_a_warning_that_names_the_nearest_colour():
    shapes = art((box(0, 0, 1, 1), "#1d2a57"), (box(2, 0, 3, 1), "#f4b63f"))
    (notice,) = separate_inks(shapes, Settings(inks=(InkSetting("#1d2a56", "navy"),))).notices
    assert notice.severity == "warning"
    assert "navy as #1d2a56" in notice.message
    assert "nearest in the art is #1d2a57" in notice.message
    assert "inks[0].hex" in notice.message


@pytest.mark.parametrize(
    ("listed", "how"),
    [("#1d2a56", {"merge_inks": 2.0}), ("#202024", {"garment_hex": "#202024", "knock_out_garment": True})],
)
def test_an_ink_that_takes_in_its_like_or_is_left_to_the_cloth_is_not_told_to_be_missing(listed, how):
    shapes = art((box(0, 0, 1, 1), "#1d2a57"), (box(2, 0, 3, 1), "#202024"))
    notices = separate_inks(shapes, Settings(inks=(InkSetting(listed, "listed"),), **how)).notices
    assert [notice.code for notice in notices] != []
    assert "ink-not-in-art" not in {notice.code for notice in notices}


def test_art_that_is_cleaned_up_altogether_is_an_error_that_names_the_key():
    shapes = art((box(0, 0, 1, 1), "#c03020"), (box(3, 3, 4, 4), "#2040c0"))
    with pytest.raises(SettingsError, match=r"under 2 mm².*@ art\.clean_below_mm2"):
        separate_inks(shapes, Settings(clean_below_mm2=2))
    assert len(separate_inks(shapes, Settings(clean_below_mm2=0.9)).inks) == 2


@pytest.mark.parametrize("size_mm", [2e-4, 1e-6])
def test_art_that_paints_nothing_or_nothing_but_dust_is_an_error(size_mm):
    for shapes in (art(), art((box(1, 1, 1 + size_mm, 1 + size_mm), "#c03020"), (box(3, 3, 4, 3 + 1e-5), "#2040c0"))):
        with pytest.raises(ArtworkError, match="paints nothing"):
            separate_inks(shapes, Settings())


def test_art_of_which_all_is_left_out_says_what_it_was():
    left_out = Notice("left-out", "left out: <rect> at line 2: its fill is a gradient", "warning")
    told = Notice("size-unconfirmed", "a pixel counts 1/96 inch", "warning")
    with pytest.raises(ArtworkError, match="nothing of the artwork is left to print") as caught:
        separate_inks(dataclasses.replace(art(), notices=(told, left_out)), Settings())
    assert str(caught.value).splitlines()[1:] == [f"  {left_out.message}"]


def test_art_that_nothing_is_seen_of_says_what_was_passed_over():
    unknown = Notice("unknown-element", "<pageSet> at line 2 is no element that SVG draws, and paints nothing")
    off_page = Notice("off-page", "off the page, and not printed: <rect> at line 4", "warning")
    told = Notice("size-unconfirmed", "a pixel counts 1/96 inch", "warning")
    with pytest.raises(ArtworkError, match="paints nothing that shows on its page") as caught:
        separate_inks(dataclasses.replace(art(), notices=(told, unknown, off_page)), Settings())
    assert str(caught.value).splitlines()[1:] == [f"  {unknown.message}", f"  {off_page.message}"]
