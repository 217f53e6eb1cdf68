"""What a shape's fill and stroke come to in its context, and the pen of its stroke."""

from __future__ import annotations

import re
from dataclasses import replace

from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import INVISIBLE, OPAQUE, Solid, parse_colour
from vectorsep.artwork.document import Document, Element, local_name
from vectorsep.artwork.gate import HALFTONE, taken_for_full, tint_refused
from vectorsep.artwork.gradients import AREAS, GRADIENTS, Gradient, Standing
from vectorsep.artwork.lengths import Frame, parse_length
from vectorsep.artwork.report import BY_PROFILE, NEARLY_FULL, Report
from vectorsep.artwork.style import Style
from vectorsep.artwork.sums import words_of
from vectorsep.artwork.urls import Reference, parse_reference
from vectorsep.geometry.bends import Join, Pen
from vectorsep.settings import ReadOptions

MAX_PAINT_LENGTH = 1000
"""Longer texts are no paint; the parsers below would take their time to find out."""
_ICC = re.compile(r"(?:icc-color|device-cmyk|cielab)\([^)]*\)\s*+$", re.IGNORECASE)
_JOINS: dict[str, Join] = {
    "miter": "miter", "miter-clip": "miter-clip", "round": "round", "bevel": "bevel", "arcs": "miter-clip",
}  # fmt: skip
SHARE_OF = {"fill": "fill-opacity", "stroke": "stroke-opacity"}


