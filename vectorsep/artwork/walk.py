"""What the drawing of any element may ask of the walk over the drawing: what holds around it, and what is refused.

Drawing is mutual: a group draws its children, a shape its markers, which hold groups. Here is what they all lean on;
`elements.py`, above them, knows which of them draws which element.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TypeAlias

from vectorsep.artwork.cascade import Cascade
from vectorsep.artwork.conditions import unmet_condition
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Document, Element, local_name, place_of
from vectorsep.artwork.drawing import Node
from vectorsep.artwork.gate import MOVES, asks_for_nothing
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import Frame, ends_in_dot
from vectorsep.artwork.outlines import numbers_of, outline_of, read_ahead
from vectorsep.artwork.page import Page
from vectorsep.artwork.paints import PaintResolver
from vectorsep.artwork.report import Refused, Report
from vectorsep.artwork.style import ROOT_STYLE, Style
from vectorsep.artwork.transforms import (
    TransformError,
    about,
    parse_longhands,
    parse_origin,
    parse_style_transform,
    parse_transform,
)
from vectorsep.artwork.unread import foreign_space, uneven_size
from vectorsep.artwork.viewport import Box, corner_of, viewport_box, viewport_of
from vectorsep.errors import ArtworkError
from vectorsep.geometry.curves import Outline
from vectorsep.model import Notice
from vectorsep.settings import ReadOptions

MAX_REPEATS = 20_000
"""Elements drawn by reference, once each time; a chain of `use` can ask for any number."""
MAX_WALK_DEPTH = 100
"""Levels of groups and references together."""
_TRANSFORMS = ("transform", "translate", "rotate", "scale")
_MOVING = frozenset({*_TRANSFORMS, *MOVES})
"""None of these is inherited, so that most elements need not be asked for them."""
_ROOT_MOVES = dict.fromkeys(
    _TRANSFORMS,
    "programs differ on what moves the whole page goes by, its corner or its middle: put it on a group",
)


class Walk(ABC):
    """Resolves one drawing. Document, cascade and page are read only; the report collects."""

    def __init__(self, document: Document, cascade: Cascade, report: Report, options: ReadOptions, page: Page) -> None:
        self.document = document
        self.cascade = cascade
        self.report = report
        self.options = options
        self.page = page
        self.paints = PaintResolver(document, options, self.where_it_stands)
        self.known_outlines = read_ahead(document.root)
        self._repeats = 0
        self._repeated: Counter[Element] = Counter()
        self._standing: dict[Element, tuple[Style, Frame]] = {}

    @abstractmethod
    def walk(self, element: Element, context: Context) -> list[Node]:
        """The nodes that one element paints in its context."""

    @abstractmethod
    def with_effects(self, element: Element, style: Style, context: Context, draw: Draw) -> list[Node]:
        """What the element draws, under its clip path and opacity. Raises Refused for effects beyond flat ink."""

    @abstractmethod
    def bounds(self, element: Element, context: Context) -> Box | None:
        """The bounding box of what the element draws, strokes and clips apart, in its own user units.

        Raises Refused where it is not known.
        """

    @staticmethod
    @abstractmethod
    def is_drawable(name: str) -> bool:
        """Whether an element of that name would paint something, were flat ink able to."""

    def guard(self, element: Element, context: Context) -> None:
        """Count what is drawn by reference. Raises ArtworkError for repeats or nesting beyond all measure."""
        if context.chain:
            self._repeats += 1
            self._repeated[context.chain[-1]] += 1
        if self._repeats > MAX_REPEATS:
            [(most, _)] = self._repeated.most_common(1)
            raise ArtworkError(
                f"the artwork repeats itself into more than {MAX_REPEATS:,} elements, most of them by "
                f"{place_of(most)}: remove nested references, or give patterns larger tiles"
            )
        if context.depth > MAX_WALK_DEPTH:
            raise ArtworkError(f"{place_of(element)} lies more than {MAX_WALK_DEPTH} levels deep: ungroup the artwork")

    def outline(self, element: Element, style: Style, frame: Frame) -> Outline:
        """The outline of a shape, in its own user units; what of it other programs draw otherwise is told. Raises
        OutlineError where nothing can be drawn."""
        outline, fault = outline_of(element, style, frame, self.known_outlines)
        name, text = numbers_of(element, style)
        if fault is not None:
            message = f"its path data breaks off ({fault}); only what stands before that is drawn"
            self.report.tell(Notice("path-cut-short", f"{place_of(element)}: {message}", "warning"))
        if ends_in_dot(text):
            message = f"a number of its {name} ends in a dot, where browsers stop drawing: write digits behind it"
            self.report.tell(Notice("uneven-number", f"{place_of(element)}: {message}", "warning"))
        return outline

    def meets_conditions(self, element: Element) -> bool:
        """Whether its conditions let the element be drawn; of one that is not, the report tells."""
        condition = unmet_condition(element)
        if condition is not None:
            self.report.pass_over(element, condition)
        return condition is None

    def declared(self, element: Element) -> Mapping[str, str]:
        """What is declared of an element. Raises Refused where programs read it otherwise than people."""
        declared = self.cascade.declared(element)
        reason = foreign_space(element, declared)
        if reason is not None:
            self.report.leave_out(element, reason)
        return declared

    def refuse_unread(self, element: Element, declared: Mapping[str, str], style: Style) -> None:
        """Refuse the element where a value that means something cannot be read, or is read unevenly."""
        reason = style.unread
        if reason is None and element is not self.document.root:
            reason = uneven_size(element, declared, style)
        if reason is not None:
            self.report.leave_out(element, reason)

    def refuse_asked(self, element: Element, style: Style, reasons: Mapping[str, str]) -> None:
        """Refuse the element by each of these properties that asks for anything. Raises Refused."""
        asked = [reason for name, reason in reasons.items() if not asks_for_nothing(style[name])]
        for reason in asked:
            self.report.refuse(element, reason)
        if asked:
            raise Refused(asked[0])

    def transformed(self, element: Element, style: Style, context: Context) -> Context:
        """The context within the element's own transforms. Raises Refused where they are unreadable."""
        if _MOVING.isdisjoint(style.own):
            return context
        self.refuse_asked(element, style, MOVES)
        if element is self.document.root:
            self.refuse_asked(element, style, _ROOT_MOVES)
        box = self._reference_box(element, style, context)
        frame = context.frame.within(box.width, box.height)
        try:
            own = parse_longhands(style["translate"], style["rotate"], style["scale"], frame)
            text = style["transform"]
            is_attribute = text == element.get("transform", "none").strip()  # browsers read the two by two grammars
            transform = own @ (parse_transform(text) if is_attribute else parse_style_transform(text, frame))
            origin = style["transform-origin"]
            x, y = parse_origin(origin, frame, is_attribute=origin == element.get("transform-origin", "").strip())
        except TransformError as error:
            self.report.leave_out(element, f"its transform is unreadable ({error}): write it as SVG does")
        moved = context.inside(about((x + box.x, y + box.y), transform))
        if not moved.to_page.is_finite:
            self.report.leave_out(element, "its transform is not finite: write smaller numbers")
        return moved

    def _reference_box(self, element: Element, style: Style, context: Context) -> Box:
        """The box that a transform's origin and percentages refer to: the view box or the element's own."""
        if style["transform-box"] in ("stroke-box", "border-box"):
            self.report.leave_out(element, "its transform goes by its stroke's box, which is not read: use fill-box")
        if style["transform-box"] in ("fill-box", "content-box"):
            if local_name(element) == "use" and corner_of(style, context.frame) != (0, 0):
                self.report.leave_out(
                    element,
                    "programs differ on the box that it is moved by: place it by `transform` instead of x and y",
                )
            box = self.bounds(element, context) or Box(0.0, 0.0, 0.0, 0.0)
            self.tell_loose(element, box, "transform")
            return box
        return Box(0.0, 0.0, context.frame.width, context.frame.height)

    def tell_loose(self, element: Element, box: Box, what: str) -> None:
        """Tell that what lies by an element's box may lie elsewhere in a browser."""
        if box.is_loose:
            message = (
                f"{place_of(element)}: its {what} goes by the box of shapes that are turned within it, which some "
                "browsers take for larger: compare with what you see there, or give it in userSpaceOnUse"
            )
            self.report.tell(Notice("loose-box", message, "warning"))

    def is_hidden(self, element: Element) -> bool:
        """Whether an element or one around it is not drawn where it stands, by `display` or a condition."""
        return any(
            unmet_condition(one) is not None or self.where_it_stands(one)[0]["display"] == "none"
            for one in (element, *element.iterancestors())
        )

    def where_it_stands(self, element: Element) -> tuple[Style, Frame]:
        """The style and the frame of lengths of an element where it stands, and not where a reference draws it."""
        if element not in self._standing:
            self._standing[element] = computed(self.cascade.declared(element), *self._around(element))
        return self._standing[element]

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


Draw: TypeAlias = Callable[[Walk, Element, Style, Context], list[Node]]
"""What draws the elements of a kind."""
