"""The bounding box of what is drawn, and whether other programs have the same one (SVG 2, 8.10)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from vectorsep.artwork.drawing import Fill
from vectorsep.artwork.viewport import Box
from vectorsep.geometry.curves import Outline, TooManyPoints, flatten, joined

LOOSE_SHARE = 1e-3
"""Boxes that differ by less, as a share of their size, make no difference in print."""
BOUNDS_SHARE = 1e-7
"""How far bounds may be off, as a share of the coordinates' size."""


def bounds_of(shapes: Sequence[Fill]) -> Box | None:
    """The box around all shapes, where their maps lay them; None where there is nothing, or more than can be told."""
    box = _box_of(joined([shape.outline.mapped(shape.to_page) for shape in shapes]))
    if box is not None and any(_reaches_past(box, shape) for shape in shapes if not shape.to_page.is_upright):
        return replace(box, is_loose=True)
    return box


def _box_of(outline: Outline) -> Box | None:
    if outline.is_empty:
        return None
    reach = float(np.abs(outline.knots).max()) or 1.0
    try:
        lines = flatten(outline, reach * BOUNDS_SHARE)
    except TooManyPoints:
        return None
    points = np.concatenate([line.points for line in lines])
    (left, top), (right, bottom) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return Box(left, top, right - left, bottom - top)


def _reaches_past(box: Box, shape: Fill) -> bool:
    """Whether a box around the shape, drawn before it was turned, reaches past the one around all."""
    own = _box_of(shape.outline)
    if own is None:
        return False
    corners = (shape.to_page @ own.as_unit).apply(np.array([[x, y] for x in (0.0, 1.0) for y in (0.0, 1.0)]))
    past = np.concatenate([box.corner - corners, corners - box.corner - box.size])
    return bool(past.max() > LOOSE_SHARE * max(box.size))
