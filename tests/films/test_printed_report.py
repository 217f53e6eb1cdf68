"""The report on paper, as a browser prints it: no page half empty, no table head alone, no drawing off its table."""

import io
import re
import subprocess

import numpy as np
import pytest
from PIL import Image

from vectorsep.pipeline import separate
from vectorsep.press_settings import PressSetting
from vectorsep.settings import InkSetting, Settings

HEADS = ("Holds", "In register", "Source", "Screens Taken At the price of", "Ink, batch", "At x, y, mm")
"""What the last head of each table says."""
LEAST_FILLED = 0.5
"""Of a page's height between its margins."""
TOP_MM, BOTTOM_MM = 13.0, 12.0
"""The page's margins, short of the rounding of a pixel."""
PAPERS_MM = {"A4": 297.0, "letter": 279.4}
"""Heights of ISO 216 A4 and of ANSI/ASME Y14.1 size A."""
LIGHT = 200


def art(colours):
    """A page of white art with a bar of each colour: with the blocker and the white two screens more than colours."""
    bars = "".join(
        f'<rect x="{4 + i % 10 * 9.2:.1f}" y="{6 + i // 10 * 26}" width="8" height="22" '
        f'fill="hsl({i * 360 // colours}, {40 + 25 * (i % 3)}%, {35 + 12 * (i % 4)}%)"/>'
        for i in range(colours)
    )
    return f"""<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="60mm" viewBox="0 0 100 60">
    <rect x="2" y="2" width="96" height="56" fill="#fff"/>{bars}</svg>""".encode()


@pytest.fixture(scope="module", params=[0, 3, 6, 18], ids=lambda colours: f"{colours + 2} screens")
def report(request):
    job, files = separate(art(request.param), Settings(), "bars.svg")
    assert len(job.films) == request.param + 2
    return files["stacking-report.html"]


@pytest.fixture(scope="module", params=PAPERS_MM)
def printed(request, report, tmp_path_factory, system_tool):
    """The report of a job with so many screens: each page's text, and how far down it is filled."""
    return on_paper(report, request.param, tmp_path_factory.mktemp("printed"), system_tool)


def on_paper(report, paper, folder, system_tool):
    size = f"<style>@page {{ size: {paper} }}</style>".encode()
    (folder / "report.html").write_bytes(report.replace(b"</head>", size + b"</head>"))
    subprocess.run(
        [system_tool("chromium"), "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--print-to-pdf={folder / 'report.pdf'}", (folder / "report.html").as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    text = subprocess.run(
        [system_tool("pdftotext"), "-layout", folder / "report.pdf", "-"], check=True, capture_output=True, text=True
    ).stdout
    subprocess.run([system_tool("pdftoppm"), "-r", "40", "-gray", folder / "report.pdf", folder / "page"], check=True)
    pages = [filled(path.read_bytes(), PAPERS_MM[paper]) for path in sorted(folder.glob("page-*.pgm"))]
    return list(zip(text.split("\f"), pages, strict=False))


def filled(picture, page_mm):
    grey = np.asarray(Image.open(io.BytesIO(picture)))
    per_mm = len(grey) / page_mm
    body = grey[round(TOP_MM * per_mm) : len(grey) - round(BOTTOM_MM * per_mm)]
    inked = np.nonzero((body < LIGHT).any(axis=1))[0]
    return (inked[-1] + 1) / len(body) if len(inked) else 0.0


def test_no_page_but_the_last_is_more_than_half_empty(printed):
    shares = [share for _, share in printed]
    assert len(shares) > 2
    assert all(share >= LEAST_FILLED for share in shares[:-1]), shares


def test_no_table_head_and_no_heading_ends_a_page(printed):
    for number, (text, _) in enumerate(printed, start=1):
        last = re.sub(r"\s+", " ", text.strip().splitlines()[-1]).strip()
        assert not last.endswith(HEADS), (number, last)
        assert not re.match(r"[1-9] [A-Z][a-z ,]+$", last), (number, last)


def test_the_drawn_section_stands_with_rows_of_its_table(printed):
    (page,) = [text for text, _ in printed if "Section across" in text]
    before = page[: page.index("Section across")]
    assert re.search(r"\d\d-[a-z-]+\.?", before) and "Holds" in before


def test_the_press_sheet_stays_whole_where_a_page_holds_it(printed):
    (page,) = [text for text, _ in printed if "Press sheet" in text]
    screens = max(int(order) for text, _ in printed for order in re.findall(r"(\d\d)-[a-z]", text))
    assert ("Run released by" in page) == (screens < 20)


def test_a_long_name_pushes_no_column_off_the_page(tmp_path, system_tool):
    settings = Settings(inks=(InkSetting("#000000", "n" * 120),), press=PressSetting(run=90))
    square = b'<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm"><path d="M9 9h60v60h-60z"/></svg>'
    _, files = separate(square, settings, "square.svg")
    pages = on_paper(files["stacking-report.html"], "A4", tmp_path, system_tool)
    text = "".join(text for text, _ in pages)
    last_heads = (r"edge, mm.* Holds$", r"Ink, batch +In register$", r"One print, +Run of 90,$")
    assert all(re.search(head, text, re.MULTILINE) for head in last_heads), text
    assert text.count("n" * 20) > 5
