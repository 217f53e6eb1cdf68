"""Clearances against distances that elementary geometry gives."""

import math

import pytest
import shapely
from handmade import plate, sampled_distance, square
from shapely import Point, Polygon, affinity

from vectorsep.artwork import read_artwork
from vectorsep.check import measure_films, read_back
from vectorsep.check.clearance import clearance_findings, measure_clearance
from vectorsep.commands.telling import tell_check
from vectorsep.geometry.curves import READING_ERROR_MM
from vectorsep.model import Check, Film, Sheet
from vectorsep.settings import ReadOptions, Settings

EXACT = 1e-9
SHEET = Sheet(40.0, 40.0, 0.0, 0.0, 0.0)
BLOCKER = plate("blocker", square(20))
RING = plate("blocker", square(20).difference(square(4)))
# The notch's tip is 0, 2 and the square's upper side lies at y = 1.6: the nearest points lie straight below each other.
NOTCH = 0.4
SPIKED = Polygon([(-8, -8), (8, -8), (8, 8), (0, 2), (-8, 8)])
DIAMOND = affinity.rotate(square(2), 45, origin=(0, 0))

KNOWN = {
    # case: blocker, upper area, distance, the upper plate's point at that distance where there is only one
    "square in square": (BLOCKER, square(19), 0.5, None),
    "off centre": (BLOCKER, square(10, 4.75, 0), 0.25, None),
    "edge on edge": (BLOCKER, square(10, 5, 0), 0.0, None),
    "beside a counter": (RING, square(3, 3.8, 0), 0.3, None),
    "corner to corner of a counter": (RING, square(2, 3.3, 3.4), math.hypot(0.3, 0.4), (2.3, 2.4)),
    "diamond's corner to a side": (BLOCKER, affinity.translate(DIAMOND, 8, 0), 2 - math.sqrt(2), (8 + math.sqrt(2), 0)),
    "below a notch's tip": (plate("blocker", SPIKED), square(2, 0, 0.6), NOTCH, (0, 1.6)),
    "3-4-5 triangle, incircle r 1": (
        plate("blocker", Polygon([(0, 0), (4, 0), (0, 3)])),
        square(0.5, 0.75, 0.75),
        0.5,
        None,
    ),
}


@pytest.mark.parametrize(("blocker", "area", "distance", "at"), KNOWN.values(), ids=KNOWN)
def test_known_distances(blocker, area, distance, at):
    measured = measure_clearance(plate("colour", area), blocker)
    assert measured.distance_mm == pytest.approx(distance, abs=EXACT)
    assert measured.outside_mm2 == 0
    assert Point(measured.at_mm).distance(area.boundary) < EXACT
    assert Point(measured.at_mm).distance(blocker.area.boundary) == pytest.approx(distance, abs=EXACT)
    assert sampled_distance(area, blocker.area, 0.002) == pytest.approx(distance, abs=0.002)
    if at is not None:
        assert measured.at_mm == pytest.approx(at, abs=EXACT)


def film(role, shape):
    """A film of a page of 40 mm without margins, read back from its bytes."""
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="-20 -20 40 40">{shape}</svg>'
    made = Film(f"{role}.svg", plate(role, square(1), role), svg.encode())
    return read_back(made, read_artwork(made.svg, ReadOptions(as_film=True)), SHEET)


@pytest.mark.parametrize("turn_deg", range(0, 45, 4))
def test_of_films_no_distance_is_overstated_though_curves_are_read_as_chords(turn_deg):
    """A disc of radius 8.3 mm in a square of 17 mm: 0.2 mm, wherever the disc's chords begin and end."""
    films = [
        film("blocker", f'<rect x="-8.5" y="-8.5" width="17" height="17" transform="rotate({turn_deg})"/>'),
        film("colour", '<circle r="8.3"/>'),
    ]
    measured = measure_films(films, SHEET, Settings()).clearances[1]
    assert 0.2 - 2 * READING_ERROR_MM < measured.distance_mm <= 0.2


def test_nearest_of_many_islands_is_named():
    islands = shapely.union_all([square(1, x, y) for x in (-6, 0, 6) for y in (-6, 0, 6)] + [square(1, 9.3, 3)])
    measured = measure_clearance(plate("colour", islands), BLOCKER)
    assert measured.distance_mm == pytest.approx(0.2, abs=EXACT)
    assert measured.at_mm[0] == pytest.approx(9.8) and abs(measured.at_mm[1] - 3) <= 0.5


