"""Clip paths resolved into clips: nested, transformed, in bounding-box units (CSS Masking 1, chapter 5)."""

from __future__ import annotations

from dataclasses import replace

from vectorsep.artwork.context import Context
from vectorsep.artwork.document import Element, children, local_name, place_of
from vectorsep.artwork.drawing import Clip, ClipPart
from vectorsep.artwork.gate import HIDDEN
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.outlines import SHAPES, OutlineError
from vectorsep.artwork.references import within_use
from vectorsep.artwork.style import Style
from vectorsep.artwork.urls import parse_reference
from vectorsep.artwork.walk import Walk
from vectorsep.model import Notice

TWICE_REMOVED = (
    "it stands in a clip path by a <use> of another <use>, which cuts all away by CSS Masking 1, section 5.1, and in "
    "browsers, and is followed by other programs: refer to the shape itself"
)


def clip_of(walk: Walk, element: Element, style: Style, context: Context) -> Clip | None:
    """The clip that a styled element asks for, in its own user space. Raises Refused for what is unreadable."""
    text = style["clip-path"].strip()
    if text.lower() in ("none", ""):
        return None
    reference = parse_reference(text)
    if reference is None:
        walk.report.leave_out(element, f"its clip-path {text[:40]!r} is a CSS shape, which is not read: use <clipPath>")
    if reference.fallback:
        walk.report.leave_out(element, f"its clip-path {text[:40]!r} names more than a <clipPath>: name that alone")
    if not reference.target.startswith("#"):
        walk.report.leave_out(element, f"its clip-path asks for another file ({reference.target[:60]!r}): embed it")
    target = walk.document.target(reference.target, "clipPath")
    if target is None:
        walk.report.leave_out(element, f"its clip-path asks for {reference.target!r}, which is no <clipPath> here")
    return _clip(walk, target, element, context)


def _clip(walk: Walk, clip_path: Element, user: Element, context: Context) -> Clip:
    if clip_path in context.chain:
        walk.report.leave_out(user, "its clip-path clips itself in a circle: break the circle")
    if walk.is_hidden(clip_path) and walk.options.as_film:
        walk.report.leave_out(user, f"its clip-path {HIDDEN}")
    if walk.is_hidden(clip_path):  # clips all the same (CSS Masking 1, 5.1)
        walk.report.tell(Notice("hidden-clip", f"{place_of(clip_path)} {HIDDEN}; here it clips", "warning"))
    own = walk.entered(clip_path, context)
    outer = clip_of(walk, clip_path, own.style, own)
    inner = walk.transformed(clip_path, own.style, own)
    if clip_path.get("clipPathUnits") == "objectBoundingBox":
        box = walk.bounds(user, context)
        if box is None or box.is_empty:
            return Clip(())
        walk.tell_loose(user, box, "clip-path")
        inner = inner.inside(box.as_unit)
    parts = [part for _, child in children(clip_path) for part in _parts(walk, child, inner)]
    return Clip(tuple(parts), () if outer is None else (outer,))


def _parts(walk: Walk, element: Element, context: Context, *, by_use: bool = False) -> list[ClipPart]:
    """The clip shapes of one child: a shape, text, or a use of one directly (CSS Masking 1, 5.1)."""
    name = local_name(element)
    if name not in SHAPES and name not in ("use", "text"):
        return []
    declared = walk.declared(element)
    style, frame = computed(declared, context.style, context.frame)
    if by_use and style["visibility"] != "visible":
        walk.report.tell(Notice("hidden-clip", f"{place_of(element)} {HIDDEN}; here it does not clip", "warning"))
    if style["display"] == "none" or style["visibility"] != "visible" or not walk.meets_conditions(element):
        return []
    walk.refuse_unread(element, declared, style)
    here = replace(context, frame=frame, depth=context.depth + 1)
    if name == "text":
        walk.report.leave_out(element, "text in a clip path is no shape: convert it to outlines")
    here = walk.transformed(element, style, here)
    clip = clip_of(walk, element, style, here)
    clips = () if clip is None else (clip,)
    if name == "use":
        if by_use:
            walk.report.leave_out(element, TWICE_REMOVED)
        inner = within_use(walk, element, style, here)
        parts = _parts(walk, inner.chain[-1], inner, by_use=True)
        return [replace(part, clips=(*part.clips, *clips)) for part in parts]
    try:
        outline = walk.outline(element, style, here.frame)
    except OutlineError as error:
        walk.report.leave_out(element, str(error))
    return [ClipPart(outline, here.to_page, style["clip-rule"] == "evenodd", clips)]
