"""Fine detail against shapes of known widths: combs, dumb-bells, rings, wedges and tapered bars."""

import math
import re
from dataclasses import replace

import pytest
import shapely
from handmade import plate, square
from shapely import Polygon, affinity

from vectorsep.check.detail import detail_findings, limits_of
from vectorsep.errors import SettingsError
from vectorsep.geometry.thin import narrow_gaps, thin_places
from vectorsep.job import read_job
from vectorsep.mesh import common_mesh
from vectorsep.settings import InkSetting, Settings

LIMIT = 0.3
WIDTHS = (0.05, 0.1, 0.15, 0.2, 0.25, 0.28, 0.31, 0.35, 0.5)
ERROR = 0.02 * LIMIT + 0.004


def comb(widths, length=6.0, pitch=2.0):
    """A block with one tooth of each width."""
    teeth = [shapely.box(i * pitch - width / 2, 0, i * pitch + width / 2, length) for i, width in enumerate(widths)]
    return shapely.union_all([shapely.box(-2, -3, pitch * len(widths), 0), *teeth])


def test_the_thin_teeth_of_a_comb_are_found_with_their_width_and_length():
    found = thin_places(comb(WIDTHS), LIMIT)
    thin = [(i, width) for i, width in enumerate(WIDTHS) if width < LIMIT]
    assert len(found) == len(thin)
    for i, width in thin:
        (tooth,) = [strip for strip in found if abs(strip.at_mm[0] - 2.0 * i) < 0.3]
        assert tooth.width_mm == pytest.approx(width, abs=ERROR)
        assert tooth.length_mm == pytest.approx(6.0, abs=LIMIT)


def test_the_gaps_between_thick_teeth_are_found_as_the_teeth_of_the_cloth():
    block = shapely.box(-2, -3, 2 * len(WIDTHS), 8)
    found = thin_places(shapely.box(-9, -9, 30, 20).difference(block.difference(comb(WIDTHS))), LIMIT)
    assert len(found) == sum(width < LIMIT for width in WIDTHS)


@pytest.mark.parametrize("neck", [0.05, 0.15, 0.25, 0.35])
@pytest.mark.parametrize("length", [0.2, 0.4, 3.0])
def test_the_neck_of_a_dumb_bell_however_short(neck, length):
    bell = shapely.union_all(
        [square(4, -2 - length / 2, 0), square(4, 2 + length / 2, 0), shapely.box(-length, -neck / 2, length, neck / 2)]
    )
    found = thin_places(bell, LIMIT)
    assert len(found) == (neck < LIMIT)
    for strip in found:
        assert math.dist(strip.at_mm, (0, 0)) < length
        assert strip.width_mm == pytest.approx(neck, abs=0.05 * LIMIT)


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize("neck", [0.03, 0.1, 0.19, 0.22])
def test_a_neck_between_two_round_openings_is_told_as_wide_as_it_is(neck, turn):
    """Beads as the blocker has them where a gap stays open in places: by area over length 0.19 mm were told as 0.06."""
    beads = [shapely.Point(x, 0).buffer(0.2, quad_segs=64) for x in (-(0.2 + neck / 2), 0.2 + neck / 2)]
    sheet = affinity.rotate(square(4).difference(shapely.union_all(beads)), turn, origin=(0, 0))
    (strip,) = thin_places(sheet, LIMIT)
    assert strip.width_mm == pytest.approx(neck, abs=ERROR)
    (between,) = narrow_gaps(shapely.union_all([square(9).difference(square(5)), *beads]), LIMIT)
    assert between.width_mm == pytest.approx(neck, abs=ERROR)


@pytest.mark.parametrize("wall", [0.1, 0.2, 0.35])
def test_a_thin_ring(wall):
    ring = shapely.Point(0, 0).buffer(5, quad_segs=64).difference(shapely.Point(0, 0).buffer(5 - wall, quad_segs=64))
    found = thin_places(ring, LIMIT)
    assert len(found) == (wall < LIMIT)
    for strip in found:
        assert strip.width_mm == pytest.approx(wall, abs=ERROR)
        assert strip.length_mm == pytest.approx(2 * math.pi * (5 - wall / 2), rel=0.01)


