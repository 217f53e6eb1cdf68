"""Markers: the vertices of an outline, the direction at each, and the marker drawn there (SVG 2, 13.7)."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from vectorsep.artwork.containers import draw_within
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element
from vectorsep.artwork.drawing import Node
from vectorsep.artwork.gate import asked_effect
from vectorsep.artwork.lengths import UNREAD_LENGTH, Frame, axis_of, is_unread, parse_length
from vectorsep.artwork.report import Report
from vectorsep.artwork.style import Style
from vectorsep.artwork.transforms import TransformError, parse_angle
from vectorsep.artwork.urls import parse_reference
from vectorsep.artwork.viewport import Box, viewport_of
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.curves import PIECE, Outline, Points
from vectorsep.remember import remembered_for

KEPT_OUTLINES = 256
"""A marked outline may be drawn thousands of times by references, and finding its vertices is slow."""
BACK_SHARE = 1e-6
"""A line turns back where its way out lies this near to its way in, as a share of their lengths."""
_KEYWORDS = frozenset({"left", "top", "center", "right", "bottom"})
"""Places of the reference point that SVG 2, 13.7.1, names and Chromium passes over."""


@dataclass(frozen=True, slots=True)
class Vertex:
    """A vertex of an outline and the direction of the line there, in degrees clockwise from the x axis."""

    x: float
    y: float
    degrees: float
    is_plain: bool = True
    """Whether programs agree on the direction: not beside a line of no length, nor where the line turns back."""


@dataclass(frozen=True, slots=True)
class _Leg:
    """One segment, by its end point and the directions at both ends; (0, 0) where it has none."""

    end: Points
    leaving: Points
    arriving: Points


@remembered_for(KEPT_OUTLINES)
def vertices_of(outline: Outline) -> tuple[Vertex, ...]:
    """All vertices in order; a closed subpath ends with one more at its start."""
    bounds = [*outline.starts.tolist(), len(outline.knots)]
    rows = np.cumsum(outline.curved) - 1
    found: list[Vertex] = []
    with np.errstate(over="ignore", invalid="ignore"):
        for start, end, closed in zip(bounds[:-1], bounds[1:], outline.closed.tolist(), strict=True):
            found += _subpath_vertices(outline, rows, start, end, closed)
    return tuple(found)


def _subpath_vertices(outline: Outline, rows: np.ndarray, start: int, end: int, closed: bool) -> list[Vertex]:
    first = outline.knots[start]
    legs: list[_Leg] = []
    leaving = None
    for i in range(start + 1, end):
        before, knot = outline.knots[i - 1], outline.knots[i]
        controls = [before, *outline.handles[rows[i]], knot] if outline.curved[i] else [before, knot]
        leaving = _direction(controls) if leaving is None else leaving
        if outline.steps[i] == PIECE:
            continue
        legs.append(_Leg(knot, leaving, -_direction(controls[::-1])))
        leaving = None
    if closed:
        closing = first - outline.knots[end - 1]
        legs.append(_Leg(first, closing, closing))
    return _turns(first, legs, closed)


def _direction(controls: list[Points]) -> Points:
    """From the first point towards the first one that differs from it."""
    for point in controls[1:]:
        if (point != controls[0]).any():
            return np.asarray(point - controls[0])
    return np.zeros(2)


def _turns(first: Points, legs: list[_Leg], closed: bool) -> list[Vertex]:
    """A vertex at the start and after each leg, facing halfway between the directions on both sides."""
    has_way = [bool(leg.leaving.any()) for leg in legs]
    has_ways = [before and after for before, after in zip([True, *has_way], [*has_way, True], strict=True)]
    if closed:
        has_ways[0] = has_ways[-1] = has_ways[0] and has_ways[-1]
    arriving = [np.zeros(2), *(leg.arriving for leg in legs)]
    leaving = [*(leg.leaving for leg in legs), np.zeros(2)]
    known = np.zeros(2)
    for i, way in enumerate(arriving):
        known = way if way.any() else known
        arriving[i] = known
    known = np.zeros(2)
    for i in reversed(range(len(leaving))):
        known = leaving[i] if leaving[i].any() else known
        leaving[i] = known
    if closed:
        arriving[0], leaving[-1] = arriving[-1], leaving[0]
    points = [first, *(leg.end for leg in legs)]
    return [
        Vertex(float(point[0]), float(point[1]), _bisector(a, b), has_ways_here and not _turns_back(a, b))
        for point, a, b, has_ways_here in zip(points, arriving, leaving, has_ways, strict=True)
    ]


def _bisector(arriving: Points, leaving: Points) -> float:
    ways = [way / math.hypot(*way) for way in (arriving, leaving) if way.any()]
    if not ways:
        return 0.0
    middle = ways[0] + ways[-1]
    if math.hypot(*middle) < 1e-12:
        middle = np.array([-ways[0][1], ways[0][0]])
    return math.degrees(math.atan2(middle[1], middle[0]))


def _turns_back(arriving: Points, leaving: Points) -> bool:
    across = arriving[0] * leaving[1] - arriving[1] * leaving[0]
    back = -(arriving @ leaving)
    return bool(back > 0 and abs(across) <= BACK_SHARE * back)


def has_markers(style: Style) -> bool:
    """Whether a style asks for any marker."""
    return any(style[name] != "none" for name in ("marker-start", "marker-mid", "marker-end"))


def draw_markers(
    walk: Walk, element: Element, style: Style, context: Context, outline: Outline, stroke_width: float
) -> list[Node]:
    """The markers of a shape, in the order of its vertices. Context paints must already stand in the context."""
    vertices = vertices_of(outline)
    nodes: list[Node] = []
    for i, vertex in enumerate(vertices):
        places = ["marker-mid"] if 0 < i < len(vertices) - 1 else []
        places += ["marker-start"] * (i == 0) + ["marker-end"] * (i == len(vertices) - 1)
        for name in places:
            marker = _marker(walk, element, style[name].strip(), name, context)
            if marker is not None:
                nodes += _drawn(walk, marker, vertex, name == "marker-start", context, stroke_width)
    return nodes


def _marker(walk: Walk, element: Element, text: str, name: str, context: Context) -> Element | None:
    if text.lower() in ("none", ""):
        return None
    reference = parse_reference(text)
    if reference is None or not reference.target.startswith("#"):
        walk.report.leave_out(element, f"its {name} {text[:60]!r} is no marker of this drawing: embed it")
    target = walk.document.target(reference.target, "marker")
    if target is None:
        walk.report.leave_out(
            element, f"its {name} asks for {reference.target[:60]!r}, which is no <marker> here: remove it"
        )
    if target in context.chain:
        walk.report.leave_out(element, f"its {name} draws itself in a circle: break the circle")
    return target


def _drawn(
    walk: Walk, marker: Element, vertex: Vertex, is_start: bool, context: Context, stroke_width: float
) -> list[Node]:
    """One marker at one vertex."""
    walk.guard(marker, context)
    style, frame = walk.read_where_it_stands(marker)
    effect = asked_effect(style)
    if effect is not None:
        walk.report.leave_out(marker, f"a marker with {effect} of its own is not read: give it to a group within")
    degrees = _turn(walk.report, marker, vertex, is_start)
    scale = 1.0 if marker.get("markerUnits") == "userSpaceOnUse" else stroke_width
    width = _side(walk.report, marker, "markerWidth", frame)
    height = _side(walk.report, marker, "markerHeight", frame)
    viewport = viewport_of(marker, Box(0.0, 0.0, width, height))
    if viewport is None or not scale > 0:
        return []
    ref = np.array([[_anchor(walk.report, marker, name, frame) for name in ("refX", "refY")]])
    ref_x, ref_y = viewport.fit.apply(ref)[0].tolist()
    place = Affine.translation(vertex.x, vertex.y) @ Affine.rotation(degrees) @ Affine.scaling(scale, scale)
    inner = replace(context.following(marker), frame=frame).inside(place @ Affine.translation(-ref_x, -ref_y))
    return draw_within(walk, marker, style, inner, viewport)


def _side(report: Report, marker: Element, name: str, frame: Frame) -> float:
    length = parse_length(marker.get(name, "3"), frame, axis_of(name))
    if length is None:
        report.leave_out(marker, f"its {name} {marker.get(name, '')[:40]!r} is no length")
    return length


def _anchor(report: Report, marker: Element, name: str, frame: Frame) -> float:
    """The reference point along one axis, in the marker's own units; of its percentages browsers take the viewport that
    it stands in for the whole."""
    text = marker.get(name, "0").strip()
    if is_unread(text):
        report.leave_out(marker, f"its {name} {text[:40]!r} {UNREAD_LENGTH}")
    if text in _KEYWORDS:
        report.leave_out(marker, f"programs differ on its {name} {text!r}: write a number")
    return parse_length(text, frame, axis_of(name)) or 0.0


def _turn(report: Report, marker: Element, vertex: Vertex, is_start: bool) -> float:
    orient = marker.get("orient", "0")
    if orient in ("auto", "auto-start-reverse") and not vertex.is_plain:
        report.leave_out(
            marker, "programs differ on its turn where the line has no length or turns back: write its angle"
        )
    if orient == "auto":
        return vertex.degrees
    if orient == "auto-start-reverse":
        return vertex.degrees + 180 * is_start
    try:
        return parse_angle(orient)
    except TransformError as error:
        report.leave_out(marker, f"its orient is unreadable: {error}")
