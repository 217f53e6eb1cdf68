"""`use`: the target drawn in place of the reference, symbols and svg in a viewport (SVG 2, 5.6)."""

from __future__ import annotations

from dataclasses import replace
from typing import NoReturn

from vectorsep.artwork.containers import draw_viewport
from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element, href_of, local_name, place_of
from vectorsep.artwork.drawing import Node
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import RECTANGLE
from vectorsep.artwork.report import Refused, Report
from vectorsep.artwork.style import Style
from vectorsep.artwork.viewport import corner_of, viewport_box
from vectorsep.artwork.walk import Walk
from vectorsep.geometry.affine import Affine


def draw_use(walk: Walk, element: Element, style: Style, context: Context) -> list[Node]:
    """What the use brings in."""
    inner = within_use(walk, element, style, context)
    target = inner.chain[-1]
    if local_name(target) in ("symbol", "svg"):
        return _draw_sized(walk, target, style, inner)
    return walk.walk(target, inner)


def within_use(walk: Walk, element: Element, style: Style, context: Context) -> Context:
    """The context of what a use brings in; its target stands last in the chain. Raises Refused."""
    target = _target(walk, element, context)
    if (unlike := walk.cascade.told_by_surroundings(target)) is not None:
        reason = (
            f"the style sheet goes by what stands around {place_of(unlike)}, and programs differ on whether that "
            "counts where it is brought in: write its style on itself"
        )
        refuse_unless_measuring(walk.report, element, context, reason)
    chain = (*context.chain, element, target)
    inner = replace(context.inside(Affine.translation(*corner_of(style, context.frame))), style=style, chain=chain)
    return walk.paints.with_context(style, inner)


def _draw_sized(walk: Walk, target: Element, use_style: Style, context: Context) -> list[Node]:
    """A symbol or svg in its viewport, whose size the use may give (SVG 2, 5.5 and 5.6.2)."""
    walk.guard(target, context)
    declared = walk.cascade.declared(target)
    own, frame = computed(declared, context.style, context.frame)
    is_svg = local_name(target) == "svg"
    if own["display"] == "none" and is_svg:
        return []
    walk.refuse_unread(target, declared, own)
    if not is_svg:
        _refuse_uneven_symbol(walk, target, own)
    inner = replace(context, frame=frame, depth=context.depth + 1)
    given = {name: own[name] for name in RECTANGLE}
    given |= {name: use_style[name] for name in ("width", "height") if use_style[name] != "auto"}
    box = viewport_box(Style(own.inherited, given), inner.frame)
    try:
        inner = walk.transformed(target, own, inner)
        return walk.with_effects(target, own, inner, lambda w, e, s, c: draw_viewport(w, e, s, c, box))
    except Refused:
        return []


def _refuse_uneven_symbol(walk: Walk, symbol: Element, style: Style) -> None:
    """Refuse a symbol that says of itself what some programs obey and others do not."""
    if style["display"] == "none":  # shown all the same by SVG 2, 5.5, but not by browsers
        walk.report.leave_out(symbol, "programs differ on whether a hidden symbol shows: take its `display` away")
    for name in ("refX", "refY"):
        if name in symbol.attrib:
            walk.report.leave_out(symbol, f"programs differ on its {name}: place it by x and y of what uses it")


def _target(walk: Walk, element: Element, context: Context) -> Element:
    reference = href_of(element)
    if not reference or reference == "#":
        refuse_unless_measuring(walk.report, element, context, "it refers to nothing: remove it")
    if not reference.startswith("#"):
        reason = f"it refers to another file ({reference[:60]!r}): embed what it shows"
        refuse_unless_measuring(walk.report, element, context, reason)
    target = walk.document.target(reference)
    if target is None or local_name(target) is None:
        reason = f"it refers to {reference[:60]!r}, which the drawing lacks: remove it"
        refuse_unless_measuring(walk.report, element, context, reason)
    if target in context.chain or target is element or target in element.iterancestors():
        refuse_unless_measuring(walk.report, element, context, "it refers to itself in a circle: break the circle")
    return target


def refuse_unless_measuring(report: Report, element: Element, context: Context, reason: str) -> NoReturn:
    """Put the element on the list of offenders, unless only its bounds are asked. Raises Refused either way."""
    if context.measuring:
        raise Refused(reason)
    report.leave_out(element, reason)
