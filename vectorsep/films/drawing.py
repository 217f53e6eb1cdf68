"""The SVG files that a job writes, as a whole: true size, and what each says to whoever does not see it."""

from __future__ import annotations

import svgwrite

from vectorsep.model import Bounds
from vectorsep.paper.wording import shown_name


def new_drawing(view: Bounds, title: str, description: str) -> svgwrite.Drawing:
    """An empty drawing of the part of the design's plane that lies within bounds (mm), at true size.

    A title and a description name it (SVG 2, 5.7 and SVG Accessibility API Mappings 1.0); nothing of them prints.
    """
    left, top, right, bottom = view
    wide, high = right - left, bottom - top
    drawing = svgwrite.Drawing(
        size=(f"{wide:.4f}mm", f"{high:.4f}mm"),
        viewBox=f"{left:.4f} {top:.4f} {wide:.4f} {high:.4f}",
        debug=False,
        role="img",
    )
    drawing.set_desc(title=shown_name(title), desc=shown_name(description))
    return drawing


def svg_bytes(drawing: svgwrite.Drawing) -> bytes:
    """The file."""
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{drawing.tostring()}\n'.encode()
