"""Fills and strokes by gradients of hard steps: an area for each step."""

from __future__ import annotations

from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element, local_name
from vectorsep.artwork.gradients import AREAS, Band
from vectorsep.artwork.outlines import SHAPES
from vectorsep.artwork.style import Style
from vectorsep.artwork.viewport import Box
from vectorsep.artwork.walk import Walk

_BOXED = frozenset({*SHAPES, "text"})
"""Elements whose box is known."""


def bands_of(walk: Walk, part: str, element: Element, style: Style, context: Context) -> list[Band]:
    """The areas of a fill or stroke by a gradient of hard steps, the lowest first; none for any other paint.

    Raises Refused, with the reason reported, where they cannot be told.
    """
    gradient = walk.paints.gradient_of(part, style)
    steps = None if gradient is None else gradient.steps
    if gradient is None or steps is None or (len(steps) > 1 and walk.options.as_film):
        return []
    try:
        box = _box(walk, part, element, context) if gradient.goes_by_box else None
        if doubt := gradient.doubt():
            raise ValueError(doubt)
        return [] if len(steps) == 1 else gradient.cut(steps, context.to_page, box, walk.page)
    except ValueError as error:
        walk.report.leave_out(element, f"its {part} is a gradient that {error}")


def _box(walk: Walk, part: str, element: Element, context: Context) -> Box | None:
    """The box that a gradient goes by. Raises ValueError for one of no area on a stroke: programs paint nothing then,
    or what is named besides, or all the same."""
    if local_name(element) not in _BOXED:
        raise ValueError(f"goes by the box of a part of text: {AREAS}")
    box = walk.bounds(element, context)
    if part == "stroke" and (box is None or box.is_empty):
        raise ValueError("goes by a box of no area, where most programs paint nothing: use the colour itself")
    return box
