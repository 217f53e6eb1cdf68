"""Masks of plain white and black, which end in hard edges, resolved into clips (CSS Masking 1, chapters 6 and 8).

Programs that draw interfaces write every clipped group as such a mask. One that lets anything through in part is a
blend, and refused.
"""

from __future__ import annotations

from typing import NoReturn

from vectorsep.artwork.basic_shapes import rect_outline
from vectorsep.artwork.containers import draw_group
from vectorsep.artwork.context import Context
from vectorsep.artwork.css_colours import INVISIBLE, OPAQUE
from vectorsep.artwork.document import Element
from vectorsep.artwork.drawing import Clip, ClipPart, Group, Mask, MaskPart, Node
from vectorsep.artwork.gate import EFFECTS, HIDDEN, SOFT_MASK, asks_for_nothing
from vectorsep.artwork.lengths import SHARES, UNREAD_LENGTH, Frame, axis_of, is_unread, parse_length
from vectorsep.artwork.style import Style
from vectorsep.artwork.urls import parse_reference
from vectorsep.artwork.walk import Walk
from vectorsep.model import Place

_REGION = {"x": "-10%", "y": "-10%", "width": "120%", "height": "120%"}
"""Where a mask shows anything at all, unless it says otherwise (CSS Masking 1, 8.1)."""
_LUMINANCE = (0.2125, 0.7154, 0.0721)
"""Weights of red, green and blue (CSS Masking 1, 6.10.2). White and black have the same in any colour space."""
_HIDING_ALL = Mask(Clip(()), ())


def mask_of(walk: Walk, element: Element, style: Style, context: Context) -> Mask | None:
    """The mask that a styled element asks for, in its own user space. Raises Refused for any but a plain one."""
    if asks_for_nothing(style["mask"]):
        return None
    reference = parse_reference(style["mask"])
    if reference is None or reference.fallback or style["mask-mode"] != "match-source":
        walk.report.leave_out(element, SOFT_MASK)
    target = walk.document.target(reference.target, "mask")
    if target is None:
        walk.report.leave_out(element, f"its mask asks for {reference.target[:60]!r}, which is no <mask> here")
    return _mask(walk, target, element, context)


def _mask(walk: Walk, mask: Element, user: Element, context: Context) -> Mask:
    if mask in context.chain:
        walk.report.leave_out(user, "its mask masks itself in a circle: break the circle")
    if walk.is_hidden(mask):
        walk.report.leave_out(user, f"its mask {HIDDEN}")
    own = walk.entered(mask, context.apart())
    if not all(asks_for_nothing(own.style[name]) for name in ("clip-path", "mask", *EFFECTS)):
        walk.report.leave_out(user, "its mask is clipped or masked itself: draw the outcome as one shape")
    for name in _REGION:
        if is_unread(mask.get(name)):
            walk.report.leave_out(user, f"its mask's {name} {UNREAD_LENGTH}")
    region_by_box = mask.get("maskUnits") != "userSpaceOnUse"
    content_by_box = mask.get("maskContentUnits") == "objectBoundingBox"
    boxed = _in_box_of(walk, mask, user, context, own) if region_by_box or content_by_box else own
    if boxed is None:
        return _HIDING_ALL
    region = _region(mask, boxed if region_by_box else own, SHARES if region_by_box else own.frame)
    with walk.report.apart() as offences:
        nodes = draw_group(walk, mask, own.style, boxed if content_by_box else own)
    for offence, _ in offences:
        _refuse(walk, user, offence.place, offence.reason)
    by_alpha = own.style["mask-type"] == "alpha"
    return Mask(region, tuple(_part(walk, node, user, by_alpha=by_alpha) for node in nodes))


def _in_box_of(walk: Walk, mask: Element, user: Element, context: Context, own: Context) -> Context | None:
    """The mask's context with the user's bounding box as its unit; None where there is no such box."""
    box = walk.bounds(user, context)
    if box is None or box.is_empty:
        return None
    if mask.get("maskContentUnits") == "objectBoundingBox" or any(name in mask.attrib for name in _REGION):
        walk.tell_loose(user, box, "mask")
    return own.inside(box.as_unit)


def _part(walk: Walk, node: Node, user: Element, *, by_alpha: bool) -> MaskPart:
    if isinstance(node, Group):
        _refuse(walk, user, node.place, f"has {node.opacity * 100:.3g} % opacity")
    through = node.paint.alpha if by_alpha or node.paint.alpha < OPAQUE else _luminance(node.paint.hex)
    if INVISIBLE < through < OPAQUE:
        _refuse(walk, user, node.place, f"lets {through * 100:.3g} % through")
    return MaskPart(node, through >= OPAQUE)


def _refuse(walk: Walk, user: Element, place: Place, why: str) -> NoReturn:
    walk.report.leave_out(user, f"{SOFT_MASK}; here {place} of the mask: {why}")


def _luminance(hex_: str) -> float:
    channels = (int(hex_[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return sum(weight * channel for weight, channel in zip(_LUMINANCE, channels, strict=True))


def _region(mask: Element, context: Context, frame: Frame) -> Clip:
    """The rectangle outside of which the mask hides everything; an empty one hides all."""
    sides = {}
    for name, usual in _REGION.items():
        asked = parse_length(mask.get(name, usual), frame, axis_of(name))
        sides[name] = parse_length(usual, frame, axis_of(name)) if asked is None else asked
    x, y, width, height = (side or 0.0 for side in sides.values())
    if width <= 0 or height <= 0:
        return Clip(())
    return Clip((ClipPart(rect_outline(x, y, width, height, 0.0, 0.0), context.to_page),))
