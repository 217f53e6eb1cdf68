"""Strokes that browsers draw otherwise than SVG 2, 13.5, has them, or one otherwise than the others."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from vectorsep.geometry.arrays import Flags
from vectorsep.geometry.bends import Pen
from vectorsep.geometry.curves import Outline, Points

OPEN_RING = "an open line of straight pieces that ends where it begins, which Firefox closes: close it"
"""Told of films alone: drawings have hundreds, and the standard is plain."""

NO_LENGTH = 1e-3
"""Of a pen's width: dashes this short are dots to browsers."""


def stroke_doubts(outline: Outline, pen: Pen, *, as_film: bool) -> Iterator[str]:
    """What programs draw unalike of a line widened by a pen, each with its remedy. Lengths in user units."""
    if pen.join == "miter-clip":
        yield "joins by miter-clip or arcs, which browsers pass over: use miter, round or bevel"
    if pen.cap == "square" and pen.dashes and min(pen.dashes[::2]) < pen.width * NO_LENGTH:
        yield "square dashes without length, which browsers lay upright: draw the squares"
    curves_before = np.append(0, np.cumsum(outline.curved))
    ends = [*outline.starts[1:], len(outline.knots)]
    for start, end, is_closed in zip(outline.starts, ends, outline.closed, strict=True):
        knots, handles = outline.knots[start:end], outline.handles[curves_before[start] : curves_before[end]]
        if (np.concatenate([knots, *handles]) == knots[0]).all():
            if pen.dashes and pen.cap != "butt":
                yield "a dashed line without length, of which some make a dot: draw the dot"
        elif not is_closed and not _is_ring(knots):
            continue
        elif len(handles):
            if pen.width > _extent(knots, handles, outline.curved[start:end]):
                yield "a pen wider than the ring that it draws, whose middle browsers may leave open: fill the shape"
        elif as_film and not is_closed and pen.cap != "round":
            yield OPEN_RING


def _is_ring(knots: Points) -> bool:
    return len(knots) > 2 and bool((knots[0] == knots[-1]).all())


def _extent(knots: Points, handles: Points, curved: Flags) -> float:
    """How wide or high a line is, whichever is more, by its knots and the middles of its curves: at the most as much as
    it is. Of 123 rings browsers left the middle open of none that was wider or higher than the pen."""
    ends = np.flatnonzero(curved)
    middles = (knots[ends - 1] + 3 * handles.sum(axis=1) + knots[ends]) / 8
    return float(np.ptp(np.concatenate([knots, middles]), axis=0).max())
