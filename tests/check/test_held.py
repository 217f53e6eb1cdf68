"""Ink on blocker that its mesh does not hold, on bars of known widths, and on a whole job."""

import pytest
from handmade import plate, square
from shapely import Polygon, box, union_all

from vectorsep.check import measure_stack
from vectorsep.pipeline import separate
from vectorsep.settings import ReadOptions, Settings

FINE = Settings(registration_mm=0.1, detail_line_mm=0.4)


def too_thin(plates, settings):
    return [finding for finding in measure_stack(plates, settings).findings if finding.code == "blocker-too-thin"]


def bar(width_mm, length_mm=10.0):
    return box(-width_mm / 2, 0, width_mm / 2, length_mm)


@pytest.mark.parametrize(("width_mm", "found"), [(0.25, 1), (0.3, 1), (0.36, 1), (0.4, 0), (0.6, 0)])
def test_a_bar_of_blocker_carries_ink_from_the_finest_line_on(width_mm, found):
    """Ink 0.1 mm inside each edge of a bar 10 mm long that ends in a wide block."""
    ink = box(0.1 - width_mm / 2, 1, width_mm / 2 - 0.1, 9)
    blocker = plate("blocker", union_all([bar(width_mm), square(6, 0, 12)]))
    findings = too_thin([blocker, plate("colour", ink, "red"), plate("colour", square(5, 0, 12), "navy")], FINE)
    assert [(finding.severity, finding.plate) for finding in findings] == [("unsafe", "red")] * found
    for finding in findings:
        said, rest = finding.message.split(" mm² ", 1)
        assert float(said) == pytest.approx(8 * (width_mm - 0.2), rel=0.03)
        assert rest.startswith("of ink lies on blocker narrower than the 0.4 mm")
        assert box(*ink.bounds).buffer(1e-9).covers(box(*finding.at_mm, *finding.at_mm))


def test_a_neck_and_an_island_count_and_corners_do_not():
    neck = union_all([square(4, -2.5), box(-1, -0.15, 1, 0.15), square(4, 2.5)])
    ink = union_all([square(3.8, -2.5), box(-1, -0.05, 1, 0.05), square(3.8, 2.5)])
    assert len(too_thin([plate("blocker", neck), plate("colour", ink)], FINE)) == 1
    island = union_all([neck, square(0.35, 0, 9)])
    assert len(too_thin([plate("blocker", island), plate("colour", square(0.15, 0, 9))], FINE)) == 1
    assert too_thin([plate("blocker", square(4)), plate("colour", square(3.8))], FINE) == []
    # No two sides of a triangle face each other. One with sides of 0.6 mm holds a disc of 0.35 mm, one of 0.8, 0.46.
    for side, found in ((0.6, 1), (0.8, 0)):
        triangle = Polygon([(-side / 2, 9), (side / 2, 9), (0, 9 + side * 0.75**0.5)])
        ink = square(0.12, 0, 9 + side / 12**0.5)
        assert len(too_thin([plate("blocker", union_all([square(4), triangle])), plate("colour", ink)], FINE)) == found


def test_what_moves_warnings_does_not_move_safety():
    """84 threads/inch are 33 threads/cm; with 70 micrometres a thread two of them and an opening are about 0.4 mm."""
    plates = [plate("blocker", bar(0.3)), plate("colour", box(-0.04, 1, 0.04, 9))]
    for multiple in (0.1, 1.0, 10.0):
        settings = Settings(registration_mm=0.1, detail_multiple=multiple)
        assert len(too_thin(plates, settings)) == 1
    assert too_thin([plate("blocker", bar(0.5)), plates[1]], Settings(registration_mm=0.1, detail_multiple=10.0)) == []


@pytest.mark.parametrize(("measured", "found"), [("blocker", 0), ("white", 1), ("colour", 1)])
def test_only_what_the_blocker_holds_carries_ink(measured, found):
    plates = [plate("blocker", bar(0.3)), plate("colour", box(-0.04, 1, 0.04, 9))]
    settings = Settings(registration_mm=0.1, detail_line_mm=0.4, **{f"detail_{measured}_line_mm": 0.25})
    assert len(too_thin(plates, settings)) == found


@pytest.mark.parametrize(("spread_mm", "safe"), [(0.05, False), (0.2, True)])
def test_a_job_whose_blocker_washes_out_under_its_lines_is_not_safe(spread_mm, safe):
    """Lines of 0.2 mm with 0.05 mm of blocker on either side are 0.3 mm wide."""
    art = "".join(f'<path d="M5 {y}h30" stroke="#e02020" stroke-width="0.2"/>' for y in (15, 20))
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40">{art}<path d="M5 2h9v9h-9z"/></svg>'
    settings = Settings(registration_mm=0.05, spread_mm=spread_mm, art=ReadOptions(width_mm=40))
    job, _ = separate(svg.encode(), settings, "lines")
    assert job.check.safe is safe
    unsafe = [finding.code for finding in job.check.findings if finding.severity == "unsafe"]
    assert unsafe == [] if safe else set(unsafe) == {"blocker-too-thin"}