def test_ink_past_the_blocker_has_area_and_place():
    measured = measure_clearance(plate("colour", square(20, 1.5, 0)), BLOCKER)
    assert measured.distance_mm == 0
    assert measured.outside_mm2 == pytest.approx(1.5 * 20)
    assert 10 < measured.at_mm[0] < 11.5


def test_a_counter_of_the_blocker_that_ink_covers_counts_as_past_it():
    measured = measure_clearance(plate("colour", square(10)), RING)
    assert measured.outside_mm2 == pytest.approx(16)
    assert max(map(abs, measured.at_mm)) < 2


def test_the_reading_error_is_taken_off_and_never_below_nothing():
    exact = measure_clearance(plate("colour", square(19)), BLOCKER)
    read = measure_clearance(plate("colour", square(19)), BLOCKER, reading_error_mm=0.002)
    assert read.distance_mm == pytest.approx(exact.distance_mm - 0.002, abs=EXACT)
    assert measure_clearance(plate("colour", square(10, 5, 0)), BLOCKER, 0.002).distance_mm == 0


def test_of_a_plate_without_ink_no_distance_is_claimed():
    measured = measure_clearance(plate("colour", shapely.MultiPolygon()), BLOCKER)
    assert (measured.distance_mm, measured.at_mm, list(clearance_findings(measured, 0.25))) == (None, None, [])


@pytest.mark.parametrize(("tolerance", "codes"), [(0.5, []), (0.5 + 1e-9, ["clearance-short"]), (0.0, [])])
def test_a_distance_equal_to_the_tolerance_holds_and_the_least_less_does_not(tolerance, codes):
    measured = measure_clearance(plate("colour", square(19)), BLOCKER)
    assert [finding.code for finding in clearance_findings(measured, tolerance)] == codes


def test_a_distance_that_is_no_number_never_holds():
    measured = measure_clearance(plate("colour", square(19)), BLOCKER, reading_error_mm=math.nan)
    findings = list(clearance_findings(measured, math.nan))
    assert [finding.severity for finding in findings] == ["unsafe"]


def test_a_distance_is_told_rounded_down(capsys):
    """0.24996 would round to the tolerance that it misses."""
    measured = measure_clearance(plate("colour", square(20 - 2 * 0.24996)), BLOCKER)
    (finding,) = clearance_findings(measured, 0.25)
    assert "within 0.2499 mm" in finding.message
    tell_check(Check((measured,), ()), 0.25)
    assert capsys.readouterr().out.startswith("colour: 0.249 mm to the blocker's edge")


@pytest.mark.parametrize(("wide_mm", "told"), [(0.7, False), (0.9, True)])
def test_what_is_thicker_than_any_mark_in_a_margin_is_ink_astray(wide_mm, told):
    """Marks and lettering are drawn with pens of 0.4 mm, which meet in spots of up to twice that."""
    sheet = Sheet(20.0, 20.0, 0.0, 10.0, 10.0)
    astray = f'<rect x="-6" y="-6" width="12" height="12"/><rect x="-18" y="-18" width="{wide_mm}" height="5"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="-20 -20 40 40">{astray}</svg>'
    made = Film("red.svg", plate("colour", square(1), "red"), svg.encode())
    read = read_back(made, read_artwork(made.svg, ReadOptions(as_film=True)), sheet)
    assert [(finding.code, finding.severity) for finding in read.findings] == [("ink-in-margin", "unsafe")] * told


def test_all_ink_in_a_margin_is_told_once_at_its_largest_piece():
    """A drawing program that breaks paths apart fills all lettering: 180 pieces, which were told line by line."""
    sheet = Sheet(20.0, 20.0, 0.0, 10.0, 10.0)
    pieces = "".join(f'<rect x="-18" y="{-18 + 8 * i}" width="{1 + i}" height="5"/>' for i in range(4))
    astray = f'<rect x="-6" y="-6" width="12" height="12"/>{pieces}'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="-20 -20 40 40">{astray}</svg>'
    made = Film("red.svg", plate("colour", square(1), "red"), svg.encode())
    (finding,) = read_back(made, read_artwork(made.svg, ReadOptions(as_film=True)), sheet).findings
    assert finding.message == (
        "50 mm² of ink in 4 pieces lies in the margin and would print on cloth, the largest here: remove it, or put "
        "the film's own lettering and marks back"
    )
    x, y = finding.at_mm
    assert -8 < x < -4 and 16 < y < 21  # the design's corner lies 10 mm in from the film's
