"""Which element is drawn by what, under its effects; every offender goes on the list."""

from __future__ import annotations

from dataclasses import replace

from vectorsep.artwork.basic_shapes import EVERYWHERE, rect_outline
from vectorsep.artwork.bounds import bounds_of
from vectorsep.artwork.clips import clip_of
from vectorsep.artwork.containers import draw_group, draw_nested_svg, draw_switch
from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import INVISIBLE, OPAQUE
from vectorsep.artwork.document import NAMELESS, SVG, Element, local_name, place_of
from vectorsep.artwork.drawing import Fill, Group, Node
from vectorsep.artwork.gate import (
    ACTIVE_ELEMENTS,
    BY_FONT,
    EFFECTFUL,
    EFFECTS,
    REFUSED_ELEMENTS,
    SHADOW,
    UNMEASURED,
    UNPAINTED_ELEMENTS,
    asks_for_nothing,
    taken_for_full,
    tint_refused,
)
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.masks import mask_of
from vectorsep.artwork.outlines import SHAPES
from vectorsep.artwork.references import draw_use
from vectorsep.artwork.report import NEARLY_FULL, UNSEEN, Refused
from vectorsep.artwork.shadows import adds_behind
from vectorsep.artwork.shapes import draw_shape
from vectorsep.artwork.style import ROOT_STYLE, Style
from vectorsep.artwork.text import draw_text
from vectorsep.artwork.unseen import box_of_unprintable, draw_in_sight, draw_unprintable, is_unseen
from vectorsep.artwork.viewport import Box, corner_of
from vectorsep.artwork.walk import Draw, Walk
from vectorsep.geometry.affine import IDENTITY
from vectorsep.model import Notice, Place

_HANDLERS: dict[str, Draw] = {
    "a": draw_group,
    "g": draw_group,
    "svg": draw_nested_svg,
    "switch": draw_switch,
    "text": draw_text,
    "use": draw_use,
    **dict.fromkeys(SHAPES, draw_shape),
}


class ElementWalk(Walk):
    """The walk over all elements of a drawing: each painted one resolved into nodes."""

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
        for element in root.iter(f"{NAMELESS}*"):
            if self.is_drawable(name := str(element.tag).removeprefix(NAMELESS)) or name == "style":
                self.report.pass_over(element, NAMELESS)
        try:
            declared = self.declared(root)
            style, frame = computed(declared, ROOT_STYLE, self.page.frame)
            if style["display"] == "none":
                hidden = "the outermost <svg> is hidden, which some programs pass over"
                self.report.tell(Notice("hidden-page", hidden, "warning"))
                return []
            context = Context(style, self.page.to_page, frame.of_root())
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
        try:
            declared = self.declared(element)
            style, frame = computed(declared, context.style, context.frame)
            if style["display"] == "none" or not self.meets_conditions(element):
                return []
            here = replace(context, frame=frame, depth=context.depth + 1)
            self.refuse_unread(element, declared, style)
            return self._dispatch(name, element, style, here)
        except Refused:
            return []

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

    def with_effects(self, element: Element, style: Style, context: Context, draw: Draw) -> list[Node]:
        """What the element draws, under its clip path and opacity. Raises Refused for effects beyond flat ink."""
        if context.measuring or style.own.keys().isdisjoint(EFFECTFUL):
            return draw(self, element, style, context)
        opacity = style.share("opacity")
        if opacity <= INVISIBLE:
            return []
        try:
            self._refuse_effects(element, style)
        except Refused:
            self._tell_what_else(element, style, context, draw)
            raise
        if not (asks_for_nothing(style["clip-path"]) and asks_for_nothing(style["mask"])):
            self._refuse_uneven_cut(element, style, context)
        cuts = (clip_of(self, element, style, context), mask_of(self, element, style, context))
        inner = replace(context, clips=(*context.clips, *(cut for cut in cuts if cut is not None)))
        before = self.report.count
        try:
            nodes = draw_in_sight(self, element, style, inner, draw)
        finally:
            if self.report.count > before:  # else a tint of which all is refused would be told the next time only
                self._tell_tint(element, opacity)
        if opacity >= OPAQUE or not nodes:
            return nodes
        if taken_for_full(opacity, self.options):
            self.report.pass_over(element, NEARLY_FULL)
            return nodes
        if not self.options.mixes_tints:
            if is_unseen(self, nodes):
                self.report.pass_over(element, UNSEEN)
                return []
            self.report.leave_out(element, *tint_refused(opacity))
        return [Group(opacity, tuple(nodes), place_of(element))]

    def _refuse_effects(self, element: Element, style: Style) -> None:
        """Refuse effects beyond flat ink. Of a shadow or glow behind the element, that alone is left out."""
        asked = dict(EFFECTS)
        if adds_behind(style["filter"], self.document):
            self.report.refuse(element, SHADOW)
            del asked["filter"]
        self.refuse_asked(element, style, asked)

    def _tell_what_else(self, element: Element, style: Style, context: Context, draw: Draw) -> None:
        """Put on the list what else is to be mended in an element that is refused for an effect, so that all of it is
        told at once; nothing where it is left out as a whole."""
        if self.options.skip_unprintable:
            return
        self._tell_tint(element, style.share("opacity"))
        draw_in_sight(self, element, style, context, draw)

    def _tell_tint(self, element: Element, opacity: float) -> None:
        """Put an element's own opacity on the list, where it is one that flat ink cannot print, to be mended with what
        is refused in it."""
        is_tint = opacity < OPAQUE and not taken_for_full(opacity, self.options)
        if is_tint and not (self.options.mixes_tints or self.options.skip_unprintable):
            self.report.refuse(element, *tint_refused(opacity))

    def _refuse_uneven_cut(self, element: Element, style: Style, context: Context) -> None:
        """Refuse a clip or mask on an element that moves its content: programs differ on whether it moves as well."""
        name, remedy = local_name(element), "put it on a group"
        if element is self.document.root:
            moves = not self.page.is_in_pixels
        elif name == "use":
            x, y = corner_of(style, context.frame)
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
