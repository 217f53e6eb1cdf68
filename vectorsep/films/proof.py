"""The proof: the print as it should come out, on the garment's colour, at true size."""

from __future__ import annotations

import svgwrite

from vectorsep.films.pathdata import path_data, polygon_outline
from vectorsep.geometry.region import polygons
from vectorsep.model import Plate
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
    for i, plate in enumerate(job.stack.plates, start=1):
        drawing.add(_layer(drawing, i, plate))
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{drawing.tostring()}\n'.encode()


def _layer(drawing: svgwrite.Drawing, order: int, plate: Plate) -> svgwrite.container.Group:
    layer = drawing.g(id=f"layer-{order}", fill=plate.hex, fill_rule="evenodd")
    for polygon in polygons(plate.area):
        layer.add(drawing.path(d=path_data(polygon_outline(polygon))))
    return layer
