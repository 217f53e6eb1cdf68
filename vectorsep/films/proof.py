"""The proof: the print as it should come out, on the garment's colour, at true size."""

from __future__ import annotations

from collections.abc import Iterator

import svgwrite

from vectorsep.films.drawing import new_drawing, svg_bytes
from vectorsep.model import Film, Plate
from vectorsep.separation import Separation
from vectorsep.settings import BlockerKind

ON_WHITE, OFF_WHITE = "on-white", "off-white"
NOWHERE = "M0 0"
SHOWS_ON_BLACK = 0.25
"""How much of an ink's colour shows on bare black, in the proof (from memory; opacity differs from ink to ink)."""


def write_proof(job: Separation) -> bytes:
    """Draw the garment, then every plate in print order in the colour its ink dries to."""
    left, top, right, bottom = job.sheet.ink_zone_mm
    drawing = new_drawing(
        job.sheet.ink_zone_mm,
        f"Proof of {job.job_name} on {job.settings.garment_name}",
        f"The print as it should come out, on the garment's {job.settings.garment_hex}, at true size. In print order: "
        f"{', '.join(f'{film.plate.ink} {film.plate.hex}' for film in job.films)}.",
    )
    cloth = drawing.rect((f"{left:.4f}", f"{top:.4f}"), (f"{right - left:.4f}", f"{bottom - top:.4f}"))
    cloth["fill"] = job.settings.garment_hex
    drawing.add(cloth)
    if sinks_when_bare(job):
        for clip in _beside_white(drawing, job):
            drawing.defs.add(clip)
    for i, film in enumerate(job.films, start=1):
        drawing.add(_layer(drawing, i, film, shown_bare(film.plate, job)))
    return svg_bytes(drawing)


def _beside_white(drawing: svgwrite.Drawing, job: Separation) -> Iterator[svgwrite.masking.ClipPath]:
    """Where white lies, and where none does. Each colour is drawn apart in the two: one drawn over the other would
    show along all edges that they share."""
    for name, outline in ((ON_WHITE, white_path(job)), (OFF_WHITE, all_but_white_path(job))):
        clip = drawing.clipPath(id=name)
        clip.add(drawing.path(d=outline, clip_rule="evenodd"))
        yield clip


def white_path(job: Separation) -> str:
    """The outline of the white plate, as path data."""
    return " ".join(path for film in job.films if film.plate.role == "white" for path in film.paths) or NOWHERE


def all_but_white_path(job: Separation) -> str:
    """The outline of all that may be inked and has no white, to be filled by the even-odd rule."""
    left, top, right, bottom = job.sheet.ink_zone_mm
    zone = f"M{left:.4f} {top:.4f}H{right:.4f}V{bottom:.4f}H{left:.4f}Z"
    return f"{zone} {white_path(job)}"


def _layer(drawing: svgwrite.Drawing, order: int, film: Film, bare_hex: str) -> svgwrite.container.Group:
    """A plate as it shows; where it lies on the bare blocker, and where on white, if that differs."""
    layer = drawing.g(id=f"layer-{order}", fill_rule="evenodd")
    plate = drawing.g(id=f"plate-{order}")
    for path in film.paths:
        plate.add(drawing.path(d=path))
    drawing.defs.add(plate)
    if bare_hex == film.plate.hex:
        layer.add(drawing.use(f"#plate-{order}", fill=bare_hex))
    else:
        for name, hex_ in ((OFF_WHITE, bare_hex), (ON_WHITE, film.plate.hex)):
            cut = drawing.g(clip_path=f"url(#{name})")  # a group, since some programs clip no `use`
            cut.add(drawing.use(f"#plate-{order}", fill=hex_))
            layer.add(cut)
    return layer


def sinks_when_bare(job: Separation) -> bool:
    """Whether any plate shows otherwise where no white is beneath."""
    return any(shown_bare(film.plate, job) != film.plate.hex for film in job.films)


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
