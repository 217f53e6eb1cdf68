"""View boxes and how they are fitted into viewports (SVG 2, 8.6 and 8.7)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from vectorsep.artwork.document import Element
from vectorsep.artwork.lengths import Frame, ends_in_dot, length_or_none, parse_numbers
from vectorsep.artwork.style import Style
from vectorsep.geometry.affine import Affine

_SHARES = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle in user units."""

    x: float
    y: float
    width: float
    height: float
    is_loose: bool = False
    """Whether programs that turn boxes instead of shapes have a larger one."""

    @property
    def corner(self) -> tuple[float, float]:
        """Its top left corner."""
        return self.x, self.y

    @property
    def size(self) -> tuple[float, float]:
        """Its sides."""
        return self.width, self.height

    @property
    def as_unit(self) -> Affine:
        """From shares of its sides to the units that it is told in."""
        return Affine(a=self.width, d=self.height, e=self.x, f=self.y)

    @property
    def is_empty(self) -> bool:
        """Whether it has no area."""
        return not (self.width > 0 and self.height > 0)


def parse_view_box(text: str) -> Box | None:
    """Read a viewBox of four numbers, or None where it is unreadable or negative. Numbers that end in a dot are
    unreadable, as they are to browsers."""
    numbers = None if ends_in_dot(text) else parse_numbers(text)
    if numbers is None or len(numbers) != 4 or numbers[2] < 0 or numbers[3] < 0:
        return None
    x, y, width, height = numbers
    return Box(x, y, width, height)


@dataclass(frozen=True, slots=True)
class Fit:
    """A preserveAspectRatio: shares of the free space left of and above the content; None stretches."""

    align: tuple[float, float] | None = (0.5, 0.5)
    slice: bool = False


def parse_fit(text: str) -> Fit | None:
    """Read a preserveAspectRatio, or None where it is unreadable."""
    words = text.split()
    if not words or len(words) > 2 or (len(words) == 2 and words[1] not in ("meet", "slice")):
        return None
    crop = words[1:] == ["slice"]
    name = words[0]
    if name == "none":
        return Fit(None)
    x, y = _SHARES.get(name[1:4]), _SHARES.get(name[5:])
    if len(name) != 8 or name[0] != "x" or name[4] != "Y" or x is None or y is None:
        return None
    return Fit((x, y), crop)


def fit_of(element: Element) -> Fit:
    """An element's preserveAspectRatio; the usual one where it is left out or unreadable."""
    return parse_fit(element.get("preserveAspectRatio", "xMidYMid")) or Fit()


def fitting(view_box: Box, viewport: Box, fit: Fit) -> Affine:
    """The map from view box to viewport. Both must have an area."""
    sx, sy = viewport.width / view_box.width, viewport.height / view_box.height
    x, y = viewport.x, viewport.y
    if fit.align is not None and sx != sy:
        sx = sy = max(sx, sy) if fit.slice else min(sx, sy)
        x += fit.align[0] * (viewport.width - view_box.width * sx)
        y += fit.align[1] * (viewport.height - view_box.height * sy)
    return Affine(a=sx, d=sy, e=x - view_box.x * sx, f=y - view_box.y * sy)


@dataclass(frozen=True, slots=True)
class Viewport:
    """Content fitted into a box."""

    rim: Box
    """The box, in the units around it."""
    fit: Affine
    """From the content's own units to those."""
    content: Box
    """The box of the content in its own units: its percentages refer to that."""


def viewport_of(element: Element, box: Box) -> Viewport | None:
    """How an element's content lies in a box; None where it or the view box is empty, and shows nothing."""
    view_box = parse_view_box(element.get("viewBox", "none"))
    if box.is_empty or (view_box is not None and view_box.is_empty):
        return None
    if view_box is None:
        return Viewport(box, Affine.translation(box.x, box.y), replace(box, x=0.0, y=0.0))
    return Viewport(box, fitting(view_box, box, fit_of(element)), view_box)


def corner_of(style: Style, frame: Frame) -> tuple[float, float]:
    """The place that x and y of a style ask for, in user units."""
    return length_or_none(style["x"], frame, "x") or 0.0, length_or_none(style["y"], frame, "y") or 0.0


def viewport_box(style: Style, frame: Frame) -> Box:
    """The viewport that x, y, width and height ask for, the whole one around it where they are left out."""
    width, height = length_or_none(style["width"], frame, "x"), length_or_none(style["height"], frame, "y")
    return Box(
        *corner_of(style, frame), frame.width if width is None else width, frame.height if height is None else height
    )
