"""The proof: the print as it should come out, on the garment's colour, at true size."""

from __future__ import annotations

from collections.abc import Sequence

import svgwrite

from vectorsep.films.drawing import new_drawing, svg_bytes
from vectorsep.model import Film, Plate
from vectorsep.separation import Separation
from vectorsep.settings import BlockerKind

ON_WHITE = "on-white"
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
    drawing.defs.add(_on_white(drawing, job.films))
    for i, film in enumerate(job.films, start=1):
        drawing.add(_layer(drawing, i, film, shown_bare(film.plate, job)))
    return svg_bytes(drawing)


def _on_white(drawing: svgwrite.Drawing, films: Sequence[Film]) -> svgwrite.masking.ClipPath:
    """Where colours show as they are, whatever the blocker's colour."""
    clip = drawing.clipPath(id=ON_WHITE)
    for film in films:
        for path in film.paths if film.plate.role == "white" else ():
            clip.add(drawing.path(d=path, clip_rule="evenodd"))
    return clip


def _layer(drawing: svgwrite.Drawing, order: int, film: Film, bare_hex: str) -> svgwrite.container.Group:
    """A plate as it shows on the bare blocker, and once more where it lies on white if it shows otherwise there."""
    layer = drawing.g(id=f"layer-{order}", fill_rule="evenodd")
    plate = drawing.g(id=f"plate-{order}")
    for path in film.paths:
        plate.add(drawing.path(d=path))
    drawing.defs.add(plate)
    layer.add(drawing.use(f"#plate-{order}", fill=bare_hex))
    if bare_hex != film.plate.hex:
        layer.add(drawing.use(f"#plate-{order}", fill=film.plate.hex, clip_path=f"url(#{ON_WHITE})"))
    return layer


def shown_bare(plate: Plate, job: Separation) -> str:
    """The colour that a plate shows where no white is beneath: of colours on black little, as in traps on the black
    that the blocker prints, along edges that the white is choked from, in lines and dots too thin for any white."""
    if plate.role != "colour":
        return plate.hex
    return shown_on_blocker(plate.hex, job.films[0].plate.hex, job.settings.blocker)


def shown_on_blocker(ink_hex: str, blocker_hex: str, blocker: BlockerKind) -> str:
    """The colour that an ink shows on the blocker, without white between. On grey it is told as the ink's own: how much
    it shifts there only a test tells."""
    if blocker != "black":
        return ink_hex
    pairs = ((int(ink_hex[i : i + 2], 16), int(blocker_hex[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(ink * SHOWS_ON_BLACK + black * (1 - SHOWS_ON_BLACK)):02x}" for ink, black in pairs)
