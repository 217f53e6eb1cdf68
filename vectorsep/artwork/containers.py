"""Elements that hold others: groups, switches, nested viewports (SVG 2, chapters 5 and 8)."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vectorsep.artwork.basic_shapes import rect_outline
from vectorsep.artwork.conditions import unmet_condition
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element, children
from vectorsep.artwork.drawing import Clip, ClipPart, Node
from vectorsep.artwork.outlines import length_or_none
from vectorsep.artwork.style import Style
from vectorsep.artwork.viewport import Box, Fit, fitting, parse_fit, parse_view_box
from vectorsep.geometry.affine import IDENTITY, Affine

if TYPE_CHECKING:
    from vectorsep.artwork.walk import Walk


def draw_group(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """All children in order."""
    inner = replace(context, style=style)
    return [node for _, child in children(element) for node in walk.walk(child, inner)]


def draw_switch(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """The first child whose conditions hold (SVG 2, 5.9.1).

    Children for other languages are told, since a viewer set to one of them shows something else. Others are told
    where nothing is drawn instead of them.
    """
    unmet = {child: unmet_condition(child) for name, child in children(element) if walk.is_drawable(name)}
    chosen = next((child for child, condition in unmet.items() if condition is None), None)
    for child, condition in unmet.items():
        if condition == "systemLanguage" or (condition is not None and chosen is None):
            walk.report.pass_over(child, condition)
    return [] if chosen is None else walk.walk(chosen, replace(context, style=style))


def draw_nested_svg(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """An svg inside the drawing, with a viewport of its own."""
    return draw_viewport(walk, element, style, context, viewport_box(style, context))


def viewport_box(style: Style, context: Context) -> Box:
    """The viewport that x, y, width and height ask for, the whole one around it where they are left out."""
    frame = context.frame
    width, height = length_or_none(style["width"], frame, "x"), length_or_none(style["height"], frame, "y")
    return Box(
        length_or_none(style["x"], frame, "x") or 0.0,
        length_or_none(style["y"], frame, "y") or 0.0,
        frame.width if width is None else width,
        frame.height if height is None else height,
    )


def draw_viewport(walk: Walk, element: Element, style: Style, context: Context, box: Box) -> list[Node]:
    """The content of an svg or symbol fitted into the box, and cut at it unless it may overflow."""
    if box.is_empty:
        return []
    view_box = parse_view_box(element.get("viewBox", "none"))
    if view_box is not None and view_box.is_empty:
        return []
    if view_box is None:
        inner = context.inside(Affine.translation(box.x, box.y))
        return draw_viewport_content(walk, element, style, inner, replace(box, x=0.0, y=0.0), IDENTITY, box)
    rule = parse_fit(element.get("preserveAspectRatio", "xMidYMid")) or Fit()
    return draw_viewport_content(walk, element, style, context, box, fitting(view_box, box, rule), view_box)


def draw_viewport_content(  # noqa: PLR0913, PLR0917 - a viewport is all of these
    walk: Walk, element: Element, style: Style, context: Context, rim: Box, fit: Affine, view_box: Box
) -> list[Node]:
    """Children under the fit, cut at the rim, which lies in the context's units."""
    clips = context.clips
    if style["overflow"] not in ("visible", "auto") and not context.measuring:
        outline = rect_outline(rim.x, rim.y, rim.width, rim.height, 0, 0)
        clips = (*clips, Clip((ClipPart(outline, context.to_page),)))
    frame = replace(context.frame, width=view_box.width, height=view_box.height)
    inner = replace(context.inside(fit), clips=clips, frame=frame)
    return draw_group(walk, element, style, inner)
