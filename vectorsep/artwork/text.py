"""Text outlined with the font files that the job gives; every other text is refused, never dropped.

HarfBuzz shapes whole runs; what needs a layout engine (text on a path, per-letter positions, letter spacing,
decorations, vertical writing) is refused by name. Source: SVG 2, chapter 11, for positions, anchors and white space.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np
from lxml import etree

from vectorsep.artwork.basic_shapes import EVERYWHERE
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import XML_SPACE, Element, local_name, place_of
from vectorsep.artwork.drawing import Fill, Node
from vectorsep.artwork.gate import BY_FONT, asked_effect
from vectorsep.artwork.glyphs import (
    NO_GLYPHS,
    UNKNOWN_GLYPHS,
    MissingLetterError,
    Shaped,
    font_for,
    mixture_in,
    shaped_letters,
    traits_missed,
)
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import axis_of, parse_length
from vectorsep.artwork.report import Report
from vectorsep.artwork.shapes import draw_painted
from vectorsep.artwork.style import Style
from vectorsep.artwork.unseen import BLACK
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.curves import Outline
from vectorsep.model import Notice
from vectorsep.settings import ReadOptions
from vectorsep.units import counted

_PLAIN: dict[str, tuple[str, ...]] = {
    "alignment-baseline": ("auto", "baseline", "alphabetic"),
    "baseline-shift": ("baseline", "0"),
    "direction": ("ltr",),
    "dominant-baseline": ("auto", "alphabetic"),
    "font": ("",),
    "font-feature-settings": ("normal",),
    "font-kerning": ("auto", "normal"),
    "font-size-adjust": ("none",),
    "font-variant": ("normal",),
    "font-variant-alternates": ("normal",),
    "font-variant-caps": ("normal",),
    "font-variant-east-asian": ("normal",),
    "font-variant-ligatures": ("normal",),
    "font-variant-numeric": ("normal",),
    "font-variant-position": ("normal",),
    "font-variation-settings": ("normal",),
    "letter-spacing": ("normal", "0", "0px"),
    "text-decoration": ("none",),
    "text-decoration-line": ("none",),
    "text-shadow": ("none",),
    "text-transform": ("none",),
    "unicode-bidi": ("normal", "embed", "isolate"),
    "white-space": ("", "normal", "nowrap", "pre", "pre-wrap", "break-spaces"),
    "white-space-collapse": ("", "collapse"),
    "word-spacing": ("normal", "0", "0px"),
    "writing-mode": ("horizontal-tb", "lr", "lr-tb"),
}
"""Properties whose other values move or add to the glyphs."""
_KEEPING_SPACE = ("pre", "pre-wrap", "break-spaces")
_UNREAD_ATTRIBUTES = ("rotate", "textLength")
_ADVICE = "convert it to outlines"
LONGEST_FAMILIES = 60
"""Characters of the families asked for that are told."""


@dataclass(frozen=True, slots=True)
class _Run:
    """Some text in one style; positions where its element gives them, in user units."""

    text: str
    element: Element
    style: Style
    context: Context
    keeps_space: bool
    at: tuple[float | None, float | None] = (None, None)
    by: tuple[float, float] = (0.0, 0.0)


def draw_text(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """The runs of a text element as filled and stroked outlines. Raises Refused where a font or a layout lacks."""
    if not (context.measuring or walk.options.as_film) and _is_hidden(walk, element, style):
        return []
    runs = _without_outer_space(_runs(walk, element, style, context))
    shaped = [_shape(run, walk.options, walk.report) for run in runs]
    mixture = mixture_in([run.text for run in runs if run.text])
    if mixture is not None and UNKNOWN_GLYPHS not in shaped:
        walk.report.leave_out(element, f"text {mixture}: {_ADVICE}")
    if context.measuring and UNKNOWN_GLYPHS in shaped:
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


def _chunk_advance(runs: list[_Run], shaped: list[Shaped], first: int) -> float:
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
    keeps = _keeps_space(element, style)
    text = _spaced(element.text, keeps)
    first = _Run(text, element, style, context, keeps, *_position(walk.report, element, context))
    runs = [first]
    for child in element:
        name = local_name(child)
        if name in ("tspan", "a"):
            runs += _runs_of_span(walk, child, style, context)
        elif name in ("textPath", "tref", "altGlyph"):
            walk.report.leave_out(child, f"<{name}> is not read: {_ADVICE}")
        runs.append(_Run(_spaced(child.tail, keeps), element, style, context, keeps))
    return _with_positions_kept([run for run in runs if run.text or run.at != (None, None) or run.by != (0.0, 0.0)])


def _runs_of_span(walk: Walk, span: Element, around: Style, context: Context) -> list[_Run]:
    """The runs of a part of a text that may have a style of its own."""
    declared = walk.cascade.declared(span)
    style, frame = computed(declared, around, context.frame)
    if style["display"] == "none" or not walk.meets_conditions(span):
        return []
    walk.refuse_unread(span, declared, style)
    effect = asked_effect(style)
    if effect is not None:
        walk.report.leave_out(span, f"a part of text with {effect} of its own is not read: {_ADVICE}")
    return _runs(walk, span, style, replace(context, frame=frame))


def _with_positions_kept(runs: list[_Run]) -> list[_Run]:
    """Hand the position of an empty run on to the next one, if its element has that one too: without letters in it a
    part of a text is nowhere."""
    holding: list[_Run] = []
    for run in reversed(runs):
        if run.text or (holding and run.element in (holding[-1].element, *holding[-1].element.iterancestors())):
            holding.append(run)
    kept: list[_Run] = []
    for run in reversed(holding):
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


def _keeps_space(element: Element, style: Style) -> bool:
    """Whether white space stays as it is, by a style, or else by `xml:space` (SVG 2, chapter 11)."""
    if style["white-space"]:
        return style["white-space"] in _KEEPING_SPACE
    for holder in (element, *element.iterancestors()):
        space = holder.get(XML_SPACE)
        if space is not None:
            return space == "preserve"
    return False


def _spaced(text: str | None, keeps: bool) -> str:
    if text is None:
        return ""
    return re.sub(r"[\r\n\t]", " ", text) if keeps else re.sub(r"[ \r\n\t]+", " ", text)


def _without_outer_space(runs: list[_Run]) -> list[_Run]:
    """Drop white space at both ends of the text, and between runs that both end in it, unless it is preserved."""
    kept: list[_Run] = []
    for run in runs:
        text = run.text
        if not run.keeps_space and (not kept or kept[-1].text.endswith(" ")):
            text = text.lstrip(" ")
        kept.append(replace(run, text=text))
    if kept and not kept[-1].keeps_space:
        kept[-1] = replace(kept[-1], text=kept[-1].text.rstrip(" "))
    return kept


def _shape(run: _Run, options: ReadOptions, report: Report) -> Shaped:
    """Raises Refused where a font or a letter of it lacks, unless nothing of the run would be seen."""
    if not run.text:
        return NO_GLYPHS
    family, data = font_for(options.fonts, run.style)
    if data is None:
        if run.context.measuring or _is_unseen(run, options):
            return UNKNOWN_GLYPHS
        reason = f"text in {_families_told(run.style)} is no shape: {_ADVICE}"
        report.leave_out(run.element, reason, BY_FONT)
    try:
        shaped = shaped_letters(run.text, data, run.context.frame.font_size)
    except MissingLetterError as error:
        report.leave_out(run.element, f"the font file given for {family} lacks {error.letter!r}: {_ADVICE}")
    place = place_of(run.element)
    report.tell(Notice("text-outlined", f"{place}: text outlined with the font file given for {family}"))
    for asked in traits_missed(run.style, data):
        message = f"{place}: its text asks for {asked} of {family}, and prints as the font file given for that has it"
        report.tell(Notice("font-unlike", message, "warning"))
    return shaped


def _families_told(style: Style) -> str:
    """The families that a style asks for; of a long list, as exports of plots have it, the first ones, each whole."""
    families = [family.strip() for family in style["font-family"].split(",")]
    told = families[0][:LONGEST_FAMILIES] or "no family"
    for count, family in enumerate(families[1:], start=1):
        if len(told) + len(family) > LONGEST_FAMILIES:
            others = len(families) - count
            return f"{told} or {counted(others, 'other')}"
        told = f"{told}, {family}"
    return told


def _is_unseen(run: _Run, options: ReadOptions) -> bool:
    """Whether a run surely shows nothing: hidden, of spaces, of no size, or neither filled nor stroked."""
    if run.style["visibility"] != "visible":
        return True
    is_unpainted = run.style["fill"] == run.style["stroke"] == "none"
    return (is_unpainted or run.context.frame.font_size == 0 or run.text.isspace()) and not options.as_film
