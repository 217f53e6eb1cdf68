"""What surely shows nothing, since it lies off the page or is clipped away: it stops no job, whatever it is.

Everything is judged by boxes that hold at least what is drawn. Where no such box is known (letters of a font that
nobody gave, pictures of no stated size, markers) it counts as seen, unless nothing at all is open to it. A film is
read more strictly: what cannot be printed is refused there wherever it lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from contextlib import suppress

import numpy as np

from vectorsep.artwork.basic_shapes import EVERYWHERE, rect_outline
from vectorsep.artwork.conditions import shows
from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import Solid
from vectorsep.artwork.document import Element, local_name, place_of
from vectorsep.artwork.drawing import Clip, Fill, Group, Mask, Node, Stroke
from vectorsep.artwork.gate import REFUSED_ELEMENTS
from vectorsep.artwork.lengths import length_or_none
from vectorsep.artwork.report import UNSEEN, Refused
from vectorsep.artwork.style import Style
from vectorsep.artwork.viewport import corner_of
from vectorsep.artwork.walk import Draw, Walk
from vectorsep.geometry.affine import IDENTITY, Affine
from vectorsep.geometry.bends import Pen
from vectorsep.geometry.curves import Outline

BLACK = Solid("#000000")
"""The paint of what is drawn for its place alone."""
SEEN_MM = 1e-6
"""Boxes that meet by less only touch: pictures that end where the page does are rounded to a few digits."""
_FRAMED = frozenset({"image", "foreignObject"})
"""Elements that show nothing outside of their x, y, width and height, unless they may overflow."""
_NOTHING = np.array([[math.inf, math.inf], [-math.inf, -math.inf]])
"""The box of nothing: its first corner lies past its last."""


def draw_in_sight(walk: Walk, element: Element, style: Style, context: Context, draw: Draw) -> list[Node]:
    """What the element draws. Where the clips in force leave nothing open, what is refused in it is passed over."""
    before = walk.report.count
    refusal: Refused | None = None
    nodes: list[Node] = []
    try:
        nodes = draw(walk, element, style, context)
    except Refused as refused:
        refusal = refused
    if walk.report.count > before and not walk.options.as_film and _is_shut(_open_box(walk, context.clips)):
        walk.report.take_back(before)
        with walk.report.out_of_sight(), suppress(Refused):
            draw(walk, element, style, context)  # once more, to count what is passed over
        return []
    if refusal is not None:
        raise refusal
    return nodes


def is_unseen(walk: Walk, nodes: Iterable[Node]) -> bool:
    """Whether none of these nodes can show anything."""
    return not walk.options.as_film and all(_is_out(walk, node) for node in nodes)


def draw_unprintable(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """Nothing, of an element that flat ink cannot print; while measuring, its box. Raises Refused where it is seen."""
    name = local_name(element) or ""
    if context.measuring:
        return (
            []
            if name not in _FRAMED
            else box_of_unprintable(walk, element, style, walk.transformed(element, style, context))
        )
    if not shows(name, element, style, context.frame):
        return []
    before = walk.report.count
    try:
        nodes = walk.with_effects(element, style, walk.transformed(element, style, context), box_of_unprintable)
    except Refused:
        walk.report.take_back(before)
        walk.report.leave_out(element, REFUSED_ELEMENTS[name])
    if not is_unseen(walk, nodes):
        walk.report.leave_out(element, REFUSED_ELEMENTS[name])
    walk.report.pass_over(element, UNSEEN)
    return []


def _sides(name: str, style: Style, context: Context) -> tuple[float, float] | None:
    """Width and height of what shows nothing outside of its box, or None where they are not known."""
    width = length_or_none(style["width"], context.frame, "x")
    height = length_or_none(style["height"], context.frame, "y")
    return None if name not in _FRAMED or width is None or height is None else (width, height)


def box_of_unprintable(_: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """A fill of the box of an element that flat ink cannot print; of all that is open to it where it has none."""
    frame, outline, to_page = context.frame, EVERYWHERE, IDENTITY
    sides = _sides(local_name(element) or "", style, context)
    if sides is not None and (context.measuring or style["overflow"] not in ("visible", "auto")):
        outline, to_page = rect_outline(*corner_of(style, frame), *sides, 0.0, 0.0), context.to_page
    return [Fill(BLACK, outline, to_page, False, context.clips, place_of(element))]


def _is_out(walk: Walk, node: Node) -> bool:
    if isinstance(node, Group):
        return all(_is_out(walk, inner) for inner in node.nodes)
    box = _box(node.outline, node.to_page)
    if isinstance(node, Stroke):
        reach_mm = _reach(node.pen) * node.to_page.max_stretch
        box = box + np.array([[-reach_mm], [reach_mm]])
    return _is_shut(_common(box, _open_box(walk, node.clips)))


def _reach(pen: Pen) -> float:
    """How far a stroke lies from its line at most: at square ends, or where miters end in a point."""
    return pen.width / 2 * max(math.sqrt(2), pen.miter_limit if pen.join.startswith("miter") else 1.0)


def _open_box(walk: Walk, cuts: Iterable[Clip | Mask]) -> np.ndarray:
    """A box around what the page and these cuts leave open together."""
    box = np.array([[0.0, 0.0], [walk.page.width_mm, walk.page.height_mm]])
    for cut in cuts:
        box = _common(box, _box_of_cut(cut))
    return box


def _box_of_cut(cut: Clip | Mask) -> np.ndarray:
    clip = cut if isinstance(cut, Clip) else cut.region
    box = _NOTHING
    for part in clip.parts:
        own = _box(part.outline, part.to_page)
        box = np.array([np.minimum(box[0], own[0]), np.maximum(box[1], own[1])])
    for outer in clip.clips:
        box = _common(box, _box_of_cut(outer))
    return box


def _box(outline: Outline, to_page: Affine) -> np.ndarray:
    """First and last corner of a box on the page that holds the outline; not numbers where that overflows."""
    points = to_page.apply(np.concatenate([outline.knots, outline.handles.reshape(-1, 2)]))
    return np.array([points.min(axis=0), points.max(axis=0)]) if len(points) else _NOTHING


def _common(box: np.ndarray, other: np.ndarray) -> np.ndarray:
    return np.array([np.maximum(box[0], other[0]), np.minimum(box[1], other[1])])


def _is_shut(box: np.ndarray) -> bool:
    """Whether a box holds nothing to see; one of no numbers may hold anything."""
    return bool((box[1] - box[0] < SEEN_MM).any())
