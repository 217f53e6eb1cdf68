"""Patterns of flat art: their tile repeated over the shape that they fill, each copy cut at its tile (SVG 2, 14.3)."""

from __future__ import annotations

from dataclasses import replace
from itertools import product, takewhile

import numpy as np

from vectorsep.artwork.basic_shapes import rect_outline
from vectorsep.artwork.containers import draw_group
from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import OPAQUE
from vectorsep.artwork.document import Element, children, local_name
from vectorsep.artwork.drawing import Clip, ClipPart, Node
from vectorsep.artwork.gate import HIDDEN
from vectorsep.artwork.lengths import RECTANGLE, SHARES, UNREAD_LENGTH, Frame, axis_of, is_unread, parse_length
from vectorsep.artwork.style import Style
from vectorsep.artwork.transforms import TransformError, parse_transform
from vectorsep.artwork.urls import parse_reference
from vectorsep.artwork.viewport import Box, Fit, fitting, parse_fit, parse_view_box
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.curves import Outline

MAX_TILES = 4000
"""More tiles than this are a texture, and would take minutes."""
FARTHEST_TILE = 1e9
"""Tiles counted so far from the first are no longer told apart."""


def draw_pattern(walk: Walk, element: Element, style: Style, context: Context, outline: Outline) -> list[Node] | None:
    """A shape's fill by a pattern, or None where it is none of an opaque one.

    Raises Refused, with the reason reported, where it cannot be drawn.
    """
    reference = parse_reference(style["fill"])
    if reference is None or style.share("fill-opacity") < OPAQUE:
        return None
    pattern = walk.document.target(reference.target, "pattern")
    if pattern is None:
        return None
    nodes = _tiles(walk, pattern, element, style, context, outline)
    if not nodes and reference.fallback:
        walk.report.leave_out(
            element,
            "its pattern shows nothing, and programs differ on painting what is named after it: name that alone",
        )
    return nodes


def _tiles(
    walk: Walk, pattern: Element, element: Element, style: Style, context: Context, outline: Outline
) -> list[Node]:
    given = _given(walk, pattern, element, context)
    box = walk.bounds(element, context)
    _, frame = walk.read_where_it_stands(pattern)
    tile = _tile(given, frame, box)
    fit = None if tile is None or tile.is_empty else _content_map(given, tile, box)
    if tile is None or fit is None:
        return []
    own = _own_map(walk, given, element)
    around = context.inside(own)
    if around.to_page.is_singular or not around.to_page.is_finite:
        return []
    tiles = _tiles_over(outline.mapped(own.inverse()), tile)
    if tiles is None:
        walk.report.leave_out(element, f"its pattern repeats more than {MAX_TILES:,} times: fill it with larger tiles")
    content_style, frame = walk.read_where_it_stands(given.holder)
    shape = Clip((ClipPart(outline, context.to_page, style["fill-rule"] == "evenodd"),))
    inner = replace(around.apart().following(pattern), frame=frame)
    rim = rect_outline(0.0, 0.0, tile.width, tile.height, 0.0, 0.0)
    nodes: list[Node] = []
    for column, row in product(*tiles):
        here = inner.inside(Affine.translation(tile.x + column * tile.width, tile.y + row * tile.height))
        clips = (*context.clips, shape, Clip((ClipPart(rim, here.to_page),)))
        walk.guard(pattern, here)
        nodes += draw_group(walk, given.holder, content_style, replace(here.inside(fit), clips=clips))
    return nodes


class _Given:
    """What a pattern says, or those that it takes after (SVG 2, 14.3: `href`)."""

    def __init__(self, walk: Walk, pattern: Element) -> None:
        chain = walk.document.templates_of(pattern)
        self._chain = list(takewhile(lambda one: local_name(one) == "pattern", chain))
        declared = [walk.cascade.declared(one) for one in self._chain]
        self.is_moved_by_style = any("transform" in name for names in declared for name in names)
        self.holder = next((one for one in self._chain if any(children(one))), pattern)

    def attribute(self, name: str, usual: str) -> str:
        """The value that counts."""
        return str(next((value for one in self._chain if (value := one.get(name)) is not None), usual))


def _given(walk: Walk, pattern: Element, element: Element, context: Context) -> _Given:
    """What a shape's pattern says. Raises Refused for one that no two programs lay alike."""
    if walk.is_hidden(pattern):
        walk.report.leave_out(element, f"its pattern {HIDDEN}")
    if pattern in context.chain:
        walk.report.leave_out(element, "its pattern paints with itself in a circle: break the circle")
    given = _Given(walk, pattern)
    for name in RECTANGLE:
        if is_unread(given.attribute(name, "0")):
            walk.report.leave_out(element, f"its pattern's {name} {UNREAD_LENGTH}")
    if given.is_moved_by_style:
        walk.report.leave_out(element, "its pattern is moved by its style, which is not read: use patternTransform")
    return given


def _own_map(walk: Walk, given: _Given, element: Element) -> Affine:
    """From the pattern's units to those of the shape."""
    try:
        return parse_transform(given.attribute("patternTransform", ""))
    except TransformError as error:
        walk.report.leave_out(element, f"its pattern's transform is unreadable ({error}): write it as SVG does")


def _tile(given: _Given, frame: Frame, box: Box | None) -> Box | None:
    """The first tile, in the pattern's own units; None where the shape has no box that it refers to."""
    by_box = given.attribute("patternUnits", "objectBoundingBox") != "userSpaceOnUse"
    if by_box and (box is None or box.is_empty):
        return None
    units = SHARES if by_box else frame
    x, y, width, height = (parse_length(given.attribute(name, "0"), units, axis_of(name)) or 0.0 for name in RECTANGLE)
    if by_box and box is not None:
        return Box(box.x + x * box.width, box.y + y * box.height, width * box.width, height * box.height)
    return Box(x, y, width, height)


def _content_map(given: _Given, tile: Box, box: Box | None) -> Affine | None:
    """From the content's units to those of the tile, whose corner is their origin; None for a view box of no area,
    which shows nothing."""
    view_box = parse_view_box(given.attribute("viewBox", ""))
    if view_box is not None and view_box.is_empty:
        return None
    if view_box is not None:
        fit = parse_fit(given.attribute("preserveAspectRatio", "xMidYMid")) or Fit()
        return fitting(view_box, Box(0.0, 0.0, tile.width, tile.height), fit)
    if given.attribute("patternContentUnits", "userSpaceOnUse") == "objectBoundingBox" and box is not None:
        return Affine.scaling(box.width, box.height)
    return Affine()


def _tiles_over(outline: Outline, tile: Box) -> tuple[range, range] | None:
    """Columns and rows of all tiles that the outline's hull may meet, counted from the first; None for too many."""
    points = np.concatenate([outline.knots, outline.handles.reshape(-1, 2)])
    with np.errstate(all="ignore"):  # what overflows is no number of tiles
        places = (points - (tile.x, tile.y)) / (tile.width, tile.height)
    if not np.abs(places).max() < FARTHEST_TILE:
        return None
    first, last = np.floor(places.min(axis=0)).astype(int), np.ceil(places.max(axis=0)).astype(int)
    columns, rows = (range(int(start), int(end)) for start, end in zip(first, last, strict=True))
    return None if len(columns) * len(rows) > MAX_TILES else (columns, rows)
