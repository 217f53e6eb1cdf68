"""Text outlined with the font files that the job gives; every other text is refused, never dropped.

HarfBuzz shapes whole runs; what needs a layout engine (text on a path, per-letter positions, letter spacing,
decorations, vertical writing) is refused by name. Source: SVG 2, chapter 11, for positions, anchors and white space.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np
import uharfbuzz
from fontTools.pens.svgPathPen import SVGPathPen
from lxml import etree

from vectorsep.artwork.basic_shapes import EVERYWHERE
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import XML_SPACE, Element, local_name, place_of
from vectorsep.artwork.drawing import Fill, Node
from vectorsep.artwork.gate import BY_FONT
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import axis_of, parse_length
from vectorsep.artwork.pathdata import parse_path
from vectorsep.artwork.report import Report
from vectorsep.artwork.shapes import draw_painted
from vectorsep.artwork.style import Style
from vectorsep.artwork.unseen import BLACK
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.curves import NO_OUTLINE, Outline, joined
from vectorsep.model import Notice
from vectorsep.settings import ReadOptions

_PLAIN: dict[str, tuple[str, ...]] = {
    "letter-spacing": ("normal", "0", "0px"),
    "word-spacing": ("normal", "0", "0px"),
    "writing-mode": ("horizontal-tb", "lr", "lr-tb"),
    "text-decoration": ("none",),
    "baseline-shift": ("baseline", "0"),
    "dominant-baseline": ("auto", "alphabetic"),
    "font": ("",),
    "font-feature-settings": ("normal",),
    "font-variant": ("normal",),
    "font-variation-settings": ("normal",),
    "text-shadow": ("none",),
    "text-transform": ("none",),
}
"""Properties whose other values move or add to the glyphs."""
_UNREAD_ATTRIBUTES = ("rotate", "textLength")
_ADVICE = "convert it to outlines"


@dataclass(frozen=True, slots=True)
class _Run:
    """Some text in one style; positions where its element gives them, in user units."""

    text: str
    element: Element
    style: Style
    context: Context
    at: tuple[float | None, float | None] = (None, None)
    by: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Shaped:
    """A run's outline with its origin on the baseline, and how far it moves on."""

    outline: Outline
    advance: float


_NO_GLYPHS = _Shaped(NO_OUTLINE, 0.0)
_UNKNOWN_GLYPHS = _Shaped(NO_OUTLINE, math.nan)
"""A run in a font that nobody gave, that shows nothing or is only measured: where it ends is not known."""


