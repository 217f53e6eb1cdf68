"""Strokes that browsers draw otherwise than SVG 2, 13.5, has them, or one otherwise than the others."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from vectorsep.geometry.bends import Pen
from vectorsep.geometry.curves import Outline, Points

OPEN_RING = "an open line that ends where it begins, which Firefox closes: close it"
"""Told of films alone: drawings have hundreds, and the standard is plain."""

NO_LENGTH = 1e-3
"""Of a pen's width: dashes this short are dots to browsers."""


def stroke_doubts(outline: Outline, pen: Pen, *, as_film: bool) -> Iterator[str]:
    """What programs draw unalike of a line widened by a pen, each with its remedy. Lengths in user units."""
    if pen.cap == "square" and pen.dashes and min(pen.dashes[::2]) < pen.width * NO_LENGTH:
        yield "square dashes without length, which browsers lay upright: draw the squares"
    ends = [*outline.starts[1:], len(outline.knots)]
    curved_before = np.concatenate([[0], np.cumsum(outline.curved)])
    for start, end, is_closed in zip(outline.starts, ends, outline.closed, strict=True):
        knots = outline.knots[start:end]
        handles = outline.handles[curved_before[start] : curved_before[end]].reshape(-1, 2)
        points = np.concatenate([knots, handles])
        narrowest, widest = np.sort(np.ptp(points, axis=0))
        if widest == 0:
            if pen.dashes and pen.cap != "butt":
                yield "a dashed line without length, of which some make a dot: draw the dot"
        elif len(handles) and pen.width > narrowest and (is_closed or _is_ring(knots)):
            yield "a pen wider than the ring that it draws, whose middle browsers may leave open: fill the shape"
        elif as_film and not is_closed and pen.cap != "round" and _is_ring(knots):
            yield OPEN_RING


def _is_ring(knots: Points) -> bool:
    return len(knots) > 2 and bool((knots[0] == knots[-1]).all())
