"""Films as PDF against ISO 32000-1 with a general reader (pypdf) and Ghostscript's separation device."""

import io
import subprocess

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader
from resvg_py import svg_to_bytes
from scipy.ndimage import binary_dilation
from shapely import MultiPolygon

from vectorsep.films import write_films_pdf, write_separations_pdf
from vectorsep.films.pdf import colorant
from vectorsep.model import Film, Plate

MM = 72 / 25.4
DPI = 300
INK_LEVEL = 128


def boxes(page):
    return [np.array([float(edge) for edge in box]) for box in (page.mediabox, page.bleedbox, page.trimbox)]


def test_one_page_a_plate_at_true_size(job, files):
    pages = PdfReader(io.BytesIO(files["films.pdf"])).pages
    assert len(pages) == len(job.films)
    for page in pages:
        media, bleed, trim = boxes(page)
        assert media / MM == pytest.approx([0, 0, job.sheet.width_mm, job.sheet.height_mm], abs=1e-3)
        assert (trim[2:] - trim[:2]) / MM == pytest.approx([90, 60], abs=1e-3)
        assert (bleed[:2] < trim[:2]).all()
        assert (media[:2] < bleed[:2]).all()
        assert (trim[2:] < bleed[2:]).all()
        assert (bleed[2:] < media[2:]).all()


def test_every_plate_is_a_separation_of_its_own(job, files):
    """ISO 32000-1, 8.6.6.4: [/Separation name alternateSpace tintTransform]."""
    (page,) = PdfReader(io.BytesIO(files["separations.pdf"])).pages
    spaces = page["/Resources"]["/ColorSpace"]
    assert len(spaces) == 2 * len(job.films) + 1  # one for the ink, one for its lettering
    for space in (entry.get_object() for entry in spaces.values()):
        kind, name, alternate, tint = space
        assert (kind, alternate) == ("/Separation", "/DeviceRGB")
        assert name != "/None"
        assert len(tint["/C0"]) == len(tint["/C1"]) == 3
        assert list(tint["/C0"]) == [1, 1, 1]
    named = {key: str(space.get_object()[1]) for key, space in spaces.items()}
    assert named.pop("/All") == "/All"
    assert len(set(named.values())) == len(job.films)
    assert all(named[f"/P{order}"] == named[f"/L{order}"] for order in range(1, len(job.films) + 1))
    over = page["/Resources"]["/ExtGState"]["/Over"]
    assert over["/OP"] and over["/op"]


@pytest.mark.parametrize("ink", ["x" * 400, "火" * 200, "All", "None", "Black", "a\x00b\u202ec/#()<>"])
def test_colorants_are_legal_names_that_mean_nothing_else(ink):
    """ISO 32000-1, annex C.2: 127 bytes; 8.6.6.4: All and None are reserved; process colorants mean other plates."""
    name = colorant(3, Film("x.svg", Plate("colour", ink, "#ff0000", MultiPolygon()), b""))
    assert 3 < len(name.encode()) <= 127
    assert name.isprintable()
    assert name not in {"All", "None", "Cyan", "Magenta", "Yellow", "Black"}


def test_the_same_job_gives_the_same_bytes(job, files):
    given = (job.films, job.sheet, job.settings, job.job_name)
    assert write_films_pdf(*given) == files["films.pdf"]
    assert write_separations_pdf(*given) == files["separations.pdf"]


def svg_ink(film, size):
    png = bytes(svg_to_bytes(svg_string=film.svg.decode(), dpi=96, width=size[0], height=size[1]))
    return np.asarray(Image.open(io.BytesIO(png)).getchannel("A")) >= INK_LEVEL


def within_a_pixel(one, other):
    """Every inked pixel of either picture has one of the other's at its side: the same but for edges' rounding."""
    near = np.ones((3, 3), dtype=bool)
    return not (one & ~binary_dilation(other, near)).any() and not (other & ~binary_dilation(one, near)).any()


@pytest.fixture
def ghostscript(system_tool):
    """Run Ghostscript at DPI with some options."""
    command = [system_tool("gs"), "-q", "-dSAFER", "-dNOPAUSE", "-dBATCH", f"-r{DPI}"]
    return lambda *options: subprocess.run([*command, *options], check=True, timeout=120)