@pytest.mark.parametrize("width", [0.002, 0.004, 0.006])
def test_a_plate_of_lines_thinner_than_any_error_is_told(width):
    """Nothing of it prints; beside what does, such a strip is what the engine's arcs leave."""
    ring = square(10).difference(square(10 - 2 * width))
    (line,) = detail_findings([plate("colour", ring, "red")], Settings())
    what, length_mm, *_ = line.message.split()
    assert (line.code, what, float(length_mm)) == ("thin-line", "line", pytest.approx(40, abs=0.1))


@pytest.mark.parametrize(("degrees", "told"), [(90, 0), (60, 0), (40, 0), (30, 0), (15, 1), (5, 1)])
def test_corners_are_no_thin_lines_and_needles_are(degrees, told):
    half = math.tan(math.radians(degrees / 2)) * 10
    assert len(thin_places(Polygon([(0, 0), (10, half), (10, -half)]), LIMIT)) == told


@pytest.mark.parametrize("slope", [0.02, 0.05])
def test_a_tapered_bar_is_thin_as_far_as_its_medial_width_is(slope):
    """A bar from nothing to 1 mm: narrower than the limit up to limit / slope, where the swept disc's middle ends."""
    bar = Polygon([(0, 0), (1 / slope, 0.5), (1 / slope, -0.5)])
    (tip,) = thin_places(bar, LIMIT)
    assert tip.length_mm == pytest.approx(LIMIT / slope, abs=2 * LIMIT + ERROR / slope)
    assert tip.width_mm == pytest.approx(LIMIT / 2, rel=0.1)


def test_nothing_is_told_of_a_bold_plate():
    bold = plate("colour", square(10).difference(square(3)))
    assert list(detail_findings([bold], Settings())) == []


def test_findings_name_plate_place_and_size_the_worst_first():
    specks = [square(0.02 + 0.005 * i, 3 * i, 6) for i in range(8)]
    lines = [shapely.box(0, -1 - i, 3 + i, -0.9 - i) for i in range(3)]
    slotted = shapely.box(30, 0, 40, 10).difference(shapely.box(34, 2, 34.1, 8))
    one = plate("colour", shapely.union_all([*specks, *lines, slotted]), "red")
    found = list(detail_findings([one], Settings()))
    islands = [finding for finding in found if finding.code == "small-island"]
    assert [finding.at_mm[0] for finding in islands] == pytest.approx([3 * i for i in range(8)], abs=0.1)
    assert islands[0].message.startswith("island of less than 0.01 mm²") and islands[0].at_mm == pytest.approx(
        (0, 6), abs=0.01
    )
    thin = [finding for finding in found if finding.code == "thin-line"]
    assert [finding.message.split(",")[0] for finding in thin] == [
        f"line {length} mm long and about 0.1 mm wide" for length in (5, 4, 3)
    ]
    (gap,) = [finding for finding in found if finding.code == "narrow-gap"]
    assert gap.message.startswith("gap 6 mm long and about 0.1 mm wide") and gap.at_mm == pytest.approx(
        (34.05, 5), abs=3
    )
    assert {(finding.plate, finding.severity) for finding in found} == {("red", "warning")}


def test_the_size_of_an_island_is_told_as_finely_as_its_limit():
    """355 threads/inch hold dots of 0.008 mm²: less than 0.01 mm² says nothing beside that."""
    area = shapely.union_all([square(10), square(0.07, x=8)])
    fine = Settings(colour_mesh_per_inch=355)
    (finding,) = detail_findings([plate("colour", area)], fine)
    size, limit = (float(mm2) for mm2 in re.findall(r"([\d.]+) mm²", finding.message))
    assert size == pytest.approx(0.07**2) and size < limit < 0.01
    assert "less than" not in finding.message


@pytest.mark.parametrize(("side_mm", "told"), [(1e-9, False), (0.009, False), (0.011, True)])
def test_dust_that_no_film_shows_is_no_island(side_mm, told):
    """Of one dot at 2,540 dpi, 25.4 mm / 2,540 = 0.01 mm wide; rounding leaves smaller pieces beside an outline."""
    area = shapely.union_all([square(10), square(side_mm, x=8)])
    found = [finding.code for finding in detail_findings([plate("white", area)], Settings())]
    assert found == (["small-island"] if told else [])


