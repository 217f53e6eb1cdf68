"""Films as SVG: true size, nothing but ink in the ink zone, read back equal to the plates, the same bytes always."""

import io
import re

import lxml.etree
import numpy as np
import pytest
import shapely
from PIL import Image
from resvg_py import svg_to_bytes

from vectorsep.artwork import read_artwork
from vectorsep.check import film_areas, plate_of_film, viewer_findings
from vectorsep.films.proof import write_proof
from vectorsep.films.sheet import lay_out_sheet
from vectorsep.films.svg import slug, write_films
from vectorsep.geometry.refit import REFIT_TOLERANCE_MM
from vectorsep.paper.wording import shown_name
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import ReadOptions, Settings

SVG = "{http://www.w3.org/2000/svg}"
READING_MM = 0.0015
"""What reading a film back may add: curves flattened within 1 micrometre, and rounding."""


def read_back(film, sheet):
    plate = film.plate
    areas = film_areas(read_artwork(film.svg, ReadOptions()), sheet)
    return plate_of_film(areas, plate.role, plate.ink, plate.hex)


@pytest.mark.parametrize("mirror", [False, True])
def test_a_film_is_named_for_those_who_do_not_see_it(job, mirror):
    """As the SVG Accessibility API Mappings 1.0 take it: role, and a title and a description as the root's children."""
    settings = Settings(film=FilmSetting(mirror=mirror))
    sheet = lay_out_sheet(job.design, job.stack.plates, settings)
    films = write_films(job.stack, sheet, settings, "harbour & <co>.svg")
    for order, film in enumerate(films, start=1):
        root = lxml.etree.fromstring(film.svg)
        title, description = root.findtext(f"{SVG}title"), root.findtext(f"{SVG}desc")
        assert root.get("role") == "img"
        assert title.startswith(f"Film {order} of {len(films)}: {film.plate.ink}, ")
        assert ("86 threads/inch (34/cm)" in title) == (order == 1)
        assert f"harbour & <co>.svg, set {sheet.set_code}" in description
        assert f"emulsion {'down' if mirror else 'up'}" in description
        assert list(viewer_findings(film.svg, film.plate.ink)) == []


def test_the_proof_says_what_it_shows(job):
    root = lxml.etree.fromstring(write_proof(job))
    assert root.get("role") == "img"
    assert root.findtext(f"{SVG}title") == f"Proof of {shown_name(job.job_name)} on {job.settings.garment_name}"
    description = root.findtext(f"{SVG}desc")
    assert [description.find(film.plate.hex) for film in job.films] == sorted(
        description.index(film.plate.hex) for film in job.films
    )


def test_a_name_that_no_xml_holds_is_told_all_the_same(job):
    film = write_films(job.stack, job.sheet, job.settings, "har\x01bour\ud800.svg")[0]
    assert "har\ufffdbour\ufffd.svg" in lxml.etree.fromstring(film.svg).findtext(f"{SVG}desc")


@pytest.mark.parametrize("mirror", [False, True])
def test_plates_read_back_are_the_plates_written(job, mirror):
    settings = Settings(film=FilmSetting(width_mm=180.0, mirror=mirror))
    sheet = lay_out_sheet(job.design, job.stack.plates, settings)
    for film in write_films(job.stack, sheet, settings, "harbour.svg"):
        plate, findings = read_back(film, sheet)
        assert findings == ()
        off = shapely.hausdorff_distance(plate.area.boundary, film.plate.area.boundary, densify=0.02)
        assert off <= REFIT_TOLERANCE_MM + READING_MM
        assert plate.area.symmetric_difference(film.plate.area).area <= REFIT_TOLERANCE_MM * plate.area.length


def test_a_mirrored_film_is_the_other_one_seen_from_behind(job):
    """The rows of a mirrored film's picture (resvg) are those of the plain film, turned round."""
    pictures = []
    for mirror in (False, True):
        asked = Settings(film=FilmSetting(mirror=mirror))
        film = write_films(job.stack, lay_out_sheet(job.design, job.stack.plates, asked), asked, "harbour.svg")[0]
        png = bytes(svg_to_bytes(svg_string=film.svg.decode(), dpi=96, width=520))
        pictures.append(np.asarray(Image.open(io.BytesIO(png)).getchannel("A")).astype(int))
    plain, mirrored = pictures
    assert (np.abs(plain - mirrored[:, ::-1]) > 64).mean() < 0.012  # only the wording "mirrored" differs
    assert (np.abs(plain - mirrored) > 64).mean() > 0.1


def test_true_size_and_one_page_for_all(job):
    boxes = set()
    for film in job.films:
        root = lxml.etree.fromstring(film.svg)
        left, top, wide, high = map(float, root.get("viewBox").split())
        assert (root.get("width"), root.get("height")) == (f"{wide:.4f}mm", f"{high:.4f}mm")
        boxes.add((left, top, wide, high))
    (box,) = boxes
    assert box == (-job.sheet.margin_x_mm, -job.sheet.margin_y_mm, job.sheet.width_mm, job.sheet.height_mm)


def test_films_hold_plain_black_paths_and_their_names_and_nothing_else(job):
    for film in job.films:
        root = lxml.etree.fromstring(film.svg)
        tags = {element.tag for element in root.iter()}
        assert tags == {SVG + "svg", SVG + "title", SVG + "desc", SVG + "defs", SVG + "g", SVG + "path"}
        colours = {element.get(name) for element in root.iter() for name in ("fill", "stroke")}
        assert colours == {None, "none", "#000000"}
        assert not re.search(rb"-0[ .\"](?!\d*[1-9])", film.svg)


def test_order_and_role_name_the_files(job):
    assert [film.file for film in job.films] == [
        "01-blocker.svg",
        "02-white.svg",
        "03-script-alert-x-script-e.svg",
        *(film.file for film in job.films[3:]),
    ]
    assert all(re.fullmatch(r"\d\d-[a-z0-9-]+\.svg", film.file) for film in job.films)


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Räuber Orange", "rauber-orange"),
        ("Ærø Łódź", "aero-lodz"),
        ("../../etc/passwd", "etc-passwd"),
        ("火", "ink"),
        ("", "ink"),
        ("C:\\", "c"),
    ],
)
def test_names_become_safe_slugs(name, safe):
    assert slug(name) == safe


def test_long_names_are_cut():
    assert len(slug("lantern " * 40)) <= 40


def test_the_same_job_gives_the_same_bytes(job, settings):
    again = write_films(job.stack, job.sheet, settings, job.job_name)
    assert [film.svg for film in again] == [film.svg for film in job.films]