def test_each_separation_comes_out_alone_and_equal_to_its_svg(job, folder, ghostscript):
    ghostscript("-sDEVICE=tiffsep", "-o", str(folder / "sep.tif"), str(folder / "separations.pdf"))
    plates = sorted(path for path in folder.glob("sep*.tif") if "(0" in path.name)
    assert len(plates) == len(job.films)
    for path, film in zip(plates, job.films, strict=True):
        ink = np.asarray(Image.open(path).convert("L")) < INK_LEVEL
        assert ink.shape[::-1] == pytest.approx(
            (job.sheet.width_mm / 25.4 * DPI, job.sheet.height_mm / 25.4 * DPI), abs=1
        )
        assert within_a_pixel(ink, svg_ink(film, ink.shape[::-1])), film.file


def test_no_two_separations_carry_lettering_at_one_place(job, folder, ghostscript):
    """On the page that holds them all, every plate's own lettering can be read."""
    ghostscript("-sDEVICE=tiffsep", "-o", str(folder / "sep.tif"), str(folder / "separations.pdf"))
    inked = {path.name: np.asarray(Image.open(path).convert("L")) < INK_LEVEL for path in folder.glob("sep(*.tif")}
    shared = inked["sep(Black).tif"]
    margin = np.ones_like(shared)
    edges_mm = job.sheet.margin_x_mm, job.sheet.margin_y_mm
    across, down = (round((edge_mm - job.sheet.ink_margin_mm) * DPI / 25.4) for edge_mm in edges_mm)
    margin[down:-down, across:-across] = False
    own = [binary_dilation(ink & margin & ~shared) for name, ink in inked.items() if "(0" in name]
    assert len(own) == len(job.films) and all(lettering.any() for lettering in own)
    assert np.sum(own, axis=0).max() == 1


def test_lettering_of_every_plate_can_be_read_on_the_page_that_holds_them_all(job, folder, ghostscript, system_tool):
    """By its contrast against the white page: 3 to 1 (WCAG 2.2, 1.4.11). Where each plate's lettering is, Ghostscript
    tells; what a viewer shows there, poppler."""
    ghostscript("-sDEVICE=tiffsep", "-o", str(folder / "sep.tif"), str(folder / "separations.pdf"))
    pdf, page = str(folder / "separations.pdf"), folder / "page"
    subprocess.run([system_tool("pdftoppm"), "-r", str(DPI), "-singlefile", "-png", pdf, str(page)], check=True)
    seen = np.asarray(Image.open(page.with_suffix(".png")).convert("RGB")) / 255
    linear = np.where(seen <= 0.04045, seen / 12.92, ((seen + 0.055) / 1.055) ** 2.4)
    contrast = 1.05 / (linear @ [0.2126, 0.7152, 0.0722] + 0.05)
    shared = np.asarray(Image.open(folder / "sep(Black).tif").convert("L")) < INK_LEVEL
    edges_mm = job.sheet.margin_x_mm, job.sheet.margin_y_mm
    across, down = (round((edge_mm - job.sheet.ink_margin_mm) * DPI / 25.4) for edge_mm in edges_mm)
    plates = sorted(path for path in folder.glob("sep*.tif") if "(0" in path.name)
    assert len(plates) == len(job.films)
    for path in plates:
        own = (np.asarray(Image.open(path).convert("L")) < INK_LEVEL) & ~shared
        own[down:-down, across:-across] = False
        assert np.quantile(contrast[own], 0.9) >= 2.99, path.name  # of a stroke three pixels wide two are at its edges


def test_process_plates_carry_the_shared_marks_only(job, folder, ghostscript):
    """What paints in `All` paints on every plate; nothing of the design may land on a process plate."""
    ghostscript("-sDEVICE=tiffsep", "-o", str(folder / "sep.tif"), str(folder / "separations.pdf"))
    black = np.asarray(Image.open(folder / "sep(Black).tif").convert("L")) < INK_LEVEL
    px = DPI / 25.4
    zone = [round(edge * px) for edge in (job.sheet.margin_x_mm - 3, job.sheet.margin_y_mm - 3)]
    inside = black[zone[1] : black.shape[0] - zone[1], zone[0] : black.shape[1] - zone[0]]
    assert black.any()
    assert not inside.any()


def test_each_page_equals_its_svg(job, folder, ghostscript):
    ghostscript("-sDEVICE=tiffgray", "-o", str(folder / "page%02d.tif"), str(folder / "films.pdf"))
    for path, film in zip(sorted(folder.glob("page*.tif")), job.films, strict=True):
        ink = np.asarray(Image.open(path)) < INK_LEVEL
        assert within_a_pixel(ink, svg_ink(film, ink.shape[::-1])), film.file


def test_the_comparison_can_fail(job):
    first, second = job.films[0], job.films[1]
    size = (800, 600)
    assert within_a_pixel(svg_ink(first, size), svg_ink(first, size))
    assert not within_a_pixel(svg_ink(first, size), svg_ink(second, size))
