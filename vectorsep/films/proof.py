"""The proof: the print as it should come out, on the garment's colour, at true size."""

from __future__ import annotations

import svgwrite

from vectorsep.films.drawing import new_drawing, svg_bytes
from vectorsep.films.pathdata import region_path
from vectorsep.geometry.boolean import intersection
from vectorsep.model import Film
from vectorsep.separation import Separation

SHOWS_ON_BLACK = 0.25
"""How much of an ink's colour shows on bare black, in the proof (from memory; opacity differs from ink to ink)."""


def write_proof(job: Separation) -> bytes:
    """Draw the garment, then every plate in print order in the colour its ink dries to."""
    sheet = job.sheet
    room, wide, high = sheet.ink_margin_mm, sheet.design_width_mm, sheet.design_height_mm
    drawing = new_drawing(
        (-room, -room, wide + room, high + room),
        f"Proof of {job.job_name} on {job.settings.garment_name}",
        f"The print as it should come out, on the garment's {job.settings.garment_hex}, at true size. In print order: "
        f"{', '.join(f'{film.plate.ink} {film.plate.hex}' for film in job.films)}.",
    )
    cloth = drawing.rect((f"{-room:.4f}", f"{-room:.4f}"), (f"{wide + 2 * room:.4f}", f"{high + 2 * room:.4f}"))
    cloth["fill"] = job.settings.garment_hex
    drawing.add(cloth)
    for i, film in enumerate(job.films, start=1):
        drawing.add(_layer(drawing, i, film))
    for film in () if job.stack.exposed_black.is_empty else job.films[1:]:
        drawing.add(_over_black(drawing, film, job))
    return svg_bytes(drawing)


def _over_black(drawing: svgwrite.Drawing, film: Film, job: Separation) -> svgwrite.path.Path:
    """Where a colour's trap lies on the black that the blocker prints, no white is beneath and little of it shows."""
    overlap = intersection(film.plate.area, job.stack.exposed_black)
    mixed = shown_on_black(film.plate.hex, job.films[0].plate.hex)
    return drawing.path(d=region_path(overlap), fill=mixed, fill_rule="evenodd")


def shown_on_black(ink_hex: str, black_hex: str) -> str:
    """The colour that an ink shows on a black, without white between."""
    pairs = ((int(ink_hex[i : i + 2], 16), int(black_hex[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(ink * SHOWS_ON_BLACK + black * (1 - SHOWS_ON_BLACK)):02x}" for ink, black in pairs)


def _layer(drawing: svgwrite.Drawing, order: int, film: Film) -> svgwrite.container.Group:
    layer = drawing.g(id=f"layer-{order}", fill=film.plate.hex, fill_rule="evenodd")
    for path in film.paths:
        layer.add(drawing.path(d=path))
    return layer
