"""The walk over the drawing: every painted element resolved into nodes, every offender put on the list."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from vectorsep.artwork import outlines
from vectorsep.artwork.cascade import Cascade
from vectorsep.artwork.clips import ClipResolver
from vectorsep.artwork.conditions import holds
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Document, Element, children, href_of, local_name, place_of
from vectorsep.artwork.drawing import Clip, ClipPart, Fill, Group, Node, Stroke
from vectorsep.artwork.gate import (
    ACTIVE_ELEMENTS,
    EFFECTS,
    REFUSED_ELEMENTS,
    UNPAINTED_ELEMENTS,
    Refused,
    Report,
    effect_reason,
)
from vectorsep.artwork.page import Page
from vectorsep.artwork.painting import INVISIBLE, OPAQUE, PaintResolver, pen_of
from vectorsep.artwork.style import ROOT_STYLE, Style, computed
from vectorsep.artwork.transforms import TransformError, about, parse_origin, parse_transform
from vectorsep.artwork.viewport import Box, Fit, fitting, parse_fit, parse_view_box
from vectorsep.errors import ArtworkError
from vectorsep.geometry.affine import IDENTITY, Affine
from vectorsep.geometry.curves import Outline, TooManyPoints, flatten, joined
from vectorsep.model import Notice
from vectorsep.settings import ReadOptions

MAX_NODES = 200_000
"""Shapes after all references are followed; a chain of `use` can ask for any number."""
MAX_WALK_DEPTH = 120
"""Levels of groups and references together."""


class Walk:
    """Resolves one drawing. The report collects; the document and the cascade are read only."""

    def __init__(self, document: Document, cascade: Cascade, report: Report, options: ReadOptions) -> None:
        self.document = document
        self.cascade = cascade
        self.report = report
        self.options = options
        self.paints = PaintResolver(document, cascade, options)
        self.clipping = ClipResolver(self)
        self._count = 0
        self._handlers: dict[str, Callable[[Element, Style, Context], list[Node]]] = {
            "g": self._group,
            "a": self._group,
            "svg": self._nested_svg,
            "switch": self._switch,
            "use": self._use,
        }

    def walk_page(self, page: Page) -> list[Node]:
        """All nodes of the drawing, lowest first."""
        root = self.document.root
        for fault in self.cascade.faults:
            self.report.refuse(fault.element, fault.reason)
        for element in root.iter():
            reason = ACTIVE_ELEMENTS.get(local_name(element) or "")
            if reason is not None:
                self.report.refuse(element, reason)
        declared = self.cascade.declared(root)
        style, frame = computed(declared, ROOT_STYLE, page.frame)
        frame = replace(frame, root_font_size=frame.font_size, root_line_height=frame.line_height)
        context = Context(style, page.to_page, frame)
        self.page_frame = frame
        self._screen = page.from_screen
        if style["display"] == "none":
            return []
        return self._with_effects(root, style, context, self._group)

    def walk(self, element: Element, context: Context) -> list[Node]:
        """The nodes that one element paints in its context."""
        name = local_name(element)
        if name is None or name in UNPAINTED_ELEMENTS or name in ACTIVE_ELEMENTS:
            return []
        self._guard(element, context)
        declared = self.cascade.declared(element)
        style, frame = computed(declared, context.style, context.frame)
        if style["display"] == "none" or not holds(element):
            return []
        here = replace(context, frame=frame, depth=context.depth + 1)
        try:
            return self._dispatch(name, element, style, here)
        except Refused:
            return []

    def _guard(self, element: Element, context: Context) -> None:
        self._count += 1
        if self._count > MAX_NODES:
            raise ArtworkError(f"the artwork repeats itself into more than {MAX_NODES:,} shapes: remove nested `use`")
        if context.depth > MAX_WALK_DEPTH:
            raise ArtworkError(f"{place_of(element)} lies more than {MAX_WALK_DEPTH} levels deep: ungroup the artwork")

    def _dispatch(self, name: str, element: Element, style: Style, context: Context) -> list[Node]:
        if name in REFUSED_ELEMENTS:
            if not context.measuring:
                self.refuse(element, REFUSED_ELEMENTS[name])
            return []
        if name == "text":
            if not context.measuring and style["visibility"] == "visible":
                self.refuse(element, "text is no shape: convert it to outlines, or give its font file in the job")
            return []
        handler = self._handlers.get(name)
        if handler is None and name not in outlines.SHAPES:
            self.report.tell(
                Notice("unknown-element", f"{place_of(element)} is no element that SVG draws, and paints nothing")
            )
            return []
        context = self.transformed(element, style, context)
        return self._with_effects(element, style, context, handler or self._shape)

    def refuse(self, element: Element, reason: str) -> None:
        """Put the element on the list and leave it out."""
        self.report.refuse(element, reason)
        raise Refused(reason)

    def transformed(self, element: Element, style: Style, context: Context) -> Context:
        text = style["transform"]
        if text == "none":
            return context
        try:
            transform = parse_transform(text, context.frame)
        except TransformError as error:
            self.refuse(element, f"its transform is unreadable ({error}): write it as SVG does")
        origin = parse_origin(style["transform-origin"], context.frame) or (0.0, 0.0)
        if style["transform-box"] in ("fill-box", "content-box"):
            box = self.bounds(element, context)
            if box is not None:
                inner = replace(context.frame, width=box.width, height=box.height)
                x, y = parse_origin(style["transform-origin"], inner) or (0.0, 0.0)
                origin = (x + box.x, y + box.y)
        moved = context.inside(about(origin, transform))
        if not moved.to_page.is_finite:
            self.refuse(element, "its transform is not finite: write smaller numbers")
        return moved

    def _with_effects(
        self, element: Element, style: Style, context: Context, paint: Callable[[Element, Style, Context], list[Node]]
    ) -> list[Node]:
        """Clip path, effects and group opacity around what the element paints."""
        if context.measuring:
            return paint(element, style, context)
        opacity = style.share("opacity")
        if opacity <= INVISIBLE:
            return []
        for name in EFFECTS:
            reason = effect_reason(name, style[name])
            if reason is not None:
                self.refuse(element, reason)
        clip = self.clipping.clip_of(element, style, context)
        inner = context if clip is None else replace(context, clips=(*context.clips, clip))
        nodes = paint(element, style, inner)
        if opacity < OPAQUE and nodes:
            if not self.options.flatten_opacity:
                self.refuse(element, self.paints.tint_reason(opacity))
            return [Group(opacity, tuple(nodes), place_of(element))]
        return nodes

    # Containers

    def _group(self, element: Element, style: Style, context: Context) -> list[Node]:
        inner = replace(context, style=style)
        return [node for _, child in children(element) for node in self.walk(child, inner)]

    def _switch(self, element: Element, style: Style, context: Context) -> list[Node]:
        inner = replace(context, style=style)
        for name, child in children(element):
            if name not in UNPAINTED_ELEMENTS and holds(child):
                return self.walk(child, inner)
        return []

    def _nested_svg(self, element: Element, style: Style, context: Context) -> list[Node]:
        width = self._side(style, "width", context, context.frame.width)
        height = self._side(style, "height", context, context.frame.height)
        x, y = self._offset(style, "x", context), self._offset(style, "y", context)
        return self._viewport(element, style, context, Box(x, y, width, height))

    def _viewport(self, element: Element, style: Style, context: Context, box: Box) -> list[Node]:
        """The content of an svg or symbol in its own viewport."""
        if box.is_empty:
            return []
        view_box = parse_view_box(element.get("viewBox", "none"))
        if view_box is not None and view_box.is_empty:
            return []
        if view_box is None:
            fit, size = Affine.translation(box.x, box.y), (box.width, box.height)
        else:
            rule = parse_fit(element.get("preserveAspectRatio", "xMidYMid")) or Fit()
            fit, size = fitting(view_box, box, rule), (view_box.width, view_box.height)
        clips = context.clips
        if style["overflow"] not in ("visible", "auto") and not context.measuring:
            rim = outlines.rect_outline(box.x, box.y, box.width, box.height, 0, 0)
            clips = (*clips, Clip((ClipPart(rim, context.to_page),)))
        frame = replace(context.frame, width=size[0], height=size[1])
        inner = replace(context.inside(fit), clips=clips, frame=frame)
        return self._group(element, style, inner)

    @staticmethod
    def _side(style: Style, name: str, context: Context, default: float) -> float:
        text = style[name]
        length = outlines.length_or_none(text, context.frame, "x" if name == "width" else "y")
        return default if length is None else length

    @staticmethod
    def _offset(style: Style, name: str, context: Context) -> float:
        return outlines.length_or_none(style[name], context.frame, "x" if name == "x" else "y") or 0.0

    # References

    def _use(self, element: Element, style: Style, context: Context) -> list[Node]:
        inner = self.within_use(element, style, context)
        target = inner.chain[-1]
        if local_name(target) in ("symbol", "svg"):
            return self._use_viewport(target, style, inner)
        return self.walk(target, inner)

    def within_use(self, element: Element, style: Style, context: Context) -> Context:
        """The context of what a use brings in; its target stands last in the chain. Raises Refused."""
        target = self._target(element, context)
        shift = Affine.translation(self._offset(style, "x", context), self._offset(style, "y", context))
        inner = replace(context.inside(shift), style=style, chain=(*context.chain, element, target))
        return self.paints.with_context(style, inner)

    def _use_viewport(self, target: Element, style: Style, context: Context) -> list[Node]:
        """A symbol or svg brought in by a use, which may give its size (SVG 2, 5.6.2)."""
        self._guard(target, context)
        own, frame = computed(self.cascade.declared(target), context.style, context.frame)
        if own["display"] == "none" and local_name(target) == "svg":
            return []
        inner = replace(context, frame=frame, depth=context.depth + 1)
        given = {name: style[name] for name in ("width", "height") if style[name] != "auto"}
        if local_name(target) == "svg":
            given = {"width": own["width"], "height": own["height"]} | given
            x, y = self._offset(own, "x", inner), self._offset(own, "y", inner)
        else:
            x = y = 0.0
        sized = Style(own.inherited, {**own.own, "width": "auto", "height": "auto", **given})
        box = Box(
            x,
            y,
            self._side(sized, "width", inner, inner.frame.width),
            self._side(sized, "height", inner, inner.frame.height),
        )
        try:
            inner = self.transformed(target, own, inner)
            return self._with_effects(target, own, inner, lambda e, s, c: self._viewport(e, s, c, box))
        except Refused:
            return []

    def _target(self, element: Element, context: Context) -> Element:
        reference = href_of(element)
        if reference is None or reference == "#":
            self._refuse_reference(element, context, "it refers to nothing: remove it")
        assert reference is not None
        if not reference.startswith("#"):
            self._refuse_reference(element, context, f"it refers to another file ({reference[:60]!r}): embed it")
        target = self.document.by_id.get(reference[1:])
        if target is None or local_name(target) is None:
            self._refuse_reference(element, context, f"it refers to {reference[:60]!r}, which the drawing lacks")
        assert target is not None
        if target in context.chain or target is element or element in target.iter():
            self._refuse_reference(element, context, "it refers to itself in a circle: break the circle")
        return target

    def _refuse_reference(self, element: Element, context: Context, reason: str) -> None:
        if context.measuring:
            raise Refused(reason)
        self.refuse(element, reason)

    # Shapes

    def _shape(self, element: Element, style: Style, context: Context) -> list[Node]:
        try:
            outline = outlines.outline_of(element, style, context.frame)
        except outlines.OutlineError as error:
            self._refuse_reference(element, context, str(error))
        if outline.is_empty:
            return []
        if context.measuring:
            return [Fill(self.paints.black, outline, context.to_page, False, (), place_of(element))]
        if style["visibility"] != "visible":
            return []
        return self._painted(element, style, context, outline)

    def _painted(self, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
        place = place_of(element)
        parts: dict[str, list[Node]] = {"fill": [], "stroke": [], "markers": []}
        refused = False
        for part in ("fill", "stroke"):
            try:
                parts[part] = self._part(part, element, style, context, outline)
            except Refused:
                refused = True
        if refused:
            raise Refused(f"{place} is refused")
        return [node for part in paint_order(style["paint-order"]) for node in parts[part]]

    def _part(self, part: str, element: Element, style: Style, context: Context, outline: Outline) -> list[Node]:
        paint = self.paints.paint_of(part, element, style, context, self.report)
        if paint is None:
            return []
        place = place_of(element)
        if part == "fill":
            if local_name(element) == "line":
                return []
            even_odd = style["fill-rule"] == "evenodd"
            return [Fill(paint, outline, context.to_page, even_odd, context.clips, place)]
        pen = pen_of(style, context.frame, element, self.report)
        if not pen.width > 0:
            return []
        to_page = context.to_page
        if style["vector-effect"].split()[:1] == ["non-scaling-stroke"]:
            to_screen = self._screen.inverse() @ to_page
            outline, to_page = outline.mapped(to_screen), self._screen
        return [Stroke(paint, outline, to_page, pen, context.clips, place)]

    # Measuring

    def bounds(self, element: Element, context: Context) -> Box | None:
        """The bounding box of what the element draws, strokes and clips apart, in its own user units."""
        name = local_name(element)
        measuring = replace(context, measuring=True, to_page=IDENTITY, clips=())
        style, _ = computed(self.cascade.declared(element), context.style, context.frame)
        if name in outlines.SHAPES:
            nodes = self._shape(element, style, measuring)
        else:
            nodes = self._handlers.get(name or "", self._group)(element, style, measuring)
        outline = joined([node.outline.mapped(node.to_page) for node in nodes if isinstance(node, Fill)])
        if outline.is_empty:
            return None
        reach = float(np.abs(outline.knots).max()) or 1.0
        try:
            lines = flatten(outline, reach * 1e-7)
        except TooManyPoints:
            return None
        points = np.concatenate([line.points for line in lines])
        (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        return Box(left, top, right - left, bottom - top)


def paint_order(text: str) -> list[str]:
    """Fill, stroke and markers in the order to paint them; `normal` and nonsense mean that very order."""
    parts = ["fill", "stroke", "markers"]
    words = text.lower().split()
    if any(word not in parts for word in words) or len(set(words)) != len(words):
        return parts
    return words + [part for part in parts if part not in words]


def is_finite_box(box: Box) -> bool:
    """Whether all numbers of a box are finite."""
    return all(map(math.isfinite, (box.x, box.y, box.width, box.height)))
