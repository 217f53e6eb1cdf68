"""Colour without white, on plates whose areas are known by hand, and on the plates of art of many kinds."""

import dataclasses
import math

import pytest
import shapely
from shapely import Point, Polygon, box

from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, PaintedShape, Place, Plate
from vectorsep.plates import make_plates
from vectorsep.press import stack_findings
from vectorsep.press.white_cover import bare_colours
from vectorsep.settings import Settings, TrapSetting

JOB = Settings()
BLOCKER = Plate("blocker", "blocker black", "#000000", box(-1, -1, 41, 21))
RED = Plate("colour", "red", "#c81e28", box(0, 0, 20, 20))
NAVY = Plate("colour", "navy", "#14285a", box(20, 0, 40, 20))


def with_white(area):
    return (BLOCKER, Plate("white", "white", "#ffffff", area), RED, NAVY)


def test_a_usual_choke_leaves_nothing_bare():
    assert bare_colours(with_white(box(0.3, 0.3, 39.7, 19.7)), JOB) == ()


def test_the_share_of_each_colour_is_told_by_area():
    """White ends at x = 30: of the navy, from 20 to 39.58 and 0.42 from its edges, all from 30 on is bare."""
    (navy,) = bare_colours(with_white(box(0.3, 0.3, 30, 19.7)), JOB)
    assert navy.plate is NAVY
    assert navy.share == pytest.approx(9.57 / 19.57, abs=0.002)
    assert navy.bare_mm2 == pytest.approx(9.57 * 19.14, rel=0.005)
    assert Point(navy.at_mm).within(box(30, 0.4, 39.6, 19.6))


def test_small_retouching_passes_and_more_does_not():
    whole = box(0.3, 0.3, 39.7, 19.7)
    deep_mm2 = 19.57 * 19.14  # of either ink, see above
    for share, found in ((0.04, 0), (0.06, 1)):  # a twentieth is retouching
        hole = box(5, 5, 15, 5 + share * deep_mm2 / 10)
        assert len(bare_colours(with_white(whole.difference(hole)), JOB)) == found


@pytest.mark.parametrize(("radius_mm", "found"), [(0.95, []), (1.05, ["red"])])
def test_a_spot_too_wide_for_retouching_is_a_lack_on_a_print_of_any_size(radius_mm, found):
    """Of the 374 mm² of either ink away from its edges it is not a hundredth."""
    white = box(0.3, 0.3, 39.7, 19.7).difference(Point(10, 10).buffer(radius_mm, quad_segs=64))
    findings = stack_findings(with_white(white), JOB)
    assert [finding.plate for finding in findings if finding.severity == "unsafe"] == found
    assert all("3.46 mm², under 1 % of this ink" in finding.message for finding in findings)


def test_a_wide_spot_counts_for_each_ink_that_it_bares():
    """Of each a half, in which alone no disc of that width fits."""
    white = box(0.3, 0.3, 39.7, 19.7).difference(Point(20, 10).buffer(1.5, quad_segs=64))
    assert [lack.plate for lack in bare_colours(with_white(white), JOB)] == [RED, NAVY]


def test_beads_on_a_string_lack_white_that_is_gone():
    """Each leaves but a spot away from its edges, and each is wider than any place where lines too thin for white meet:
    2.1 times the 0.8 mm of a line that just carries some."""
    string = shapely.union_all([Point(2 + 1.9 * i, 10).buffer(1) for i in range(9)])
    plates = (
        BLOCKER,
        Plate("white", "white", "#ffffff", string.buffer(-0.3)),
        Plate("colour", "red", "#c81e28", string),
    )
    assert bare_colours(plates, JOB) == ()
    bared = (BLOCKER, Plate("white", "white", "#ffffff", box(30, 5, 35, 15)), plates[2])
    (lack,) = bare_colours(bared, JOB)
    assert lack.share == pytest.approx(1) and lack.bare_mm2 == pytest.approx(9 * math.pi * 0.58**2, rel=0.2)


def test_white_cut_to_a_spot_is_a_stack_too_weak():
    findings = stack_findings(with_white(box(10, 10, 11, 11)), JOB)
    assert [(finding.code, finding.severity, finding.plate) for finding in findings] == [
        ("stack-too-weak", "unsafe", "red"),
        ("stack-too-weak", "unsafe", "navy"),
    ]
    assert "have no white beneath: restore the white" in findings[1].message


@pytest.mark.parametrize("finer", [{}, {"min_choke_mm": 0.1}, {"min_line_mm": 0.1}])
@pytest.mark.parametrize("beyond_mm", [-0.05, 0.05])
def test_art_too_fine_for_white_is_told_the_width_that_carries_some(beyond_mm, finer):
    """Lines of the width that the remedy names, and a little less or more: less has no white and is told so."""
    settings = dataclasses.replace(JOB, **finer)
    wide_mm = 2 * settings.min_choke_mm + settings.min_line_mm + beyond_mm
    plates = make_plates(painted((box(20, 20, 60, 20 + wide_mm), HULL)), settings)
    findings = stack_findings(plates, settings)
    if beyond_mm > 0:
        assert any(plate.role == "white" for plate in plates) and findings == ()
    else:
        (finding,) = findings
        assert (finding.code, finding.severity) == ("stack-too-weak", "unsafe")
        assert "too fine to carry any: draw it wider" in finding.message and "add it" not in finding.message


