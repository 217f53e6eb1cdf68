"""Shape elements: their fill, stroke and markers in paint order (SVG 2, 13.8)."""

from __future__ import annotations

from dataclasses import replace

from vectorsep.artwork.bands import bands_of
from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import OPAQUE, Solid
from vectorsep.artwork.document import Element, local_name, place_of
from vectorsep.artwork.drawing import Fill, Node, Stroke
from vectorsep.artwork.gradients import Band
from vectorsep.artwork.markers import draw_markers, has_markers
from vectorsep.artwork.outlines import SHAPES, OutlineError, has_uneven_vertices, point_of
from vectorsep.artwork.paints import SHARE_OF, pen_of
from vectorsep.artwork.patterns import draw_pattern
from vectorsep.artwork.references import refuse_unless_measuring
from vectorsep.artwork.report import UNSEEN, Refused
from vectorsep.artwork.style import Style
from vectorsep.artwork.uneven_strokes import stroke_doubts
from vectorsep.artwork.unseen import BLACK, is_unseen
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.curves import Outline
from vectorsep.model import Notice

_MARKED = frozenset({"line", "path", "polygon", "polyline"})
"""Shapes that every program draws markers on; SVG 2, 13.7, has them on all, browsers on these (SVG 1.1, 11.6.2)."""
_UNEVEN_SCREENS = ("mask", "pattern", "marker")
"""Within these, programs differ on what a stroke that does not scale is measured by."""


def draw_shape(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """One basic shape or path. While measuring, its outline alone."""
    try:
        outline = walk.outline(element, style, context.frame)
    except OutlineError as error:
        refuse_unless_measuring(walk.report, element, context, str(error))
    if outline.is_empty and context.measuring:
        outline = point_of(element, style)
    if outline.is_empty:
        return []
    if context.measuring:
        return [Fill(BLACK, outline, context.to_page, False, (), place_of(element))]
    if style["visibility"] != "visible":
        return []
    return draw_painted(walk, element, style, context, outline)


def draw_painted(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
    """An outline filled, stroked and marked. Every reason to refuse is listed before any of it is left out."""
    parts: dict[str, list[Node]] = {}
    refusal: Refused | None = None
    before = walk.report.count
    for part in paint_order(style["paint-order"]):
        try:
            parts[part] = _PARTS[part](walk, element, style, context, outline)
        except Refused as refused:
            refusal = refused
    if walk.report.count > before and _is_unseen(walk, element, style, context, outline):
        walk.report.take_back(before)
        walk.report.pass_over(element, UNSEEN)
        return []
    if refusal is not None:
        raise refusal
    return [node for nodes in parts.values() for node in nodes]


def paint_order(text: str) -> list[str]:
    """Fill, stroke and markers in the order to paint them; `normal` and nonsense mean that very order."""
    parts = ["fill", "stroke", "markers"]
    if text == "normal":
        return parts
    words = text.lower().split()
    if any(word not in parts for word in words) or len(set(words)) != len(words):
        return parts
    return words + [part for part in parts if part not in words]


def _is_unseen(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> bool:
    """Whether nothing of a shape can be seen in any paint; of markers that is not asked."""
    if has_markers(style):
        return False
    filled = Fill(BLACK, outline, context.to_page, False, context.clips, place_of(element))
    try:
        stroke = None if style["stroke"] == "none" else _stroked(walk, element, style, context, outline, BLACK)
    except Refused:
        return False
    return is_unseen(walk, [filled] if stroke is None else [filled, stroke])


def _fill(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
    if local_name(element) == "line":
        return []
    tiles = draw_pattern(walk, element, style, context, outline)
    if tiles is not None:
        return tiles
    even_odd = style["fill-rule"] == "evenodd"
    return [
        Fill(band.paint, outline, context.to_page, even_odd, (*context.clips, *band.clips), place_of(element))
        for band in _bands(walk, "fill", element, style, context)
    ]


def _stroke(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
    bands = _bands(walk, "stroke", element, style, context)
    stroke = _stroked(walk, element, style, context, outline, bands[0].paint) if bands else None
    if stroke is None:
        return []
    return [replace(stroke, paint=band.paint, clips=(*stroke.clips, *band.clips)) for band in bands]


def _bands(walk: Walk, part: str, element: Element, style: Style, context: Context) -> list[Band]:
    """The paints of a fill or stroke, each with what cuts it; none where it paints nothing."""
    bands = bands_of(walk, part, element, style, context)
    if bands and style.share(SHARE_OF[part]) >= OPAQUE:
        return bands
    paint = walk.paints.paint_of(part, element, style, context, walk.report)
    return [] if paint is None else [Band(paint)]


def _stroked(
    walk: Walk, element: Element, style: Style, context: Context, outline: Outline, paint: Solid
) -> Stroke | None:
    """The outline widened, or None for a pen of no width."""
    pen = pen_of(style, context.frame, element, walk.report)
    if not pen.width > 0:
        return None
    if pen.dashes and "pathLength" in element.attrib:
        walk.report.leave_out(element, "its dashes go by a pathLength, which is not read: write their true lengths")
    for doubt in stroke_doubts(outline, pen, as_film=walk.options.as_film):
        walk.report.tell(Notice("uneven-stroke", f"{place_of(element)}: programs differ on {doubt}", "warning"))
    to_page = context.to_page
    if "non-scaling-stroke" in style["vector-effect"].split():
        if any(local_name(one) in _UNEVEN_SCREENS for one in context.chain):
            walk.report.leave_out(
                element, "programs differ on a stroke that does not scale in a mask, pattern or marker: let it"
            )
        outline, to_page = outline.mapped(walk.page.from_screen.inverse() @ to_page), walk.page.from_screen
    return Stroke(paint, outline, to_page, pen, context.clips, place_of(element))


def _markers(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
    if not has_markers(style) or local_name(element) not in SHAPES:
        return []
    if local_name(element) not in _MARKED:
        walk.report.leave_out(element, f"programs differ on markers of a <{local_name(element)}>: make it a path")
    if local_name(element) == "path" and has_uneven_vertices(style):
        walk.report.leave_out(
            element,
            "programs differ on its markers where it moves and draws nothing, or goes on behind a close: part it there",
        )
    inner = replace(walk.paints.with_context(style, context), style=style)
    width = style.length("stroke-width", context.frame)
    return draw_markers(walk, element, style, inner, outline, 1.0 if width is None else width)


_PARTS = {"fill": _fill, "stroke": _stroke, "markers": _markers}
