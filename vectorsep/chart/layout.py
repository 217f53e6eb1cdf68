"""The chart as a design: every part in its place on one page."""

from __future__ import annotations

from vectorsep.chart.layers import Layers, together, words
from vectorsep.chart.steps import bleed_patches, choke_steps, spread_steps, wedge
from vectorsep.chart.vernier import PAIRS, upright, vernier
from vectorsep.geometry.region import on_grid
from vectorsep.model import Plate, Role, Stack
from vectorsep.plates.rim import blocker_hex
from vectorsep.settings import Settings

WIDTH_MM, HEIGHT_MM = 217.0, 136.0
"""With their marks the films print at full size on A4 and on Letter, 10 mm of every edge left to the printer."""
LEFT_MM, TOP_MM = 8.0, 6.0
UPRIGHT_MM, UPRIGHT_PITCH_MM = 70.0, 23.0
"""Where the first upright vernier stands, and how far the next."""
COLUMN_MM = 135.0
"""Where the right column starts."""
BLEED_MM = 114.0
"""Where the row of bleed patches starts, which is wider than the right column."""
COLOUR_HEX = "#c8102e"
INITIALS = dict(zip(PAIRS, ("B-W, mm", "B-C, mm", "W-C, mm"), strict=True))
"""Over the upright verniers, which are narrower than the pairs' names."""
ROLES: tuple[Role, ...] = ("blocker", "white", "colour")


def chart_stack(settings: Settings) -> Stack:
    """The chart's three plates in print order, areas in mm on a page of WIDTH_MM by HEIGHT_MM."""
    layers = together(chart_parts(settings))
    plates = (
        Plate("blocker", settings.blocker_name, blocker_hex(settings), on_grid(layers.blocker)),
        Plate("white", "white", "#ffffff", on_grid(layers.white)),
        Plate("colour", "test colour", COLOUR_HEX, on_grid(layers.colour)),
    )
    return Stack(plates, rim_mm2=0.0)


def chart_parts(settings: Settings) -> list[Layers]:
    """Everything that is printed to be read, and the words beside it, each where it lies (mm)."""
    return [*_verniers(), *_steps(), *_wedges(settings)]


def _verniers() -> list[Layers]:
    """Across in the left column, upright at its right side, one of each for every pair of plates."""
    parts = []
    for i, pair in enumerate(PAIRS):
        y_mm, x_mm = TOP_MM + 25.0 * i, UPRIGHT_MM + UPRIGHT_PITCH_MM * i
        parts += [words(f"{pair}, mm", LEFT_MM, y_mm), vernier(pair).at(LEFT_MM, y_mm + 6.0)]
        parts += [words(INITIALS[pair], x_mm, TOP_MM), upright(vernier(pair)).at(x_mm, TOP_MM + 6.0)]
    return parts


def _steps() -> list[Layers]:
    top = TOP_MM + 76.0
    return [
        words("spread, mm", LEFT_MM, top),
        spread_steps().at(LEFT_MM, top + 5.0),
        words("choke, mm", LEFT_MM, top + 26.0),
        choke_steps().at(LEFT_MM, top + 31.0),
        words("bleed: B blocker, W white, C colour", BLEED_MM, top + 26.0),
        bleed_patches().at(BLEED_MM, top + 31.0),
    ]


def _wedges(settings: Settings) -> list[Layers]:
    meshes = {
        "blocker": settings.blocker_mesh_per_inch,
        "white": settings.white_mesh_per_inch,
        "colour": settings.colour_mesh_per_inch,
    }
    parts = []
    for i, role in enumerate(ROLES):
        top = TOP_MM + 34.0 * i
        parts.append(words(f"{role} {meshes[role]}/inch, mm", COLUMN_MM + 6.0, top))
        parts.append(wedge(role).at(COLUMN_MM + 6.0, top + 6.5))
    return parts
