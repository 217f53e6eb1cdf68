"""Filters that only add something behind a shape: shadows and glows (Filter Effects 1). The shape itself is seen whole
and unchanged, so that it can be printed without them."""

from __future__ import annotations

import re

from vectorsep.artwork.document import Document, Element, href_of, local_name
from vectorsep.artwork.urls import parse_reference

SOURCE = "SourceGraphic"
_SHADOWS = re.compile(r"(?:\s*+drop-shadow\((?:[^()]|\([^()]*+\))*+\))++\s*+", re.IGNORECASE)
"""One drop-shadow() after the other, colours such as rgb() within (Filter Effects 1, 5)."""
_SIDES = ("x", "y", "width", "height")
_NUMBER = re.compile(r"\s*+([+-]?(?:\d++\.?\d*+|\.\d++))(%?)\s*+")


def adds_behind(value: str, document: Document) -> bool:
    """Whether the value of the property `filter` leaves the shape as it is, above all that it adds."""
    if _SHADOWS.fullmatch(value):
        return True
    reference = parse_reference(value)
    target = document.target(reference.target, "filter") if reference and not reference.fallback else None
    return target is not None and href_of(target) is None and _holds_shape(target) and _ends_in_shape(target)


def _holds_shape(target: Element) -> bool:
    """Whether a filter's region cuts nothing off: the usual one, a larger share of the shape's box, or one in user
    units, which programs write around the shape."""
    if target.get("filterUnits") == "userSpaceOnUse":
        return True
    sides = [_share(target.get(name), usual) for name, usual in zip(_SIDES, (-0.1, -0.1, 1.2, 1.2), strict=True)]
    if None in sides:
        return False
    left, top, width, height = (side or 0.0 for side in sides)
    return left <= 0 and top <= 0 and left + width >= 1 and top + height >= 1


def _share(text: str | None, usual: float) -> float | None:
    if text is None:
        return usual
    match = _NUMBER.fullmatch(text)
    return None if match is None else float(match[1]) / (100 if match[2] else 1)


def _ends_in_shape(target: Element) -> bool:
    """Whether the last step paints the shape over all else."""
    steps = [child for child in target if (local_name(child) or "").startswith("fe")]
    last = steps[-1] if steps else None
    if last is None or any(name in last.attrib for name in _SIDES):
        return False
    name, source = local_name(last), last.get("in", SOURCE if len(steps) == 1 else None)
    if name == "feMerge":
        merged = [child.get("in") for child in last if local_name(child) == "feMergeNode"]
        return bool(merged) and merged[-1] == SOURCE
    over = {
        "feDropShadow": True,
        "feBlend": last.get("mode", "normal") == "normal",
        "feComposite": last.get("operator", "over") == "over",
    }
    return over.get(name or "", False) and source == SOURCE
