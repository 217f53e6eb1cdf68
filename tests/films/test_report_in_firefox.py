"""The report on paper as Firefox prints it, and films as it draws them."""

import io
import re
import subprocess

import numpy as np
import pytest
from firefox import Firefox
from pypdf import PdfReader
from rendered import difference_share, painted_svg, rendered

from vectorsep.artwork import read_artwork
from vectorsep.settings import ReadOptions

A4_CM = (21.0, 29.7)
PX_PER_MM = 8


@pytest.fixture(scope="module")
def firefox(system_tool, tmp_path_factory):
    with Firefox(system_tool("firefox-esr"), tmp_path_factory.mktemp("profile")) as firefox:
        yield firefox


def test_no_heading_ends_a_page(firefox, small_job, tmp_path, system_tool):
    (tmp_path / "report.html").write_bytes(small_job[1]["stacking-report.html"])
    firefox.open((tmp_path / "report.html").as_uri())
    pdf = firefox.printed(*A4_CM)
    assert len(PdfReader(io.BytesIO(pdf)).pages) > 2
    (tmp_path / "report.pdf").write_bytes(pdf)
    told = subprocess.run(
        [system_tool("pdftotext"), "-layout", tmp_path / "report.pdf", "-"], check=True, capture_output=True, text=True
    ).stdout
    lasts = [page.strip().splitlines()[-1].strip() for page in told.split("\f") if page.strip()]
    assert [last for last in lasts if re.match(r"[1-9] +[A-Z][a-z ,]+$|Black lets ink", last)] == []


def test_films_look_as_they_are_read_back(firefox, small_job, tmp_path):
    for film in small_job[0].films:
        read = read_artwork(film.svg, ReadOptions(as_film=True))
        width, height = (round(mm * PX_PER_MM) for mm in (read.width_mm, read.height_mm))
        sides = f'width="{width}" height="{height}" preserveAspectRatio="none"'
        svg = re.sub(r'(?<=\s)(width|height)="[^"]*mm"', "", film.svg.decode(), count=2).replace(
            "<svg ", f"<svg {sides} ", 1
        )
        (tmp_path / "film.svg").write_text(svg)
        firefox.resize(width, height)
        firefox.open((tmp_path / "film.svg").as_uri())
        picture = firefox.picture().astype(int)
        here = rendered(painted_svg(read, width, height), width)
        assert picture.shape == here.shape
        assert difference_share(picture, here) < 1e-4
        assert np.any(picture < 128)
