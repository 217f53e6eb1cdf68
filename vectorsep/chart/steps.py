"""Stepped patches: spreads and chokes to choose from, lines and gaps that a mesh holds, bleed through each layer."""

from __future__ import annotations

from vectorsep.chart.layers import Layers, centred, short_mm, together, words
from vectorsep.geometry.boolean import difference, union
from vectorsep.geometry.region import EMPTY, rectangle
from vectorsep.model import Region, Role

STEPS_MM = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
"""Spreads and chokes on the chart: from none to twice what shops use from memory."""
WIDTHS_MM = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
"""Lines and gaps on the chart, around two threads and one opening of 86 to 230 threads/inch (0.39 to 0.16 mm)."""
PATCH_MM = 8.0
PATCH_PITCH_MM = 13.0
LABEL_MM = 5.0
"""Room for the lettering above a patch."""
AMPLE_MM = 1.0
"""A spread that is surely enough, where the choke is on trial."""
USUAL_CHOKE_MM = 0.3
"""The white's choke where the spread is on trial: the program's own default."""
WEDGE_LINE_MM = 9.0
WEDGE_PITCH_MM = 7.0
WEDGE_END_MM = 1.0
"""From a wedge's ends to its first and its last line's share of the length, and from a line's ends to the row's."""
WEDGE_LENGTH_MM = WEDGE_PITCH_MM * len(WIDTHS_MM) + 2 * WEDGE_END_MM
UNDER_MM, BELOW_MM = (2.0, 1.5), (3.0, 2.5)
"""How far past a wedge, along it and across, the layer reaches that it prints on, and the layer below that one."""
BLEED_MM = 14.0
BLEED_STACKS: tuple[tuple[str, tuple[Role, ...]], ...] = (
    ("W", ("white",)),
    ("W+C", ("white", "colour")),
    ("B", ("blocker",)),
    ("B+W", ("blocker", "white")),
    ("B+W+C", ("blocker", "white", "colour")),
)
"""What lies on each bleed patch: blocker, white, colour."""


def _square(middle_x: float, half_mm: float) -> Region:
    middle_y = LABEL_MM + AMPLE_MM + PATCH_MM / 2
    return rectangle(middle_x - half_mm, middle_y - half_mm, middle_x + half_mm, middle_y + half_mm)


def spread_steps() -> Layers:
    """Colour squares on blockers that reach past them by each step: the first that stays on its blocker all round."""
    return together(_step(i, step, spread_mm=step, choke_mm=USUAL_CHOKE_MM) for i, step in enumerate(STEPS_MM))


def choke_steps() -> Layers:
    """Colour squares on whites inset by each step: the first with no white to be seen all round."""
    return together(_step(i, step, spread_mm=AMPLE_MM, choke_mm=step) for i, step in enumerate(STEPS_MM))


def _step(i: int, step_mm: float, *, spread_mm: float, choke_mm: float) -> Layers:
    middle, half = i * PATCH_PITCH_MM + PATCH_PITCH_MM / 2, PATCH_MM / 2
    patch = Layers(_square(middle, half + spread_mm), _square(middle, half - choke_mm), _square(middle, half))
    return together([patch, Layers(centred(f"{step_mm:.1f}", middle, 0.0))])


def wedge(role: Role) -> Layers:
    """Lines of rising width, and below them gaps of the same widths, on the plate of one role.

    White is tried on blocker and colour on white, or they would not show.
    """
    lines, gaps = _wedge_lines(0.0), _wedge_lines(WEDGE_LINE_MM)
    ground = rectangle(0.0, LABEL_MM + WEDGE_LINE_MM, WEDGE_LENGTH_MM, LABEL_MM + 2 * WEDGE_LINE_MM)
    tried = union([lines, difference(ground, gaps)])
    under, below = _around_wedge(*UNDER_MM), _around_wedge(*BELOW_MM)
    layers = {
        "blocker": Layers(tried),
        "white": Layers(below, tried),
        "colour": Layers(below, under, tried),
    }[role]
    return together([layers, *(_width_label(i, width) for i, width in enumerate(WIDTHS_MM))])


def _around_wedge(along_mm: float, across_mm: float) -> Region:
    bottom_mm = LABEL_MM + 2 * WEDGE_LINE_MM
    return rectangle(-along_mm, LABEL_MM - across_mm, WEDGE_LENGTH_MM + along_mm, bottom_mm + across_mm)


def _wedge_lines(top_mm: float) -> Region:
    top, bottom = LABEL_MM + top_mm + WEDGE_END_MM, LABEL_MM + top_mm + WEDGE_LINE_MM - WEDGE_END_MM
    return union(
        rectangle(x - width / 2, top, x + width / 2, bottom)
        for x, width in ((_wedge_x(i), width) for i, width in enumerate(WIDTHS_MM))
    )


def _wedge_x(i: int) -> float:
    return (i + 0.5) * WEDGE_PITCH_MM + WEDGE_END_MM


def _width_label(i: int, width_mm: float) -> Layers:
    return Layers(centred(short_mm(width_mm), _wedge_x(i), -0.6, 2.0))


def bleed_patches() -> Layers:
    """A square for each stack of layers on the bare cloth, to compare after a week."""
    parts = []
    for i, (text, roles) in enumerate(BLEED_STACKS):
        left = i * (BLEED_MM + 4.0)
        square = rectangle(left, LABEL_MM, left + BLEED_MM, LABEL_MM + BLEED_MM)
        parts += [Layers(*(square if role in roles else EMPTY for role in ("blocker", "white", "colour")))]
        parts += [words(text, left, 0.0, 2.4)]
    return together(parts)
