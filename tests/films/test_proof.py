"""The proof shows colours as what lies beneath lets them; pixels by resvg."""

import io

import lxml.etree
import lxml.html
import pytest
from PIL import Image
from resvg_py import svg_to_bytes

from vectorsep.films.proof import shown_on_blocker, write_proof
from vectorsep.films.report import write_report
from vectorsep.pipeline import separate
from vectorsep.settings import Settings

PX_PER_MM = 20
YELLOW, BLACK = "#f2c230", "#1c1c1e"
DOT_AND_SQUARE = b"""<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">
<rect x="5" y="5" width="10" height="10" fill="#f2c230"/><circle cx="22" cy="10" r="0.35" fill="#f2c230"/></svg>"""
SQUARE_MM, EDGE_MM, DOT_MM, CLOTH_MM = (10, 10), (5.15, 10), (22, 10), (28, 3)


def colours(proof: bytes, *places_mm):
    left, top, wide, _ = map(float, lxml.etree.fromstring(proof).get("viewBox").split())
    png = bytes(svg_to_bytes(svg_string=proof.decode(), dpi=96, width=round(wide * PX_PER_MM)))
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    seen = [picture.getpixel((int((x - left) * PX_PER_MM), int((y - top) * PX_PER_MM))) for x, y in places_mm]
    return ["#{:02x}{:02x}{:02x}".format(*pixel) for pixel in seen]


def job_of(**values):
    return separate(DOT_AND_SQUARE, Settings(garment_hex="#202024", **values), "dot.svg")[0]


def proof_of(**values):
    return write_proof(job_of(**values))


def picture_in_report(**values):
    """The report's picture of the print, with the shapes it uses, as a file of its own."""
    page = lxml.html.fromstring(write_report(job_of(**values)).decode())
    (shapes,) = page.xpath("//svg[defs/path/@id='plate-1']/defs")
    (figure,) = page.xpath('//svg[@aria-label="The print on the garment\'s colour"]')
    parts = b"".join(lxml.etree.tostring(part, with_tail=False) for part in (shapes, *figure))
    parts = parts.replace(b"clippath", b"clipPath")  # which reading as HTML lowers, and browsers lift again
    return b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="%s">%s</svg>' % (figure.get("viewbox").encode(), parts)


@pytest.mark.parametrize("drawn", [proof_of, picture_in_report])
def test_colour_without_white_sinks_into_a_black_blocker(drawn):
    """A dot of 0.7 mm has no room for white, and the white of the square is choked by 0.3 mm."""
    sunk = shown_on_blocker(YELLOW, BLACK, "black")
    assert colours(drawn(), SQUARE_MM, EDGE_MM, DOT_MM, CLOTH_MM) == [YELLOW, sunk, sunk, "#202024"]


@pytest.mark.parametrize("drawn", [proof_of, picture_in_report])
def test_on_grey_colour_shows_as_its_own(drawn):
    proof = drawn(blocker="grey", white_under_colours=False)
    assert colours(proof, SQUARE_MM, EDGE_MM, DOT_MM) == [YELLOW] * 3


@pytest.mark.parametrize(("ink", "shown"), [("#000000", "#151516"), ("#ffffff", "#555556"), (YELLOW, "#524622")])
def test_a_quarter_of_the_ink_shows_on_black(ink, shown):
    assert shown_on_blocker(ink, BLACK, "black") == shown
    assert shown_on_blocker(ink, BLACK, "grey") == ink


def test_no_seam_shows_around_colour_that_lies_on_white():
    """Drawn dull and once more as it is where white lies, a colour had a thin dark line all around."""
    svg = b"""<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="20mm" viewBox="0 0 30 20">
    <rect x="5" y="2" width="20" height="16" fill="#ffffff"/><circle cx="15" cy="10" r="5" fill="#f2c230"/></svg>"""
    proof = write_proof(separate(svg, Settings(garment_hex="#202024"), "moon.svg")[0])
    across = colours(proof, *((9 + i / PX_PER_MM, 10) for i in range(40)))
    assert across[0] == "#ffffff"
    assert across[-1] == YELLOW
    assert min(int(hex_[1:3], 16) for hex_ in across) >= int(YELLOW[1:3], 16) - 1


def test_clips_stand_on_groups():
    """LibreOffice 7.4 (seen) passes over the clip path of a `use`, and showed no dull rim around any colour."""
    clipped = lxml.etree.fromstring(proof_of()).xpath("//*[@clip-path]")
    assert [element.get("clip-path") for element in clipped] == ["url(#off-white)", "url(#on-white)"]
    assert {lxml.etree.QName(element).localname for element in clipped} == {"g"}
