"""Partial opacity over known art, turned into exact areas of mixed flat colours (CSS Compositing 1, 5.1: source over).

Shapes here have replacing semantics: where several cover a place, the last one alone shows, with its own opacity.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import compress

from vectorsep.errors import ArtworkError, Offence
from vectorsep.geometry.boolean import difference, intersection
from vectorsep.geometry.curves import FLATNESS_MM
from vectorsep.geometry.region import EMPTY, touch_each
from vectorsep.geometry.slivers import without_slivers
from vectorsep.geometry.visible import visible_parts
from vectorsep.model import Notice, PaintedShape, Region

SLIVER_MM = 2 * FLATNESS_MM
"""Strips narrower than two edges may be off are no bare cloth, but the rounding of curves."""
BARE_CLOTH = (
    "partial opacity over bare cloth is a tint, which needs a halftone: use full opacity, put art below it, or say in "
    "the job what colour it is mixed with (art.tints_on)"
)


@dataclass(frozen=True, slots=True)
class Flattened:
    """Opaque shapes only, and what was mixed or left out on the way."""

    shapes: tuple[PaintedShape, ...]
    notices: tuple[Notice, ...]


def flatten_opacity(shapes: Sequence[PaintedShape], on_hex: str | None = None, *, skip: bool) -> Flattened:
    """Make every shape opaque, given them in painter's order.

    Over bare cloth they are mixed with the colour `on_hex`; without one, raises ArtworkError where one lies there, or
    leaves those out with a notice each.
    """
    done: list[PaintedShape] = []
    mixed: dict[str, None] = {}
    offences: dict[Offence, None] = {}
    for shape in shapes:
        pieces, bare = _over(shape, done)
        if on_hex is not None and not bare.is_empty:
            pieces, bare = [*pieces, _mixed(shape, PaintedShape(bare, on_hex, shape.place), bare)], EMPTY
        if without_slivers(bare, SLIVER_MM).is_empty:
            done += pieces
            mixed |= dict.fromkeys(piece.hex for piece in pieces if shape.opacity < 1)
        else:
            offences[Offence(shape.place, BARE_CLOTH)] = None
    if offences and not skip:
        raise ArtworkError("the artwork holds tints that flat ink cannot print:", tuple(offences))
    notices = [Notice("left-out", f"left out: {offence}", "warning") for offence in offences]
    if mixed:
        below = "the art below" if on_hex is None else f"the art below, and over bare cloth with {on_hex},"
        message = f"partial opacity was mixed with {below} into flat colours of their own: {', '.join(mixed)}"
        notices.append(Notice("opacity-flattened", message, "warning"))
    return Flattened(tuple(done), tuple(notices))


def flatten_group(shapes: Sequence[PaintedShape], opacity: float) -> list[PaintedShape]:
    """A group painted on its own, then let through by its opacity: disjoint shapes."""
    done: list[PaintedShape] = []
    for shape in shapes:
        pieces, bare = _over(shape, done)
        done += pieces
        if not bare.is_empty and shape.opacity < 1:
            done.append(replace(shape, area=bare))
    parts = visible_parts([shape.area for shape in done])
    return [
        replace(shape, area=part, opacity=shape.opacity * opacity)
        for shape, part in zip(done, parts, strict=True)
        if not part.is_empty
    ]


def _over(shape: PaintedShape, below: Sequence[PaintedShape]) -> tuple[list[PaintedShape], Region]:
    """The shape mixed with what shows below it, and the part of it that has nothing below.

    An opaque shape stays whole and bares nothing.
    """
    bare = shape.area
    if shape.opacity >= 1:
        return [shape], EMPTY
    pieces = []
    near = touch_each([lower.area for lower in below], bare)  # of thousands of tints most lie elsewhere
    for lower in reversed(list(compress(below, near))):
        if bare.is_empty:
            break
        common = intersection(bare, lower.area)
        if not common.is_empty:
            pieces.append(_mixed(shape, lower, common))
            bare = difference(bare, lower.area)
    return pieces, bare


def _mixed(upper: PaintedShape, lower: PaintedShape, area: Region) -> PaintedShape:
    """Source-over: alpha = a + b (1 - a), colour weighted by each one's share of it."""
    alpha = upper.opacity + lower.opacity * (1 - upper.opacity)
    share = upper.opacity / alpha
    channels = (
        round(int(upper.hex[i : i + 2], 16) * share + int(lower.hex[i : i + 2], 16) * (1 - share)) for i in (1, 3, 5)
    )
    return PaintedShape(area, "#" + "".join(f"{channel:02x}" for channel in channels), upper.place, alpha)
