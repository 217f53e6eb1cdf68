"""The main job as one: from SVG bytes to a folder that says what it holds."""

import json
import math
from dataclasses import replace

import pytest
import shapely
from shapely import Point, box

import vectorsep
from vectorsep.artwork import read_artwork
from vectorsep.check import film_areas, plate_of_film
from vectorsep.geometry.offset import CHORD_TOLERANCE_MM
from vectorsep.geometry.refit import REFIT_TOLERANCE_MM
from vectorsep.pipeline import STAGES, check_films, separate
from vectorsep.settings import Settings


def test_the_stages_are_told_in_order(small_art):
    told = []
    separate(small_art, Settings(), "small.svg", told.append)
    assert tuple(told) == STAGES


def test_plates_read_back_equal_plates_written(small_job):
    job, _ = small_job
    for film in job.films:
        areas = film_areas(read_artwork(film.svg), job.sheet)
        back, findings = plate_of_film(areas, film.plate.role, film.plate.ink, film.plate.hex)
        assert findings == ()
        far_mm = shapely.hausdorff_distance(back.area.boundary, film.plate.area.boundary, densify=0.1)
        assert far_mm <= REFIT_TOLERANCE_MM + 2 * CHORD_TOLERANCE_MM


def test_the_report_holds_what_a_script_needs(small_job):
    _, files = small_job
    report = json.loads(files["stacking-report.json"])
    assert report["design"] == {"file": "small.svg", "width_mm": 60.0, "height_mm": 40.0}
    assert report["safe"] is True
    assert [plate["order"] for plate in report["plates"]] == [1, 2, 3, 4]
    assert [plate["role"] for plate in report["plates"]] == ["blocker", "white", "colour", "colour"]
    assert report["plates"][0]["clearance_mm"] is None
    assert all(plate["clearance_mm"] >= 0.25 for plate in report["plates"][1:])
    assert all(plate["file"] in files for plate in report["plates"])
    for remark in (*report["findings"], *report["notices"]):
        assert remark.keys() >= {"code", "severity", "plate", "message", "at_mm"}


def test_areas_are_the_drawn_ones(small_job):
    # Areas by hand: a 30 mm square less a white 8 mm square less the disc's overlap; pi r^2 for the disc on top.
    inks = {ink.hex: ink.area.area for ink in small_job[0].design.inks}
    disc = Point(40, 20).buffer(12, quad_segs=512)
    overlap = disc.intersection(box(5, 5, 35, 35)).area
    assert inks["#1e3c8c"] == pytest.approx(math.pi * 144, rel=1e-3)
    assert inks["#ffffff"] == pytest.approx(64, abs=1e-6)
    assert inks["#c81e28"] == pytest.approx(900 - 64 - overlap, rel=1e-3)


def test_films_are_read_strictly_off_their_page_too(small_job):
    """What nobody sees stops no design, but on a film all stays refused that flat ink cannot print (DEVELOPERS.md)."""
    job, _ = small_job
    fading = (
        b'<linearGradient id="fade"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        b'<rect x="-900" y="-900" width="9" height="9" fill="url(#fade)"/></svg>'
    )
    last = replace(job.films[-1], svg=job.films[-1].svg.replace(b"</svg>", fading))
    check = check_films([*job.films[:-1], last], job.sheet, job.settings)
    assert [finding.plate for finding in check.findings if finding.code == "film-unreadable"] == [last.plate.ink]
    assert job.check.safe and not check.safe


def test_the_same_job_gives_the_same_bytes(small_art, small_job):
    again = separate(small_art, Settings(), "small.svg")[1]
    assert again == small_job[1]


def test_the_public_names_do_the_job(small_art):
    design = vectorsep.read_design(small_art)
    assert (design.width_mm, design.height_mm) == (60.0, 40.0)
    plates = vectorsep.make_plates(design, vectorsep.Settings(spread_mm=0.5))
    assert [plate.role for plate in plates] == ["blocker", "white", "colour", "colour"]
    assert not [f for f in vectorsep.check_stack(plates, vectorsep.Settings()) if f.severity == "unsafe"]
    spoiled = (plates[0], vectorsep.Plate("white", "white", "#ffffff", plates[0].area))
    assert [f.plate for f in vectorsep.check_stack(spoiled, vectorsep.Settings()) if f.severity == "unsafe"] == [
        "white"
    ]


def test_a_spread_below_the_clearance_cuts_the_art_and_stays_safe(small_art):
    job, _ = separate(small_art, Settings(spread_mm=0.1, registration_mm=0.3), "small.svg")
    assert job.check.safe
    assert "art-recedes" in {notice.code for notice in job.stack.notices}


def test_a_clearance_below_the_tolerance_is_never_called_safe(small_art):
    job, files = separate(small_art, Settings(spread_mm=0.1, clearance_mm=0.05, registration_mm=0.3), "small.svg")
    assert not job.check.safe
    assert json.loads(files["stacking-report.json"])["safe"] is False


@pytest.mark.parametrize(("middle", "safe"), [((30, 20), True), ((20, 20), False), ((30, 12), False)])
def test_plates_turn_about_the_middle_of_the_page(middle, safe):
    """A disc amid the page stays on its blocker however it is turned. One 8 or 10 mm from there moves by 2 sin(1.5
    degrees) of that, 0.42 mm or more, past the 0.4 mm of blocker around it."""
    disc = '<circle cx="{}" cy="{}" r="6" fill="#c81e28"/>'.format(*middle)
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">{disc}</svg>'
    job, _ = separate(svg.encode(), Settings(turn_deg=3.0), "disc.svg")
    assert job.check.safe is safe
    assert {finding.code for finding in job.check.findings if finding.severity == "unsafe"} <= {"ink-on-cloth"}
