"""Gradients that are flat: of one colour, or of nothing but hard steps, each of which is an area (SVG 2, chapter 14).

Steps are painted one over the other, as a page is: the farthest on the whole shape, each nearer one cut where it
ends. So neighbours share their edge to the last bit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

import numpy as np

from vectorsep.artwork.basic_shapes import ellipse_outline, rect_outline
from vectorsep.artwork.css_colours import OPAQUE, Solid, parse_colour
from vectorsep.artwork.document import Document, Element, children, local_name
from vectorsep.artwork.drawing import Clip, ClipPart
from vectorsep.artwork.gate import HIDDEN
from vectorsep.artwork.lengths import SHARES, Frame, axis_of, parse_length, parse_share
from vectorsep.artwork.page import Page
from vectorsep.artwork.style import Style
from vectorsep.artwork.transforms import TransformError, parse_transform
from vectorsep.artwork.viewport import Box
from vectorsep.geometry.affine import Affine

GRADIENTS = frozenset({"linearGradient", "radialGradient"})
MAX_STEPS = 50
"""More steps than this are drawn to look like a blend."""
AREAS = "draw each step as an area of its own"

Standing: TypeAlias = Callable[[Element], tuple[Style, Frame]]
"""Tells the style and the frame of lengths of an element where it stands."""


@dataclass(frozen=True, slots=True)
class Step:
    """One flat area of a gradient: where it starts, as an offset, and its paint."""

    start: float
    paint: Solid


@dataclass(frozen=True, slots=True)
class Band:
    """The paint of an area, and what cuts it; nothing where it covers all."""

    paint: Solid
    clips: tuple[Clip, ...] = ()


class Gradient:
    """What a gradient says, or those that it takes after (SVG 2, 14.2: `href`)."""

    def __init__(self, document: Document, element: Element, standing: Standing) -> None:
        self.element = element
        self._chain = [one for one in document.templates_of(element) if local_name(one) in GRADIENTS]
        self.is_linear = local_name(element) == "linearGradient"
        style, self._frame = standing(element)
        self._is_hidden = style["display"] == "none"
        self._is_moved_by_style = style["transform"] != "none"
        holder = next((one for one in self._chain if any(name == "stop" for name, _ in children(one))), element)
        stops = [child for name, child in children(holder) if name == "stop"]
        self._stops = [_stop(child, standing) for child in stops]
        styles = (style, *(standing(child)[0] for child in stops))
        self._unread = next((one.unread for one in styles if one.unread is not None), None)
        self.is_bare = not self._stops and len(document.templates_of(element)) == 1

    @property
    def steps(self) -> list[Step] | None:
        """Its flat areas, in order; None for one that blends, or with a colour that cannot be read."""
        steps: list[Step] = []
        reached = 0.0
        for offset, paint in self._stops:
            if paint is None:
                return None
            if steps and paint != steps[-1].paint and offset > reached:
                return None
            reached = max(reached, offset)
            if steps and steps[-1].start == reached:
                steps.pop()  # of no width
            if not steps or paint != steps[-1].paint:
                steps.append(Step(reached if steps else -math.inf, paint))
        return steps or None

    @property
    def goes_by_box(self) -> bool:
        """Whether its units are shares of the box of what it paints."""
        return self._attribute("gradientUnits") != "userSpaceOnUse"

    def doubt(self) -> str:
        """Why programs differ on what it paints, or nothing."""
        if self._is_hidden:
            return HIDDEN
        if self._unread is not None:
            return f"holds what cannot be read, {self._unread}"
        own = self._own_map()
        if own is None or own.is_singular or not own.is_finite:
            return f"has a transform that cannot be undone or read: {AREAS}"
        if self.is_linear:
            return "" if all(map(math.isfinite, self._line())) else f"has an end that cannot be read: {AREAS}"
        (cx, cy, r), (fx, fy, fr) = self._circles()
        if r == 0 or (r > 0 and fr >= 0 and math.hypot(fx - cx, fy - cy) + fr < r):
            return ""
        return f"does not start within its own circle, where programs differ: {AREAS}"

    def cut(self, steps: Sequence[Step], to_page: Affine, box: Box | None, page: Page) -> list[Band]:
        """Its areas on the page, the lowest first. Raises ValueError with the reason where they cannot be told."""
        if self._attribute("spreadMethod") in ("reflect", "repeat"):
            raise ValueError(f"repeats its steps: {AREAS}")
        if self._is_moved_by_style:
            raise ValueError("is moved by its style, which is not read: use gradientTransform")
        if any(step.paint.alpha < OPAQUE for step in steps):
            raise ValueError(f"lets cloth through in part: {AREAS}")
        if len(steps) > MAX_STEPS:
            raise ValueError(f"has more than {MAX_STEPS} steps: {AREAS}")
        own = self._own_map()
        if own is None or (self.goes_by_box and (box is None or box.is_empty)):
            raise ValueError(f"goes by a box of no area: {AREAS}")
        own = own if box is None or not self.goes_by_box else box.as_unit @ own
        return (self._stripes if self.is_linear else self._rings)(steps, to_page @ own, page)

    def _stripes(self, steps: Sequence[Step], to_page: Affine, page: Page) -> list[Band]:
        x1, y1, x2, y2 = self._line()
        dx, dy = x2 - x1, y2 - y1
        along = to_page @ Affine(dx, dy, -dy, dx, x1, y1)  # from offsets, and shares of the way to the side
        if along.is_singular:
            return [Band(steps[-1].paint)]
        corners = along.inverse().apply(np.array([[x, y] for x in (0.0, page.width_mm) for y in (0.0, page.height_mm)]))
        (_, left), (end, right) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        bands = [Band(steps[0].paint)]
        for step in steps[1:]:
            rest = rect_outline(step.start, left - 1, max(end - step.start, 0) + 1, right - left + 2, 0.0, 0.0)
            bands.append(Band(step.paint, (Clip((ClipPart(rest, along),)),)))
        return bands

    def _rings(self, steps: Sequence[Step], to_page: Affine, _: Page) -> list[Band]:
        (cx, cy, r), (fx, fy, fr) = self._circles()
        bands = [Band(steps[-1].paint)]
        for step, farther in reversed(list(pairwise(steps))):
            share, radius = farther.start, fr + farther.start * (r - fr)
            disc = ellipse_outline(fx + share * (cx - fx), fy + share * (cy - fy), radius, radius)
            if r > 0:
                bands.append(Band(step.paint, (Clip((ClipPart(disc, to_page),)),)))
        return bands

    def _line(self) -> list[float]:
        return [self._length(name, usual) for name, usual in _LINE.items()]

    def _circles(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """The circle where it ends and the one where it starts."""
        cx, cy, r = (self._length(name, "50%") for name in ("cx", "cy", "r"))
        fx, fy = self._length("fx", f"{cx!r}"), self._length("fy", f"{cy!r}")
        return (cx, cy, r), (fx, fy, self._length("fr", "0"))

    def _length(self, name: str, usual: str) -> float:
        frame = SHARES if self.goes_by_box else self._frame
        length = parse_length(self._attribute(name) or usual, frame, axis_of(name))
        return math.nan if length is None else length

    def _attribute(self, name: str) -> str:
        alike = self._chain if name.startswith(("gradient", "spread")) else self._of_its_kind()
        return next((value for one in alike if (value := one.get(name)) is not None), "")

    def _of_its_kind(self) -> list[Element]:
        return [one for one in self._chain if local_name(one) == local_name(self.element)]

    def _own_map(self) -> Affine | None:
        try:
            return parse_transform(self._attribute("gradientTransform"))
        except TransformError:
            return None


_LINE = {"x1": "0%", "y1": "0%", "x2": "100%", "y2": "0%"}
"""Where a linear gradient starts and ends unless it says otherwise (SVG 2, 14.2.2)."""


def _stop(stop: Element, standing: Standing) -> tuple[float, Solid | None]:
    """The offset of a stop, and its paint, or None where that cannot be read."""
    style, _ = standing(stop)
    word = style["stop-color"]
    solid = parse_colour(style["color"] if word.lower() == "currentcolor" else word)
    paint = None if solid is None else Solid(solid.hex, solid.alpha * style.share("stop-opacity"))
    return parse_share(stop.get("offset", "0")) or 0.0, paint