def test_pinholes_are_told_once_with_their_number_and_size():
    """Some of them beside a wide slot, of which they are no corners."""
    holes = [shapely.box(x, y, x + 0.1, y + 0.04) for x in range(1, 9) for y in (1.25, 3, 6)]
    slots = [shapely.box(0.5, 0, 9, 1), shapely.box(1, 8, 1.1, 9.5)]
    fine = plate("colour", square(20).difference(shapely.union_all([*holes, *slots])), "red")
    found = list(detail_findings([fine], Settings(detail_gap_mm=0.2)))
    assert [(finding.code, finding.places) for finding in found] == [("narrow-gap", 1), ("pinhole", 24)]
    assert {finding.severity for finding in found} == {"warning"}
    assert found[1].message.startswith("24 pinholes up to 0.1 mm long and about 0.04 mm wide, narrower than the 0.2 mm")
    assert any(hole.contains(shapely.Point(found[1].at_mm)) for hole in holes)
    (alone,) = detail_findings([plate("colour", square(20).difference(holes[0]), "red")], Settings(detail_gap_mm=0.2))
    assert alone.message.startswith("1 pinhole 0.1 mm long") and alone.message.endswith("it fills with ink")


@pytest.mark.parametrize(("side", "code"), [(0.17, "pinhole"), (0.3, None)])
def test_a_hole_is_a_pinhole_up_to_the_dot_that_the_plate_holds_open(side, code):
    """A dot of 0.2 mm covers 0.0314 mm², a square of 0.17 mm 0.0289 mm²."""
    hole = plate("colour", square(9).difference(square(side)), "red")
    found = [finding.code for finding in detail_findings([hole], Settings(detail_gap_mm=0.2))]
    assert found == ([code] if code else [])


def test_limits_go_by_the_mesh_unless_the_job_says_otherwise():
    settings = Settings(inks=(InkSetting("#c03020", mesh_per_inch=230),), detail_multiple=2.0)
    red, blue = plate("colour", square(1), "red"), replace(plate("colour", square(1), "blue"), hex="#0000ff")
    # Two threads and one opening: 230 threads/inch is 90 per cm, thread 48, pitch 110.4 micrometres.
    assert limits_of(red, settings).line_mm == pytest.approx(2 * (0.1104 + 0.048), rel=0.005)
    assert limits_of(blue, settings).line_mm == pytest.approx(2 * common_mesh(160).finest_detail_mm)
    assert limits_of(plate("white", square(1)), settings).line_mm == settings.min_line_mm
    assert limits_of(plate("blocker", square(1)), settings).gap_mm == settings.min_gap_mm
    own = replace(settings, detail_line_mm=0.7, detail_gap_mm=0.8, detail_island_mm2=0.9)
    limits = limits_of(blue, own)
    assert (limits.line_mm, limits.gap_mm, limits.island_mm2) == (0.7, 0.8, 0.9)


@pytest.mark.parametrize("role", ["blocker", "white", "colour"])
def test_what_the_shop_has_measured_of_one_kind_of_plate_goes_before_what_it_has_of_any(role):
    of_one = {f"detail_{role}_line_mm": 0.45, f"detail_{role}_gap_mm": 0.55}
    of_any = Settings(detail_line_mm=0.7, detail_gap_mm=0.8, **of_one)
    for kind in ("blocker", "white", "colour"):
        limits, usual = (limits_of(plate(kind, square(1)), settings) for settings in (of_any, Settings()))
        alone = limits_of(plate(kind, square(1)), Settings(**of_one))
        own = kind == role
        assert (limits.line_mm, limits.gap_mm) == ((0.45, 0.55) if own else (0.7, 0.8))
        assert (alone.line_mm, alone.gap_mm) == ((0.45, 0.55) if own else (usual.line_mm, usual.gap_mm))


@pytest.mark.parametrize(("share", "told"), [(0.92, True), (0.975, False)])
def test_what_nearly_reaches_its_limit_passes(share, told):
    limit = limits_of(plate("colour", square(1)), Settings()).line_mm
    line = plate("colour", shapely.box(0, 0, 9, limit * share).union(square(4)))
    assert bool(list(detail_findings([line], Settings()))) == told


