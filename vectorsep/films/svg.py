"""Films: each plate as an SVG at true size, solid black on transparent, marks outside the ink zone."""

from __future__ import annotations

import re
from collections.abc import Sequence

from vectorsep.films.drawing import new_drawing, svg_bytes
from vectorsep.films.labels import film_marks, printed_side
from vectorsep.films.lettering import as_drawn
from vectorsep.films.pathdata import path_data
from vectorsep.geometry.refit import refit_all
from vectorsep.mesh import threads_per_inch, told_mesh
from vectorsep.model import Film, Plate, Sheet, Stack
from vectorsep.settings import Settings

INK = "#000000"
MAX_SLUG = 40
"""Letters of an ink's name kept in a file name; the order before it already makes the name unique."""


def write_films(stack: Stack, sheet: Sheet, settings: Settings, job_name: str) -> tuple[Film, ...]:
    """Write every plate of a stack as a film, in print order. The bytes depend on nothing but the arguments."""
    films = []
    outlines = refit_all([plate.area for plate in stack.plates])
    for order, (plate, drawn) in enumerate(zip(stack.plates, outlines, strict=True), start=1):
        paths = tuple(path_data(outline) for outline in drawn)
        svg = _film_svg(paths, stack.plates, order, sheet, settings, job_name)
        films.append(Film(file_name(order, plate), plate, svg, paths))
    return tuple(films)


def write_bare_film(plates: Sequence[Plate], order: int, sheet: Sheet, settings: Settings, job_name: str) -> bytes:
    """The film of the plate that prints as number `order`, from 1, without its ink: all that may lie in its margin."""
    return _film_svg((), plates, order, sheet, settings, job_name)


def file_name(order: int, plate: Plate) -> str:
    """The film's file: its place in the print order, then the role or the ink's name made safe."""
    return f"{order:02d}-{plate.role if plate.role != 'colour' else slug(plate.ink)}.svg"


def slug(name: str) -> str:
    """A name as lower-case ASCII letters, digits and single hyphens, spelt as on the film; `ink` if nothing is left."""
    return re.sub(r"[^a-z0-9]+", "-", as_drawn(name).lower()).strip("-")[:MAX_SLUG].strip("-") or "ink"


def _film_svg(
    paths: tuple[str, ...], plates: Sequence[Plate], order: int, sheet: Sheet, settings: Settings, job_name: str
) -> bytes:
    plate = plates[order - 1]
    drawing = new_drawing(
        sheet.bounds_mm,
        f"Film {order} of {len(plates)}: {plate.ink}, {told_mesh(threads_per_inch(plate, settings))}",
        f"Of {job_name}, set {sheet.set_code}. {printed_side(sheet)}",
    )
    ink = drawing.g(id="ink", fill=INK, fill_rule="evenodd")
    for path in paths:
        ink.add(drawing.path(d=path))
    pen = drawing.g(id="marks", fill="none", stroke=INK, stroke_linecap="round", stroke_linejoin="round")
    for mark in film_marks(plates, order, sheet, settings, job_name):
        pen.add(drawing.path(d=path_data(mark.outline), stroke_width=f"{mark.line_mm:.4f}"))
    film = drawing.g(transform=f"matrix(-1 0 0 1 {sheet.design_width_mm:.4f} 0)") if sheet.mirrored else drawing
    film.add(ink)
    film.add(pen)
    if sheet.mirrored:
        drawing.add(film)
    return svg_bytes(drawing)