def draw_text(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """The runs of a text element as filled and stroked outlines. Raises Refused where a font or a layout lacks."""
    if not (context.measuring or walk.options.as_film) and _is_hidden(walk, element, style):
        return []
    runs = _without_outer_space(_runs(walk, element, style, context))
    shaped = [_shape(run, walk.options, walk.report) for run in runs]
    if context.measuring and _UNKNOWN_GLYPHS in shaped:
        return [Fill(BLACK, EVERYWHERE, context.to_page, False, (), place_of(element))]
    nodes: list[Node] = []
    x = y = 0.0
    for i, (run, glyphs) in enumerate(zip(runs, shaped, strict=True)):
        starts_chunk = i == 0 or run.at != (None, None)
        x = (x if run.at[0] is None else run.at[0]) + run.by[0]
        y = (y if run.at[1] is None else run.at[1]) + run.by[1]
        if starts_chunk:
            share = _anchor_share(run.style)
            x -= share * _chunk_advance(runs, shaped, i) if share else 0.0
        nodes += _drawn(walk, run, glyphs.outline.mapped(Affine.translation(x, y)))
        x += glyphs.advance
    return nodes


def _is_hidden(walk: Walk, element: Element, style: Style) -> bool:
    """Whether a text shows nothing, and no part of it says otherwise of itself."""
    parts = element.iterdescendants(tag=etree.Element)
    return style["visibility"] != "visible" and not any("visibility" in walk.cascade.declared(part) for part in parts)


def _drawn(walk: Walk, run: _Run, outline: Outline) -> list[Node]:
    if outline.is_empty:
        return []
    if not np.isfinite(outline.knots).all():
        walk.report.leave_out(run.element, f"text behind unseen text in a font that lacks is not placed: {_ADVICE}")
    if run.context.measuring:
        return [Fill(BLACK, outline, run.context.to_page, False, (), place_of(run.element))]
    if run.style["visibility"] != "visible":
        return []
    nonzero = replace(run.style, inherited={**run.style.inherited, "fill-rule": "nonzero"})
    return draw_painted(walk, run.element, nonzero, run.context, outline)


def _anchor_share(style: Style) -> float:
    return {"middle": 0.5, "end": 1.0}.get(style["text-anchor"], 0.0)


def _chunk_advance(runs: list[_Run], shaped: list[_Shaped], first: int) -> float:
    """How far the text runs on until the next absolute position."""
    total = 0.0
    for i in range(first, len(runs)):
        if i > first and runs[i].at != (None, None):
            break
        total += shaped[i].advance + (runs[i].by[0] if i > first else 0.0)
    return total


def _runs(walk: Walk, element: Element, style: Style, context: Context) -> list[_Run]:
    """The runs of an element and its spans in reading order."""
    _refuse_layout(walk.report, element, style)
    preserve = _preserves_space(element)
    first = _Run(_spaced(element.text, preserve), element, style, context, *_position(walk.report, element, context))
    runs = [first]
    for child in element:
        name = local_name(child)
        if name in ("tspan", "a"):
            declared = walk.cascade.declared(child)
            inner, frame = computed(declared, style, context.frame)
            if inner["display"] != "none" and walk.meets_conditions(child):
                walk.refuse_unread(child, declared, inner)
                runs += _runs(walk, child, inner, replace(context, frame=frame))
        elif name in ("textPath", "tref", "altGlyph"):
            walk.report.leave_out(child, f"<{name}> is not read: {_ADVICE}")
        runs.append(_Run(_spaced(child.tail, preserve), element, style, context))
    return _with_positions_kept([run for run in runs if run.text or run.at != (None, None) or run.by != (0.0, 0.0)])


def _with_positions_kept(runs: list[_Run]) -> list[_Run]:
    """Hand the position of an empty run on to the next one."""
    kept: list[_Run] = []
    for run in runs:
        if kept and not kept[-1].text:
            before = kept.pop()
            at = (
                run.at[0] if run.at[0] is not None else before.at[0],
                run.at[1] if run.at[1] is not None else before.at[1],
            )
            run = replace(run, at=at, by=(run.by[0] + before.by[0], run.by[1] + before.by[1]))  # noqa: PLW2901
        kept.append(run)
    return kept


def _refuse_layout(report: Report, element: Element, style: Style) -> None:
    for name, plain in _PLAIN.items():
        if style[name].strip() not in plain:
            report.leave_out(element, f"text with {name} {style[name]!r} is not read: {_ADVICE}")
    for name in _UNREAD_ATTRIBUTES:
        if element.get(name) is not None:
            report.leave_out(element, f"text with {name} is not read: {_ADVICE}")


def _position(
    report: Report, element: Element, context: Context
) -> tuple[tuple[float | None, float | None], tuple[float, float]]:
    found: dict[str, float | None] = {}
    for name in ("x", "y", "dx", "dy"):
        text = element.get(name, "").strip()
        found[name] = parse_length(text, context.frame, axis_of(name)) if text else None
        if text and found[name] is None:
            report.leave_out(
                element, f"text with {name}={text[:40]!r}, a place for each letter, is not read: {_ADVICE}"
            )
    return (found["x"], found["y"]), (found["dx"] or 0.0, found["dy"] or 0.0)


def _preserves_space(element: Element) -> bool:
    for holder in (element, *element.iterancestors()):
        space = holder.get(XML_SPACE)
        if space is not None:
            return space == "preserve"
    return False


def _spaced(text: str | None, preserve: bool) -> str:
    if text is None:
        return ""
    return re.sub(r"[\r\n\t]", " ", text) if preserve else re.sub(r"[ \r\n\t]+", " ", text)


def _without_outer_space(runs: list[_Run]) -> list[_Run]:
    """Drop white space at both ends of the text, and between runs that both end in it, unless it is preserved."""
    kept: list[_Run] = []
    for run in runs:
        text = run.text
        if not _preserves_space(run.element) and (not kept or kept[-1].text.endswith(" ")):
            text = text.lstrip(" ")
        kept.append(replace(run, text=text))
    if kept and not _preserves_space(kept[-1].element):
        kept[-1] = replace(kept[-1], text=kept[-1].text.rstrip(" "))
    return kept


def _shape(run: _Run, options: ReadOptions, report: Report) -> _Shaped:
    """Raises Refused where a font or a letter of it lacks, unless nothing of the run would be seen."""
    if not run.text:
        return _NO_GLYPHS
    family, data = _font_for(options.fonts, run.style)
    if data is None:
        if run.context.measuring or _is_unseen(run, options):
            return _UNKNOWN_GLYPHS
        wanted = run.style["font-family"].strip() or "no family"
        reason = f"text in {wanted[:60]} is no shape: {_ADVICE}"
        report.leave_out(run.element, reason, BY_FONT)
    shaped = _glyphs(run, family, data, report)
    message = f"{place_of(run.element)}: text outlined with the font file given for {family}"
    report.tell(Notice("text-outlined", message))
    return shaped


def _is_unseen(run: _Run, options: ReadOptions) -> bool:
    """Whether a run surely shows nothing: hidden, of spaces, of no size, or neither filled nor stroked."""
    if run.style["visibility"] != "visible":
        return True
    is_unpainted = run.style["fill"] == run.style["stroke"] == "none"
    return (is_unpainted or run.context.frame.font_size == 0 or run.text.isspace()) and not options.as_film


def _glyphs(run: _Run, family: str, data: bytes, report: Report) -> _Shaped:
    """A run shaped with a font file. Raises Refused for a letter that the font lacks."""
    font = _opened(data)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(run.text)
    buffer.guess_segment_properties()
    uharfbuzz.shape(font, buffer)
    scale = run.context.frame.font_size / font.face.upem
    outlines, pen_x = [], 0.0
    for info, position in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        if info.codepoint == 0:
            letter = run.text[info.cluster]
            report.leave_out(run.element, f"the font file given for {family} lacks {letter!r}: {_ADVICE}")
        glyph = _glyph(data, info.codepoint)
        x, y = pen_x + position.x_offset, position.y_offset
        outlines.append(glyph.mapped(Affine(scale, 0.0, 0.0, -scale, x * scale, -y * scale)))
        pen_x += position.x_advance
    return _Shaped(joined(outlines), pen_x * scale)


def _font_for(fonts: Mapping[str, bytes], style: Style) -> tuple[str, bytes | None]:
    """The first family of the style that the job has a file for. Names compare without quotes and case."""
    known = {name.casefold(): (name, data) for name, data in fonts.items()}
    for family in style["font-family"].split(","):
        found = known.get(family.strip().strip("'\"").casefold())
        if found is not None:
            return found
    return "", None


@lru_cache(maxsize=8)
def _opened(data: bytes) -> Any:  # noqa: ANN401 - the binding has no types
    return uharfbuzz.Font(uharfbuzz.Face(data))


@lru_cache(maxsize=4096)
def _glyph(data: bytes, index: int) -> Outline:
    """A glyph's outline in font units, y up."""
    pen = SVGPathPen(None)
    _opened(data).draw_glyph_with_pen(index, pen)
    return parse_path(pen.getCommands())[0]
