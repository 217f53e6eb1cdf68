"""Every page that people read: by a screen reader (WCAG 2.2, 1.1.1, 1.3.1, 3.1.1), and on a narrow screen (1.4.10)."""

import html as markup
import itertools
import re
import subprocess

import lxml.html
import pytest

from vectorsep.batch import Result, Row
from vectorsep.batch.summary import summary_page
from vectorsep.chart import make_chart
from vectorsep.chart.films import SHEET
from vectorsep.pipeline import separate
from vectorsep.press_settings import PressSetting
from vectorsep.settings import Settings

ROWS = (
    Row("owl boat.svg", "a", Result("safe", 11, 0.25, 0, 12)),
    Row("b.svg", "b", Result("failed", message="<text> at line 1: it is not outlined")),
)
WORD = re.compile(r"\w+(?:\.\d+)?")
NARROW_PX = 500
"""The narrowest window that the browser makes without a screen; the pages' narrow layout begins at 718."""
WIDE_PX = 1200


@pytest.fixture(scope="module", params=["report", "chart", "batch"])
def html(request, small_job):
    written = {
        "report": lambda: small_job[1]["stacking-report.html"],
        "chart": lambda: make_chart(Settings())[SHEET],
        "batch": lambda: summary_page(ROWS),
    }
    return written[request.param]()


@pytest.fixture(scope="module")
def page(html):
    return lxml.html.document_fromstring(html.decode())


def test_it_says_its_language_its_title_and_that_it_fits_a_telephone(page):
    assert page.get("lang") == "en"
    assert page.findtext("head/title").strip()
    assert page.xpath("//meta[@name='viewport']/@content") == ["width=device-width, initial-scale=1"]


def test_its_headings_skip_no_level(page):
    levels = [int(heading.tag[1]) for heading in page.xpath("//h1|//h2|//h3|//h4")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_every_head_of_a_table_says_something_and_of_what(page):
    heads = page.xpath("//th")
    assert heads
    for head in heads:
        assert head.text_content().strip()
        assert head.get("scope") == ("col" if head.xpath("ancestor::thead") else "row")


def test_every_drawing_has_a_name_or_is_hidden(page):
    for drawing in page.xpath("//svg"):
        named = drawing.get("role") == "img" and drawing.get("aria-label")
        assert named or drawing.get("aria-hidden") == "true", lxml.html.tostring(drawing)[:200]


def test_what_is_written_in_a_drawing_is_in_its_description(page):
    """A drawing that is one image to a screen reader hides the words in it (ARIA 1.2: children presentational)."""
    for drawing in page.xpath("//svg[@role='img'][.//text]"):
        words = set(WORD.findall(" ".join(text.text_content() for text in drawing.xpath(".//text"))))
        assert words and words <= set(WORD.findall(drawing.findtext("desc")))


def test_nothing_but_wide_tables_and_drawings_scrolls_sideways(html, tmp_path, system_tool):
    write_telling(html, tmp_path, "${document.documentElement.scrollWidth} ${innerWidth}")
    wide, window = map(int, titled(system_tool, tmp_path))
    assert window <= NARROW_PX
    assert wide <= window


def test_no_table_is_wider_than_the_text_around_it(html, tmp_path, system_tool):
    """The press sheet's reached past the page's own edge by 26 pixels, and by more in other browsers."""
    past = "Math.max(...[...tables].map((table) => table.offsetWidth - table.parentElement.clientWidth))"
    write_telling(html, tmp_path, f"${{tables.length}} ${{Math.max(0, {past})}}")
    tables, past_px = map(int, titled(system_tool, tmp_path, WIDE_PX))
    assert tables > 0
    assert past_px == 0


def write_telling(html, folder, told):
    """The page with a script that tells something of it in its title; its rule against scripts is taken out."""
    script = f"onload = () => {{ const tables = document.querySelectorAll('table'); document.title = `{told}`; }}"
    page = re.sub(r"<meta http-equiv[^>]*>", "", html.decode()).replace("</head>", f"<script>{script}</script></head>")
    (folder / "page.html").write_text(page)


def titled(system_tool, folder, wide_px=NARROW_PX):
    """The two numbers that a page, `page.html` of a folder, writes into its title once it is shown."""
    shown = subprocess.run(
        [system_tool("chromium"), "--headless", "--no-sandbox", "--disable-gpu", f"--window-size={wide_px},800",
         f"--user-data-dir={folder / 'profile'}", "--dump-dom", (folder / "page.html").as_uri()],
        check=True, capture_output=True, text=True, timeout=120,
    ).stdout  # fmt: skip
    return re.search(r"<title>(\d+) (\d+)</title>", shown).groups()


def test_no_column_of_a_report_is_squeezed_to_a_few_letters_on_a_telephone(tmp_path, system_tool):
    """What would bring a job onto fewer heads stood in columns two letters wide. The inner page is the telephone's."""
    black = b'<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm"><path d="M9 9h9v9"/></svg>'
    settings = Settings(blocker="grey", press=PressSetting(heads=3, cooldown=True))
    report = separate(black, settings, "black.svg")[1]["stacking-report.html"].decode()
    telling = """<script>onload = () => {
        const cells = [...document.querySelectorAll("tbody td")].filter((cell) => cell.textContent.length > 24);
        parent.document.title = `${cells.length} ${Math.min(...cells.map((cell) => cell.clientWidth))}`;
    }</script>"""
    inner = markup.escape(re.sub(r"<meta http-equiv[^>]*>", "", report).replace("</head>", f"{telling}</head>"))
    (tmp_path / "page.html").write_text(f'<title></title><iframe width="360" height="800" srcdoc="{inner}"></iframe>')
    cells, narrowest = map(int, titled(system_tool, tmp_path))
    assert cells > 8
    assert narrowest > 80
