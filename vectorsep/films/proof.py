"""The proof: the print as it should come out, on the garment's colour, at true size."""

from __future__ import annotations

import svgwrite

from vectorsep.model import Film
from vectorsep.separation import Separation


def write_proof(job: Separation) -> bytes:
    """Draw the garment, then every plate in print order in the colour its ink dries to."""
    sheet = job.sheet
    room, wide, high = sheet.ink_margin_mm, sheet.design_width_mm, sheet.design_height_mm
    drawing = svgwrite.Drawing(
        size=(f"{wide + 2 * room:.4f}mm", f"{high + 2 * room:.4f}mm"),
        viewBox=f"{-room:.4f} {-room:.4f} {wide + 2 * room:.4f} {high + 2 * room:.4f}",
        debug=False,
    )
    cloth = drawing.rect((f"{-room:.4f}", f"{-room:.4f}"), (f"{wide + 2 * room:.4f}", f"{high + 2 * room:.4f}"))
    cloth["fill"] = job.settings.garment_hex
    drawing.add(cloth)
    for i, film in enumerate(job.films, start=1):
        drawing.add(_layer(drawing, i, film))
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{drawing.tostring()}\n'.encode()


def _layer(drawing: svgwrite.Drawing, order: int, film: Film) -> svgwrite.container.Group:
    layer = drawing.g(id=f"layer-{order}", fill=film.plate.hex, fill_rule="evenodd")
    for path in film.paths:
        layer.add(drawing.path(d=path))
    return layer
