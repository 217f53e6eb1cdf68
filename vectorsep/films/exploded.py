"""Figure: the stack drawn apart, garment at the bottom, each plate above the one it prints on."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.model import Film, Sheet
from vectorsep.paper.wording import short_lines, shown_name

FIGURE_WIDTH_MM = 104.0
"""Printed width of the figure, which leaves room for the print beside it on A4."""
FIGURE_HEIGHT_MM = 92.0
SHEAR, SQUASH = -0.35, 0.42
"""An oblique view from above: what lies farther back moves to the right and comes nearer."""
GAP_SHARE = 0.3
"""Distance between two layers as a share of the page's height; less on stacks too tall for the figure."""
LABEL_SHARE = 0.36
"""Share of the figure's width kept for the labels."""
TEXT_MM = 2.9
LINE_TEXTS = 1.15
"""Base line to base line of a label, in heights of its text."""
LABEL_LETTERS = 17
"""So many letters of this text, wide ones too, fit beside the figure; longer names take a second line."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One plate's place in the figure (the figure's units are the design's millimetres)."""

    order: int
    film: Film
    label: tuple[str, ...]
    """The ink's name in lines."""
    matrix: str
    leader_x: float
    leader_y: float


@dataclass(frozen=True, slots=True)
class Exploded:
    """The figure: its view box, its printed width, the layers from the bottom up, the garment's matrix first."""

    view: str
    width_mm: float
    garment_matrix: str
    layers: tuple[Layer, ...]
    corners: tuple[str, ...]
    """Path data of the lines that join the corners of all layers."""
    label_x: float
    text: float
    leading: float
    """Base line to base line of a label."""
    line: float


def draw_exploded(films: tuple[Film, ...], sheet: Sheet) -> Exploded:
    """Lay the plates out, first one lowest, so that the figure fits its width and height on paper."""
    wide, high = sheet.design_width_mm, sheet.design_height_mm
    depth, lean = high * SQUASH, -SHEAR * high
    body = wide + lean
    whole = body / (1 - LABEL_SHARE)
    gap = min(GAP_SHARE * high, max(0.0, whole * FIGURE_HEIGHT_MM / FIGURE_WIDTH_MM - depth) / max(1, len(films)))
    total = depth + gap * len(films)
    unit = max(whole / FIGURE_WIDTH_MM, total / FIGURE_HEIGHT_MM)
    base = total - depth
    matrices = [f"matrix(1 0 {SHEAR} {SQUASH} {lean:.3f} {base - gap * i:.3f})" for i in range(len(films) + 1)]
    layers = tuple(
        Layer(i, film, _label(film, gap / unit), matrices[i], body - lean / 2, base - gap * i + depth / 2)
        for i, film in enumerate(films, start=1)
    )
    room = 2 * unit
    view = f"{-room:.3f} {-room:.3f} {whole + 2 * room:.3f} {total + 2 * room:.3f}"
    corners = tuple(
        f"M{x:.3f} {y + base:.3f}V{y + base - gap * len(films):.3f}"
        for x, y in ((lean, 0.0), (lean + wide, 0.0), (0.0, depth), (wide, depth))
    )
    text = TEXT_MM * unit
    return Exploded(
        view, whole / unit, matrices[0], layers, corners, body + 4 * unit, text, LINE_TEXTS * text, 0.12 * unit
    )


def _label(film: Film, gap_mm: float) -> tuple[str, ...]:
    """The ink's name in two lines, or in one where layers that are so far apart on paper leave no room for two."""
    most = 2 if gap_mm >= 2 * LINE_TEXTS * TEXT_MM else 1
    return tuple(short_lines(shown_name(film.plate.ink), LABEL_LETTERS, most))
