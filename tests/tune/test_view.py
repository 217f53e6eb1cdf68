"""Plates of a part of the design: those of the whole design there, and exact where the answer is known."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from disc import CENTRE_MM, DISC, RADIUS_MM, RIM_MM

from vectorsep.api import read_design
from vectorsep.batch import settings_beside
from vectorsep.errors import SettingsError
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM
from vectorsep.plates import make_stack
from vectorsep.settings import Settings, TrapSetting
from vectorsep.tune.view import first_window, loupe_window, view_of

DEMOS = sorted((Path(__file__).parents[2] / "demo_designs").glob("*.svg"))
WIDE_MM = 20.0
THICKEST_MM = 0.02
"""A difference from the whole design's plates no wider than this is a twelfth of the usual registration."""

LEFT_AND_RIGHT = """<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="40mm" viewBox="0 0 100 40">
<rect x="5" y="10" width="20" height="20" fill="#c81e28"/>
<rect x="60" y="10" width="15" height="20" fill="#f2c230"/><rect x="75" y="10" width="15" height="20" fill="#101012"/>
</svg>"""


SLANTED = f"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="20 20 100 100">
<rect width="140" height="140" fill="#203050"/>
<path d="{" ".join(f"M0,{y}L140,{y + 37.3}v2L0,{y + 2}z" for y in range(-40, 140, 4))}" fill="#f2b632"/></svg>"""
"""Yellow bars that slant across a whole blue page and beyond it."""


def windows(design, count, seed):
    rng = np.random.default_rng(seed)
    for left, top in rng.uniform((0, 0), (design.width_mm - WIDE_MM, design.height_mm - WIDE_MM), (count, 2)):
        yield (left, top, left + WIDE_MM, top + WIDE_MM)


def differing(view, stack):
    """Where each plate of the whole stack and of the view differ by more than a film could show, in the window."""
    frame = shapely.box(*view.window)
    seen = {plate.ink: plate.area for plate in view.plates}
    for plate in stack.plates:
        other = seen.pop(plate.ink, shapely.MultiPolygon())
        difference = shapely.symmetric_difference(shapely.intersection(plate.area, frame), other)
        yield plate.ink, shapely.buffer(difference, -THICKEST_MM / 2).area
    assert seen == {}


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_plates_in_sight_are_those_of_the_whole_design(demo):
    settings = settings_beside(demo)
    design = read_design(demo, settings)
    moved = replace(settings, spread_mm=settings.spread_mm + 0.07, choke_mm=settings.choke_mm + 0.03)
    for seed, tuned in enumerate((settings, moved)):
        stack = make_stack(design, tuned)
        views = [view_of(design, window, tuned) for window in windows(design, 6, seed)]
        assert sum(len(view.plates) for view in views) > 6
        for view in views:
            assert {ink: area for ink, area in differing(view, stack) if area > 0} == {}


def test_inks_that_meet_along_edges_longer_than_the_window_still_meet():
    design = read_design(SLANTED)
    stack = make_stack(design, Settings())
    for left, top in ((64.4, 64.6), (41.2, 22.9), (4.3, 30.7), (32.7, 3.6)):
        view = view_of(design, (left, top, left + WIDE_MM, top + WIDE_MM), Settings())
        white = next(plate.area for plate in view.plates if plate.role == "white")
        assert shapely.area(white) == pytest.approx(WIDE_MM**2, rel=1e-6)  # no cloth in sight: it lies under all
        assert {ink: area for ink, area in differing(view, stack) if area > 0} == {}


def test_the_comparison_finds_a_wrong_choke():
    design = read_design(DISC)
    wrong = view_of(design, RIM_MM, Settings(choke_mm=0.34))
    assert [ink for ink, area in differing(wrong, make_stack(design, Settings())) if area > 0] == ["white"]


@pytest.mark.parametrize(("spread_mm", "choke_mm"), [(0.4, 0.3), (0.83, 0.12), (0.3, 0.0)])
def test_edges_lie_where_the_numbers_say(spread_mm, choke_mm):
    view = view_of(read_design(DISC), RIM_MM, Settings(spread_mm=spread_mm, choke_mm=choke_mm))
    expected = dict(zip(("blocker", "white", "colour"), (spread_mm, -choke_mm, 0.0), strict=True))
    for plate in view.plates:
        distances = np.hypot(*(edge_points(plate.area) - CENTRE_MM).T) - RADIUS_MM
        assert np.abs(distances - expected.pop(plate.role)).max() < 3 * CHORD_TOLERANCE_MM
    assert expected == {}


def edge_points(area):
    """The outline's points, without those on the window's own edge."""
    points = shapely.get_coordinates(area)
    left, top, right, bottom = RIM_MM
    inside = (points > (left + 0.01, top + 0.01)) & (points < (right - 0.01, bottom - 0.01))
    return points[inside.all(axis=1)]


def test_inks_out_of_sight_are_still_the_designs():
    design = read_design(LEFT_AND_RIGHT)
    black, yellow = (next(ink for ink in design.inks if ink.hex == hex_) for hex_ in ("#101012", "#f2c230"))
    settings = Settings(
        merge_black=True,
        design_black=black.name,
        min_choke_mm=0.0,
        traps=(TrapSetting(yellow.name, design.inks[0].name, 0.1),),
    )
    on_the_left = view_of(design, (0, 5, 30, 35), settings)
    assert [plate.role for plate in on_the_left.plates] == ["blocker", "white", "colour"]
    on_the_right = view_of(design, (65, 12, 85, 28), settings)
    assert on_the_right.plates[-1].area.bounds[2] == pytest.approx(75.25, abs=0.01)


@pytest.mark.parametrize("window", [(0, 5, 30, 35), (200, 200, 210, 210)], ids=["art", "no art"])
def test_what_the_job_asks_in_vain_is_refused_as_for_the_whole_design(window):
    with pytest.raises(SettingsError, match=r"no ink is called 'soot'.* @ blocker.design_black"):
        view_of(read_design(LEFT_AND_RIGHT), window, Settings(merge_black=True, design_black="soot"))


def test_where_no_art_is_no_plate_is():
    assert view_of(read_design(DISC), (200, 200, 210, 210), Settings()).plates == ()


def test_art_just_out_of_sight_is_still_spread_into_the_window():
    view = view_of(read_design(DISC), (50.2, 29, 51.2, 31), Settings())
    assert [plate.role for plate in view.plates] == ["blocker"]
    assert view.plates[0].area.bounds[0::2] == pytest.approx((50.2, 50.4), abs=0.002)


def test_the_first_look_is_at_an_edge_or_where_asked():
    design = read_design(DISC)
    left, top, right, bottom = first_window(design)
    middle = (left + right) / 2 - CENTRE_MM, (top + bottom) / 2 - CENTRE_MM
    assert np.hypot(*middle) == pytest.approx(RADIUS_MM, abs=0.01)
    assert first_window(design, (12.5, 7.0)) == (2.5, -3.0, 22.5, 17.0)


def test_the_loupe_is_at_the_edge_nearest_to_the_middle_of_the_window():
    design = read_design(LEFT_AND_RIGHT)
    assert loupe_window(design, (0, 0, 100, 40)) == pytest.approx(
        (56.4, 16.4, 63.6, 23.6)
    )  # yellow's left edge, x = 60
    assert loupe_window(design, (10, 10, 50, 20)) == pytest.approx((21.4, 11.4, 28.6, 18.6))  # red's right edge, x = 25
    assert loupe_window(design, (64, 14, 66, 16)) == pytest.approx(
        (61.4, 11.4, 68.6, 18.6)
    )  # no edge in it: its middle


def test_a_design_without_art_has_a_loupe_too():
    design = read_design(LEFT_AND_RIGHT)
    assert loupe_window(replace(design, inks=()), (0, 0, 10, 10)) == pytest.approx((1.4, 1.4, 8.6, 8.6))