@pytest.mark.parametrize(("share", "told"), [(0.92, True), (0.975, False)])
def test_a_dot_that_is_nearly_as_wide_as_its_limit_passes_as_a_line_does(share, told):
    """A dot of 0.97 widths has 0.94 of the area: held to a twentieth of that it would be told."""
    limit_mm = common_mesh(160).finest_detail_mm
    dot = shapely.Point(9, 9).buffer(share * limit_mm / 2, quad_segs=32)
    found = {finding.code for finding in detail_findings([plate("colour", dot.union(square(4)))], Settings())}
    assert found == ({"small-island"} if told else set())


@pytest.mark.parametrize("mesh", [110, 120, 156])
def test_a_dot_of_the_least_white_line_is_none_too_small_where_the_mesh_holds_such_lines(mesh):
    """Plates are made to that line, so their least cores are such dots: 0.3 mm, and 110 threads/inch hold 0.31 mm."""
    core = shapely.Point(9, 9).buffer(Settings().min_line_mm / 2, quad_segs=8)
    white = plate("white", core.union(square(4)))
    assert list(detail_findings([white], Settings(white_mesh_per_inch=mesh))) == []


def test_places_move_and_turn_with_the_plate():
    before = thin_places(comb(WIDTHS), LIMIT)
    after = thin_places(affinity.translate(affinity.rotate(comb(WIDTHS), 33, origin=(0, 0)), 70, -5), LIMIT)
    assert sorted(strip.width_mm for strip in after) == pytest.approx(
        sorted(strip.width_mm for strip in before), abs=0.002
    )


def test_the_job_sets_the_limits_and_the_turn():
    job = read_job('[press]\nturn = 0.1\n[detail]\nmultiple = 1.5\nline = "0.4mm"\ngap = "1pt"\nisland_mm2 = 0.2\n')
    settings = Settings(**job)
    assert (settings.turn_deg, settings.detail_multiple, settings.detail_line_mm) == (0.1, 1.5, 0.4)
    assert settings.detail_gap_mm == pytest.approx(0.35278, abs=1e-5) and settings.detail_island_mm2 == 0.2
    with pytest.raises(SettingsError) as caught:
        Settings(turn_deg=6, detail_multiple=0, detail_line_mm=-1, detail_gap_mm=11, detail_island_mm2=9)
    places = {problem.rsplit(" @ ")[-1] for problem in caught.value.problems}
    assert places == {"press.turn", "detail.multiple", "detail.line", "detail.gap", "detail.island_mm2"}


def test_a_gap_under_an_ink_that_prints_over_it_is_none_and_one_beneath_or_beside_it_is():
    """Whether it fills or not, nobody sees it; what prints before hides nothing."""
    halves = shapely.union_all([shapely.box(0, 0, 10, 10), shapely.box(10.1, 0, 20, 10)])
    light, line = plate("colour", halves, "yellow"), shapely.box(9.5, -1, 10.6, 11)
    over = plate("colour", line, "navy")
    aside = plate("colour", shapely.box(9.5, 20, 10.6, 30), "navy")

    def codes(*plates):
        return [(finding.code, finding.plate) for finding in detail_findings(plates, Settings())]

    assert codes(light, over) == []
    assert codes(over, light) == codes(light, aside) == codes(light) == [("narrow-gap", "yellow")]
    white = plate("white", halves, "white")
    assert codes(white, over) == [("narrow-gap", "white")]


@pytest.mark.parametrize(
    ("line", "left_mm"), [((24, 26), [24, 24]), ((0.1, 49.9), []), ((-1, 38), [12]), ((55, 57), [50])]
)
def test_of_a_gap_what_another_ink_leaves_in_sight_is_told(line, left_mm):
    """A line across its middle hid all 50 mm of it. What peeps out by less than the gap is wide fills unseen."""
    yellow = plate("colour", shapely.box(0, 0, 50, 20).difference(shapely.box(-1, 10, 51, 10.1)), "yellow")
    over = plate("colour", shapely.box(line[0], 5, line[1], 15), "navy")
    gaps = [finding.message for finding in detail_findings([yellow, over], Settings()) if finding.code == "narrow-gap"]
    assert [float(gap.split()[1]) for gap in gaps] == pytest.approx(left_mm, abs=0.05)
    assert all("about 0.1 mm wide" in gap for gap in gaps)
