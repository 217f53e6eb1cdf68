"""Films as PDF: a page a plate, and one page that holds every plate as a separation of its own.

Sources: ISO 32000-1, sections 8.5.3 (path painting), 8.6.6.4 (Separation colour spaces), 8.6.7 (overprint), 14.11.2
(page boundaries).
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence

import pikepdf
from pikepdf import Array, Dictionary, Name

from vectorsep.colour import readable_on_white
from vectorsep.films.labels import film_marks
from vectorsep.films.marks import SHARED_MARKS, Mark
from vectorsep.films.pathdata import path_data
from vectorsep.model import Film, Sheet
from vectorsep.settings import Settings
from vectorsep.units import MM_PER_INCH

POINTS_PER_MM = 72 / MM_PER_INCH
NUMBERS = {"M": 2, "L": 2, "C": 6}
OPERATORS = {"M": "m", "L": "l", "C": "c", "Z": "h"}
"""PDF path operators for the SVG commands that films use, and how many numbers each takes."""
MAX_NAME_BYTES = 100
"""Names in a PDF hold 127 bytes at most (ISO 32000-1, annex C.2); some programs stop earlier."""
SHARED = "All"
"""The colorant that paints on every separation (ISO 32000-1, 8.6.6.4)."""


def write_films_pdf(films: Sequence[Film], sheet: Sheet, settings: Settings, job_name: str) -> bytes:
    """One page a plate, in print order, black, at true size; page boxes show the ink zone and the design's page."""
    plates = [film.plate for film in films]
    with pikepdf.new() as pdf:
        for order, film in enumerate(films, start=1):
            marks = film_marks(plates, order, sheet, settings, job_name)
            _add_page(pdf, sheet, ["0 g 0 G", *_ink(film), *_strokes(marks)], Dictionary())
        return _saved(pdf, job_name)


def write_separations_pdf(films: Sequence[Film], sheet: Sheet, settings: Settings, job_name: str) -> bytes:
    """One page with every plate as its own Separation, overprinting; what all films share is in `All`.

    A plate's lettering has a space of the same colorant that shows darker on the page: white on white says nothing.
    """
    plates = [film.plate for film in films]
    with pikepdf.new() as pdf:
        spaces = {"/All": _space(pdf, SHARED, "#000000")}
        shared = film_marks(plates, 1, sheet, settings, job_name)[:SHARED_MARKS]
        drawn = ["/Over gs", "/All cs 1 scn /All CS 1 SCN", *_strokes(shared)]
        for order, film in enumerate(films, start=1):
            name, shown = colorant(order, film), film.plate.hex
            spaces |= {
                f"/P{order}": _space(pdf, name, shown),
                f"/L{order}": _space(pdf, name, readable_on_white(shown)),
            }
            own = film_marks(plates, order, sheet, settings, job_name)[SHARED_MARKS:]
            drawn += [f"/P{order} cs 1 scn /L{order} CS 1 SCN", *_ink(film), *_strokes(own)]
        resources = Dictionary(
            ColorSpace=Dictionary(spaces),
            ExtGState=Dictionary(Over=Dictionary(Type=Name.ExtGState, OP=True, op=True, OPM=1)),
        )
        _add_page(pdf, sheet, drawn, resources)
        return _saved(pdf, job_name)


def colorant(order: int, film: Film) -> str:
    """A separation's name: its number keeps it apart from its namesakes and from reserved and process colorants."""
    printable = "".join(character for character in film.plate.ink if character.isprintable())
    return f"{order:02d} {printable}".encode()[:MAX_NAME_BYTES].decode(errors="ignore")


def _space(pdf: pikepdf.Pdf, name: str, hex_colour: str) -> pikepdf.Object:
    """A Separation space that shows as the ink's colour, from white, where there is no such ink."""
    full = [int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[1, 1, 1], C1=[round(part, 4) for part in full], N=1)
    return pdf.make_indirect(Array([Name.Separation, Name("/" + name), Name.DeviceRGB, tint]))


def _add_page(pdf: pikepdf.Pdf, sheet: Sheet, drawn: list[str], resources: Dictionary) -> None:
    k, wide, high = POINTS_PER_MM, sheet.width_mm, sheet.height_mm
    pdf.add_blank_page(page_size=(round(wide * k, 4), round(high * k, 4)))
    page = pdf.pages[-1]
    page.obj.TrimBox = _box(sheet, 0.0)
    page.obj.BleedBox = _box(sheet, sheet.ink_margin_mm)
    page.obj.Resources = resources
    page.obj.Contents = pdf.make_stream("\n".join([_to_page(sheet), *drawn]).encode("ascii"))


def _box(sheet: Sheet, out_mm: float) -> Array:
    """The design's page, wider by `out_mm` on every side, in points from the film's lower left corner."""
    left, bottom = sheet.margin_x_mm - out_mm, sheet.margin_y_mm - out_mm
    right = sheet.margin_x_mm + sheet.design_width_mm + out_mm
    top = sheet.margin_y_mm + sheet.design_height_mm + out_mm
    return Array([round(edge * POINTS_PER_MM, 4) for edge in (left, bottom, right, top)])


def _to_page(sheet: Sheet) -> str:
    """The map from the design's millimetres, y down, to the page's points, y up."""
    k = POINTS_PER_MM
    across, left_mm = (-k, sheet.margin_x_mm + sheet.design_width_mm) if sheet.mirrored else (k, sheet.margin_x_mm)
    return f"{across:.9f} 0 0 {-k:.9f} {left_mm * k:.6f} {(sheet.height_mm - sheet.margin_y_mm) * k:.6f} cm"


def _ink(film: Film) -> Iterator[str]:
    for path in film.paths:
        yield f"{pdf_path(path)} f*"


def _strokes(marks: tuple[Mark, ...]) -> Iterator[str]:
    yield "1 J 1 j"
    for mark in marks:
        yield f"{mark.line_mm:.4f} w {pdf_path(path_data(mark.outline))} S"


def pdf_path(path: str) -> str:
    """PDF path operators for path data as films write it: absolute M, L, C and Z, letters not repeated."""
    words: list[str] = []
    letter = ""
    pending: list[str] = []
    for token in path.split():
        if token in OPERATORS:
            letter, pending = token, []
            if letter == "Z":
                words.append(OPERATORS[letter])
            continue
        pending.append(token)
        if len(pending) == NUMBERS[letter]:
            words += [*pending, OPERATORS[letter]]
            letter, pending = "L" if letter == "M" else letter, []
    return " ".join(words)


def _saved(pdf: pikepdf.Pdf, title: str) -> bytes:
    """The file's bytes, the same for the same pages: no clock, no random identifier."""
    pdf.docinfo["/Title"] = title
    written = io.BytesIO()
    pdf.save(written, deterministic_id=True, compress_streams=True)
    return written.getvalue()