def test_white_that_is_gone_from_under_wide_art_is_to_be_added():
    (finding,) = stack_findings((BLOCKER, RED, NAVY), JOB)
    assert "no white under its colours: add it" in finding.message


@pytest.mark.parametrize("choke_mm", [1.5, 2.0, 5.0])
def test_a_choke_no_shop_uses_explains_nothing(choke_mm):
    """What lies more than a millimetre from all edges has no white there: more than a twentieth of either ink."""
    white = box(choke_mm, choke_mm, 40 - choke_mm, 20 - choke_mm)
    wide = dataclasses.replace(JOB, choke_mm=choke_mm)
    assert {colour.plate.ink for colour in bare_colours(with_white(white), wide)} == {"red", "navy"}
    widest = dataclasses.replace(JOB, choke_mm=1.0)
    assert bare_colours(with_white(box(1, 1, 39, 19)), widest) == ()


def test_a_wide_trap_between_two_colours_explains_nothing():
    """Even where the blocker prints a black, over which colours run without white. All white under the red is gone."""
    traps = (TrapSetting("red", "navy", 10.0),)
    job = dataclasses.replace(JOB, merge_black=True, traps=traps)
    (red,) = bare_colours(with_white(box(20, 0.3, 39.7, 19.7)), job)
    assert (red.plate, red.share) == (RED, pytest.approx(1))


UNSOUND = {
    "crosses itself": Polygon([(0, 0), (20, 20), (20, 0), (0, 20)]),
    "has no end": box(0, 0, math.inf, 20),
    "reaches for miles": box(0, 0, 1e9, 20),
}


@pytest.mark.parametrize("area", UNSOUND.values(), ids=UNSOUND)
def test_a_plate_that_cannot_be_measured_leaves_the_others_as_they_were(area):
    """The check of the plates tells of it. Of the navy all from 30 to 39.58 is bare, as above."""
    blocker, white, _, navy = with_white(box(0.3, 0.3, 30, 19.7))
    (bare,) = bare_colours((blocker, white, dataclasses.replace(RED, area=area), navy), JOB)
    assert (bare.plate, bare.bare_mm2) == (NAVY, pytest.approx(9.57 * 19.14, rel=0.005))


def painted(*shapes):
    return separate_inks(Artwork(200, 200, tuple(PaintedShape(a, h, Place("path")) for a, h in shapes)), JOB)


YELLOW, WHITE, BLACK, HULL = "#f0c81e", "#ffffff", "#101010", "#c81e28"
FINE = tuple((box(20, 20 + 3 * i, 120, 20 + 3 * i + 0.1 * (i + 2)), HULL) for i in range(20))
DISCS = tuple((Point(60 + 20 * i, 100).buffer(14 - i), (YELLOW, HULL, WHITE)[i % 3]) for i in range(6))
OUTLINED = ((box(20, 20, 120, 120), BLACK), (box(22, 22, 70, 118), YELLOW), (box(72, 22, 118, 118), HULL))
GAPS = tuple((box(20 + 2.3 * i, 20, 21.8 + 2.3 * i, 60), (YELLOW, HULL)[i % 2]) for i in range(30))
ART = {"fine lines": FINE, "discs": DISCS, "outlined": OUTLINED, "gaps": GAPS}
JOBS = {
    "usual": Settings(),
    "loose press": Settings(registration_mm=0.5, choke_mm=0.6, spread_mm=0.7),
    "choke below the least": Settings(choke_mm=0.1, min_choke_mm=0.3),
    "thick white lines": Settings(min_line_mm=0.8),
    "highlight": Settings(highlight_white=True),
}


@pytest.mark.parametrize("settings", JOBS.values(), ids=JOBS)
@pytest.mark.parametrize("shapes", ART.values(), ids=ART)
def test_plates_as_made_lie_on_white(shapes, settings):
    plates = make_plates(painted(*shapes), settings)
    assert any(plate.role == "white" for plate in plates)
    assert bare_colours(plates, settings) == ()


@pytest.mark.parametrize("traps", [(), (TrapSetting("yellow", "black", 1.0),)])
def test_colours_that_run_over_the_blockers_black_need_no_white_there(traps):
    """Bars 2 mm wide: what their traps add would be far more than a twentieth of what should lie on white."""
    settings = Settings(merge_black=True, trap_mm=0.3, min_choke_mm=0.0, traps=traps)
    bars = [(box(30 + 8 * i, 30, 32 + 8 * i, 110), YELLOW) for i in range(10)]
    plates = make_plates(painted(OUTLINED[0], *bars), settings)
    trap_mm = 30 - plates[2].area.bounds[0]
    assert trap_mm == pytest.approx(1.0 if traps else 0.3, abs=0.01)
    assert bare_colours(plates, settings) == ()
