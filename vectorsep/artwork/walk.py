"""The walk over the drawing: every painted element resolved into nodes, every offender put on the list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeAlias

from vectorsep.artwork.basic_shapes import EVERYWHERE, rect_outline
from vectorsep.artwork.bounds import bounds_of
from vectorsep.artwork.cascade import Cascade
from vectorsep.artwork.clips import clip_of
from vectorsep.artwork.conditions import unmet_condition
from vectorsep.artwork.containers import draw_group, draw_nested_svg, draw_switch, viewport_box
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import SVG, Document, Element, local_name, place_of
from vectorsep.artwork.drawing import Fill, Group, Node
from vectorsep.artwork.gate import (
    ACTIVE_ELEMENTS,
    BY_FONT,
    EFFECTS,
    MOVES,
    REFUSED_ELEMENTS,
    UNMEASURED,
    UNPAINTED_ELEMENTS,
    UNSEEN,
    Refused,
    Report,
    asks_for_nothing,
)
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import Frame
from vectorsep.artwork.masks import mask_of
from vectorsep.artwork.outlines import SHAPES, read_ahead
from vectorsep.artwork.page import Page
from vectorsep.artwork.paint import INVISIBLE, OPAQUE
from vectorsep.artwork.painting import BY_FLATTENING, PaintResolver
from vectorsep.artwork.references import draw_use, use_offset
from vectorsep.artwork.shapes import draw_shape
from vectorsep.artwork.style import ROOT_STYLE, Style
from vectorsep.artwork.text import draw_text
from vectorsep.artwork.transforms import (
    TransformError,
    about,
    parse_longhands,
    parse_origin,
    parse_style_transform,
    parse_transform,
)
from vectorsep.artwork.unread import uneven_size
from vectorsep.artwork.unseen import box_of_unprintable, draw_in_sight, draw_unprintable, is_unseen
from vectorsep.artwork.viewport import Box, viewport_of
from vectorsep.errors import ArtworkError
from vectorsep.geometry.affine import IDENTITY
from vectorsep.model import Notice, Place
from vectorsep.settings import ReadOptions

MAX_REPEATS = 20_000
"""Elements drawn by reference, once each time; a chain of `use` can ask for any number."""
MAX_WALK_DEPTH = 100
"""Levels of groups and references together."""

_EFFECTFUL = frozenset({"opacity", "clip-path", "mask", *EFFECTS})
_MOVING = frozenset({"transform", "translate", "rotate", "scale", *MOVES})
"""None of these is inherited, so that most elements need not be asked for them."""
_ROOT_MOVES = dict.fromkeys(
    ("transform", "translate", "rotate", "scale"),
    "programs differ on what moves the whole page goes by, its corner or its middle: put it on a group",
)

Draw: TypeAlias = Callable[["Walk", Element, Style, Context], list[Node]]

_HANDLERS: dict[str, Draw] = {
    "a": draw_group,
    "g": draw_group,
    "svg": draw_nested_svg,
    "switch": draw_switch,
    "text": draw_text,
    "use": draw_use,
    **dict.fromkeys(SHAPES, draw_shape),
}


class Walk:
    """Resolves one drawing. Documents, cascade and page are read only; the report collects."""

    def __init__(self, document: Document, cascade: Cascade, report: Report, options: ReadOptions, page: Page) -> None:
        self.document = document
        self.cascade = cascade
        self.report = report
        self.options = options
        self.page = page
        self.paints = PaintResolver(document, options, self.where_it_stands)
        self.known_outlines = read_ahead(document.root)
        self._repeats = 0

    def draw_page(self) -> list[Node]:
        """All nodes of the drawing, lowest first."""
        root = self.document.root
        for fault in self.cascade.faults:
            self.report.refuse(fault.element, fault.reason)
        if self.document.linked_style_line is not None:
            place = Place("?xml-stylesheet", None, self.document.linked_style_line)
            self.report.refuse_at(place, "it asks for a style sheet in another file: put its rules into the drawing")
        for element in root.iter(*(prefix + name for name in ACTIVE_ELEMENTS for prefix in (SVG, ""))):
            self.report.refuse(element, ACTIVE_ELEMENTS[local_name(element) or ""])
        declared = self.cascade.declared(root)
        style, frame = computed(declared, ROOT_STYLE, self.page.frame)
        frame = frame.of_root()
        if style["display"] == "none":
            return []
        context = Context(style, self.page.to_page, frame)
        try:
            self.refuse_unread(root, declared, style)
            background = self._background(root, style, context)
            return background + self.with_effects(root, style, self.transformed(root, style, context), draw_group)
        except Refused:
            return []

    def walk(self, element: Element, context: Context) -> list[Node]:
        """The nodes that one element paints in its context."""
        name = local_name(element)
        if name is None or name in UNPAINTED_ELEMENTS or name in ACTIVE_ELEMENTS:
            return []
        self.guard(element, context)
        declared = self.cascade.declared(element)
        style, frame = computed(declared, context.style, context.frame)
        if style["display"] == "none" or not self.meets_conditions(element):
            return []
        here = replace(context, frame=frame, depth=context.depth + 1)
        try:
            self.refuse_unread(element, declared, style)
            return self._dispatch(name, element, style, here)
        except Refused:
            return []

    def guard(self, element: Element, context: Context) -> None:
        """Count what is drawn by reference. Raises ArtworkError for repeats or nesting beyond all measure."""
        self._repeats += bool(context.chain)
        if self._repeats > MAX_REPEATS:
            raise ArtworkError(
                f"the artwork repeats itself into more than {MAX_REPEATS:,} elements: remove nested references, or "
                "give patterns larger tiles"
            )
        if context.depth > MAX_WALK_DEPTH:
            raise ArtworkError(f"{place_of(element)} lies more than {MAX_WALK_DEPTH} levels deep: ungroup the artwork")

    def _dispatch(self, name: str, element: Element, style: Style, context: Context) -> list[Node]:
        if name in REFUSED_ELEMENTS:
            return draw_unprintable(self, element, style, context)
        if not self.is_drawable(name):
            message = f"{place_of(element)} is no element that SVG draws, and paints nothing"
            self.report.tell(Notice("unknown-element", message))
        handler = _HANDLERS.get(name)
        if handler is None:
            return []
        return self.with_effects(element, style, self.transformed(element, style, context), handler)

    @staticmethod
    def is_drawable(name: str) -> bool:
        """Whether an element of that name would paint something, were flat ink able to."""
        return name in _HANDLERS or name in REFUSED_ELEMENTS

    def meets_conditions(self, element: Element) -> bool:
        """Whether its conditions let the element be drawn; of one that is not, the report tells."""
        condition = unmet_condition(element)
        if condition is not None:
            self.report.pass_over(element, condition)
        return condition is None

    def transformed(self, element: Element, style: Style, context: Context) -> Context:
        """The context within the element's own transforms. Raises Refused where they are unreadable."""
        if _MOVING.isdisjoint(style.own):
            return context
        self._refuse_asked(element, style, MOVES)
        if element is self.document.root:
            self._refuse_asked(element, style, _ROOT_MOVES)
        box = self._reference_box(element, style, context)
        frame = context.frame.within(box.width, box.height)
        try:
            own = parse_longhands(style["translate"], style["rotate"], style["scale"], frame)
            text = style["transform"]
            is_attribute = text == element.get("transform", "none").strip()  # browsers read the two by two grammars
            transform = own @ (parse_transform(text) if is_attribute else parse_style_transform(text, frame))
        except TransformError as error:
            self.report.leave_out(element, f"its transform is unreadable ({error}): write it as SVG does")
        x, y = parse_origin(style["transform-origin"], frame) or (0.0, 0.0)
        moved = context.inside(about((x + box.x, y + box.y), transform))
        if not moved.to_page.is_finite:
            self.report.leave_out(element, "its transform is not finite: write smaller numbers")
        return moved

    def _reference_box(self, element: Element, style: Style, context: Context) -> Box:
        """The box that a transform's origin and percentages refer to: the view box or the element's own."""
        if style["transform-box"] in ("stroke-box", "border-box"):
            self.report.leave_out(element, "its transform goes by its stroke's box, which is not read: use fill-box")
        if style["transform-box"] in ("fill-box", "content-box"):
            if local_name(element) == "use" and use_offset(style, context.frame) != (0, 0):
                self.report.leave_out(
                    element,
                    "programs differ on the box that it is moved by: place it by `transform` instead of x and y",
                )
            box = self.bounds(element, context) or Box(0.0, 0.0, 0.0, 0.0)
            self.tell_loose(element, box, "transform")
            return box
        return Box(0.0, 0.0, context.frame.width, context.frame.height)

    def refuse_unread(self, element: Element, declared: Mapping[str, str], style: Style) -> None:
        """Refuse the element where a value that means something cannot be read, or is read unevenly."""
        reason = style.unread
        if reason is None and element is not self.document.root:
            reason = uneven_size(element, declared, style)
        if reason is not None:
            self.report.leave_out(element, reason)

    def _refuse_asked(self, element: Element, style: Style, reasons: Mapping[str, str]) -> None:
        """Refuse the element by the first of these properties that asks for anything."""
        for name, reason in reasons.items():
            if not asks_for_nothing(style[name]):
                self.report.leave_out(element, reason)

    def with_effects(self, element: Element, style: Style, context: Context, draw: Draw) -> list[Node]:
        """What the element draws, under its clip path and opacity. Raises Refused for effects beyond flat ink."""
        if context.measuring or _EFFECTFUL.isdisjoint(style.own):
            return draw(self, element, style, context)
        opacity = style.share("opacity")
        if opacity <= INVISIBLE:
            return []
        self._refuse_asked(element, style, EFFECTS)
        if not (asks_for_nothing(style["clip-path"]) and asks_for_nothing(style["mask"])):
            self._refuse_uneven_cut(element, style, context)
        cuts = (clip_of(self, element, style, context), mask_of(self, element, style, context))
        inner = replace(context, clips=(*context.clips, *(cut for cut in cuts if cut is not None)))
        nodes = draw_in_sight(self, element, style, inner, draw)
        if opacity >= OPAQUE or not nodes:
            return nodes
        if not self.options.flatten_opacity:
            if is_unseen(self, nodes):
                self.report.pass_over(element, UNSEEN)
                return []
            self.report.leave_out(element, self.paints.tint_reason(opacity), BY_FLATTENING)
        return [Group(opacity, tuple(nodes), place_of(element))]

    def _refuse_uneven_cut(self, element: Element, style: Style, context: Context) -> None:
        """Refuse a clip or mask on an element that moves its content: programs differ on whether it moves as well."""
        name, remedy = local_name(element), "put it on a group"
        if element is self.document.root:
            moves = not self.page.is_in_pixels
        elif name == "use":
            x, y = use_offset(style, context.frame)
            moves, remedy = x != 0 or y != 0, "place it by `transform` instead of x and y"
        else:
            moves = name in ("svg", "symbol")
        if moves:
            self.report.leave_out(element, f"programs differ on where it is clipped or masked: {remedy}")

    def _background(self, root: Element, style: Style, context: Context) -> list[Node]:
        """The page's background colour, which a style may give the outermost svg."""
        for name in ("background-color", "background", "background-image"):
            paint = self.paints.background_of(name, root, style, context, self.report)
            if paint is not None:
                outline = rect_outline(0.0, 0.0, self.page.width_mm, self.page.height_mm, 0.0, 0.0)
                return [Fill(paint, outline, IDENTITY, False, (), place_of(root))]
        return []

    def is_hidden(self, element: Element) -> bool:
        """Whether an element or one around it is not drawn where it stands, by `display` or a condition."""
        lineage = (element, *element.iterancestors())
        return any(
            unmet_condition(one) is not None or self.cascade.declared(one).get("display", "").strip().lower() == "none"
            for one in lineage
        )

    def where_it_stands(self, element: Element) -> tuple[Style, Frame]:
        """The style and the frame of lengths of an element where it stands, and not where a reference draws it."""
        return computed(self.cascade.declared(element), *self._around(element))

    def read_where_it_stands(self, element: Element) -> tuple[Style, Frame]:
        """The same. Raises Refused where some value that holds there cannot be read."""
        style, frame = self.where_it_stands(element)
        if style.unread is not None:
            self.report.leave_out(element, style.unread)
        return style, frame

    def entered(self, target: Element, context: Context) -> Context:
        """The context in what cuts an element: styled as it stands, and cut by nothing that cuts its user."""
        inner = replace(context.following(target), clips=())
        self.guard(target, inner)
        style, frame = self.read_where_it_stands(target)
        return replace(inner, style=style, frame=frame)

    def _around(self, element: Element) -> tuple[Style, Frame]:
        parent = element.getparent()
        if parent is None:
            return ROOT_STYLE, self.page.frame
        style, frame = self.where_it_stands(parent)
        if parent is self.document.root:
            return style, frame.of_root()
        viewport = viewport_of(parent, viewport_box(style, frame)) if local_name(parent) == "svg" else None
        return style, frame if viewport is None else frame.within(viewport.content.width, viewport.content.height)

    def bounds(self, element: Element, context: Context) -> Box | None:
        """The bounding box of what the element draws, strokes and clips apart, in its own user units.

        Raises Refused where it is not known.
        """
        if element is self.document.root:
            return Box(0.0, 0.0, context.frame.width, context.frame.height)
        measuring = replace(context, measuring=True, to_page=IDENTITY, clips=())
        style, _ = computed(self.cascade.declared(element), context.style, context.frame)
        name = local_name(element) or ""
        draw = box_of_unprintable if name in REFUSED_ELEMENTS else _HANDLERS.get(name, draw_group)
        nodes = draw(self, element, style, measuring)
        shapes = [node for node in nodes if isinstance(node, Fill)]
        if any(shape.outline is EVERYWHERE for shape in shapes):
            self.report.leave_out(element, UNMEASURED, BY_FONT)
        return bounds_of(shapes)

    def tell_loose(self, element: Element, box: Box, what: str) -> None:
        """Tell that what lies by an element's box may lie elsewhere in a browser."""
        if box.is_loose:
            message = (
                f"{place_of(element)}: its {what} goes by the box of shapes that are turned within it, which some "
                "browsers take for larger: compare with what you see there, or give it in userSpaceOnUse"
            )
            self.report.tell(Notice("loose-box", message, "warning"))