class PaintResolver:
    """Looks paints up in one drawing."""

    def __init__(self, document: Document, options: ReadOptions, standing: Standing) -> None:
        self._document = document
        self._options = options
        self._standing = standing
        self._gradients: dict[Element, Gradient] = {}

    def paint_of(self, part: str, element: Element, style: Style, context: Context, report: Report) -> Solid | None:
        """The solid colour of a shape's fill or stroke, or None where it paints nothing.

        Raises Refused, with the reason reported, for everything else.
        """
        share = 0.0 if style[part] == "none" else style.share(SHARE_OF[part])
        if share <= INVISIBLE:
            return None
        try:
            solid = self._solid(style[part], style, context)
        except ValueError as error:
            report.leave_out(element, f"its {part} {error}")
        if solid is None or solid.alpha * share <= INVISIBLE:
            return None
        if _ICC.search(style[part]):
            report.pass_over(element, BY_PROFILE)
        alpha = solid.alpha * share
        if alpha >= OPAQUE:
            return Solid(solid.hex)
        if taken_for_full(alpha, self._options):
            report.pass_over(element, NEARLY_FULL)
            return Solid(solid.hex)
        if not self._options.mixes_tints:
            report.leave_out(element, *tint_refused(alpha))
        return Solid(solid.hex, alpha)

    def background_of(self, name: str, root: Element, style: Style, context: Context, report: Report) -> Solid | None:
        """The colour of the page's background, or None where it has none. Raises Refused for what is no flat colour."""
        text = style[name].strip()
        if text.lower() in ("none", "", "transparent"):
            return None
        try:
            solid = self._solid(text, style, context)
        except ValueError as error:
            report.leave_out(root, f"its {name} {error}")
        if solid is not None and INVISIBLE < solid.alpha < OPAQUE:
            report.leave_out(root, *tint_refused(solid.alpha))
        return solid if solid is not None and solid.alpha >= OPAQUE else None

    def with_context(self, style: Style, context: Context) -> Context:
        """The context for what a use or a marked shape brings in: its paints, where they are plain."""
        paints: dict[str, Solid | ValueError | None] = {}
        for part in ("fill", "stroke"):
            try:
                paints[part] = self._solid(style[part], style, context)
            except ValueError as error:
                paints[part] = error
        return replace(context, context_fill=paints["fill"], context_stroke=paints["stroke"])

    def _solid(self, text: str, style: Style, context: Context) -> Solid | None:
        """Raises ValueError with the reason where the paint is no solid colour."""
        if len(text) > MAX_PAINT_LENGTH:
            raise ValueError(f"{text[:40]!r} goes on without end: write it as #rrggbb")
        word = _ICC.sub("", text.strip()).strip() or text.strip()
        lowered = word.lower()
        if lowered == "none":
            return None
        if lowered == "currentcolor":
            return self._colour(style["color"])
        if lowered in ("context-fill", "context-stroke"):
            passed_on = context.context_fill if lowered == "context-fill" else context.context_stroke
            if isinstance(passed_on, ValueError):
                raise passed_on
            return passed_on
        reference = parse_reference(word)
        if reference is None:
            return self._colour(word)
        return self._server(reference, style, context)

    @staticmethod
    def _colour(text: str) -> Solid:
        solid = parse_colour(text)
        if solid is None:
            raise ValueError(f"{text[:60]!r} is no colour: write it as #rrggbb")
        return solid

    def _server(self, reference: Reference, style: Style, context: Context) -> Solid | None:
        if reference.target and not reference.target.startswith("#"):
            raise ValueError(f"asks for another file ({reference.target[:60]!r}): paint with a plain colour")
        target = self._document.target(reference.target)
        if target is None:
            if reference.fallback:
                return self._solid(reference.fallback, style, context)
            raise ValueError(f"asks for {reference.target[:60]!r}, which the drawing lacks: paint with a plain colour")
        name = local_name(target)
        if name in GRADIENTS:
            return self._flat(self._gradient(target), reference.fallback)
        kind = "pattern" if name == "pattern" else f"<{name}>"
        raise ValueError(f"is a {kind}, and {HALFTONE}: draw its shapes")

    def _flat(self, gradient: Gradient, fallback: str) -> Solid | None:
        """The paint of a gradient of one colour."""
        if gradient.is_bare and not fallback:
            return None  # SVG 2, 14.2.4.1: without stops it paints as `none` does; with a fallback viewers differ
        steps = gradient.steps
        if steps is None or len(steps) > 1:
            raise ValueError(f"is a gradient, and {HALFTONE}: {AREAS}")
        if doubt := gradient.doubt():
            raise ValueError(f"is a gradient that {doubt}")
        return steps[0].paint

    def gradient_of(self, part: str, style: Style) -> Gradient | None:
        """The gradient that fills or strokes a shape of this style, or None."""
        reference = parse_reference(style[part])
        target = None if reference is None else self._document.target(reference.target)
        return self._gradient(target) if target is not None and local_name(target) in GRADIENTS else None

    def _gradient(self, element: Element) -> Gradient:
        if element not in self._gradients:
            self._gradients[element] = Gradient(self._document, element, self._standing)
        return self._gradients[element]


def pen_of(style: Style, frame: Frame, element: Element, report: Report) -> Pen:
    """The pen of a stroke, in user units. Raises Refused for a dash list that cannot be read."""
    width, limit = style.length("stroke-width", frame), style.number("stroke-miterlimit")
    if width is None:
        width = 1.0
    return Pen(
        width,
        style["stroke-linecap"],  # type: ignore[arg-type]
        _JOINS[style["stroke-linejoin"]],
        4.0 if limit is None else limit,
        _dashes(style["stroke-dasharray"], frame, element, report),
        style.length("stroke-dashoffset", frame) or 0.0,
    )


def _dashes(text: str, frame: Frame, element: Element, report: Report) -> tuple[float, ...]:
    """Dash lengths, an odd list doubled; empty for a solid line: none, any negative, or all zero (SVG 2, 13.5.6)."""
    if text.strip().lower() == "none":
        return ()
    lengths = [parse_length(word, frame, "diagonal") for word in words_of(text, commas=True)]
    known = [length for length in lengths if length is not None]
    if len(known) < len(lengths):
        report.leave_out(element, f"its stroke-dasharray {text[:40]!r} is unreadable: write lengths")
    if any(length < 0 for length in known) or not sum(known) > 0:
        return ()
    return tuple(known * 2 if len(known) % 2 else known)
