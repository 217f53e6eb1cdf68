"""Elements that hold others: groups, switches, nested viewports (SVG 2, chapters 5 and 8)."""

from __future__ import annotations

from dataclasses import replace

from vectorsep.artwork.basic_shapes import rect_outline
from vectorsep.artwork.conditions import unmet_condition
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element, children
from vectorsep.artwork.drawing import Clip, ClipPart, Node
from vectorsep.artwork.style import Style
from vectorsep.artwork.unseen import draw_in_sight
from vectorsep.artwork.viewport import Box, Viewport, viewport_box, viewport_of
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
    return draw_viewport(walk, element, style, context, viewport_box(style, context.frame))


def draw_viewport(walk: Walk, element: Element, style: Style, context: Context, box: Box) -> list[Node]:
    """The content of an svg or symbol fitted into the box, and cut at it unless it may overflow."""
    viewport = viewport_of(element, box)
    return [] if viewport is None else draw_within(walk, element, style, context, viewport)


def draw_within(walk: Walk, element: Element, style: Style, context: Context, viewport: Viewport) -> list[Node]:
    """Children in a viewport, whose rim lies in the context's units."""
    clips, rim, content = context.clips, viewport.rim, viewport.content
    if style["overflow"] not in ("visible", "auto") and not context.measuring:
        outline = rect_outline(rim.x, rim.y, rim.width, rim.height, 0, 0)
        clips = (*clips, Clip((ClipPart(outline, context.to_page),)))
    frame = context.frame.within(content.width, content.height)
    inner = replace(context.inside(viewport.fit), clips=clips, frame=frame)
    return draw_in_sight(walk, element, style, inner, draw_group)
