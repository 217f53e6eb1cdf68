"""The page: how large the drawing prints, and the map from its user units to millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from vectorsep.artwork.document import Element
from vectorsep.artwork.inheritance import computed
from vectorsep.artwork.lengths import PX_MM, Frame, dimension_of, is_spaced, parse_length
from vectorsep.artwork.properties import BOX
from vectorsep.artwork.style import ROOT_STYLE, Style
from vectorsep.artwork.viewport import Box, fit_of, fitting, parse_view_box
from vectorsep.errors import ArtworkError
from vectorsep.geometry.affine import Affine
from vectorsep.model import Notice
from vectorsep.settings import MAX_PRINT_MM, ReadOptions
from vectorsep.units import MM_PER_UNIT, format_mm

_PHYSICAL = frozenset(MM_PER_UNIT) - {"px"}
"""Units that paper knows."""
_NO_BOX = frozenset({"0", "0px", "0%", "auto", "none"})
"""What all properties of boxes are made of that shows nothing; centring (`auto`) is the page's around."""
_NO_FRAME = Frame(0.0, 0.0)

ROUNDED = 1e-6
"""Units that differ by this share are the same."""
SAME_SHAPE = 0.005
"""Width and height asked for may miss the page's shape by this share: both rounded to a millimetre on a small print."""


@dataclass(frozen=True, slots=True)
class Page:
    """The root viewport: its size in print, the map to millimetres, and the frame for lengths in it."""

    width_mm: float
    height_mm: float
    to_page: Affine
    from_screen: Affine
    """From CSS pixels of the drawing as exported to millimetres; strokes that do not scale are widened there."""
    frame: Frame
    notices: tuple[Notice, ...]

    @property
    def is_in_pixels(self) -> bool:
        """Whether the drawing's units are CSS pixels from the page's corner, as a browser counts them around it."""
        corners = self.from_screen.inverse().apply(self.to_page.apply(np.array([[0.0, 0.0], [1.0, 1.0]])))
        return bool(np.abs(corners - [[0.0, 0.0], [1.0, 1.0]]).max() < ROUNDED)


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the page as the file gives it, in mm; `physical` when it names a unit that paper knows."""

    mm: float
    physical: bool


def lay_out_page(root: Element, declared: Mapping[str, str], options: ReadOptions) -> Page:
    """Find the print size and the map to it, given what the cascade declares on the outermost element.

    Raises ArtworkError where the drawing has no size, no area, or one beyond any platen.
    """
    view_box = _view_box(root)
    style, fonts = computed(declared, ROOT_STYLE, _NO_FRAME)
    width, height = _sides(root, view_box, fonts.of_root())
    if view_box is None:
        view_box = Box(0.0, 0.0, width.mm / PX_MM, height.mm / PX_MM)
    notices = (*_size_notices(width, height, _restyled(root, style), options), *_box_notices(style))
    width_mm, height_mm = _print_size(width.mm, height.mm, options)
    for side_mm in (width_mm, height_mm):
        if not 0 < side_mm <= MAX_PRINT_MM:
            raise ArtworkError(
                f"the page would print {width_mm:g} mm × {height_mm:g} mm: give a size up to {format_mm(MAX_PRINT_MM)}",
                in_job=" with --width or --height",
            )
    fit = fit_of(root)
    to_page = fitting(view_box, Box(0.0, 0.0, width_mm, height_mm), fit)
    if not (to_page.is_finite and not to_page.is_singular):
        raise ArtworkError("the viewBox is too large or too small to print: export the artwork again")
    from_screen = Affine.scaling(width_mm / width.mm * PX_MM, height_mm / height.mm * PX_MM)
    return Page(width_mm, height_mm, to_page, from_screen, Frame(view_box.width, view_box.height), notices)


def _view_box(root: Element) -> Box | None:
    text = root.get("viewBox")
    if text is None:
        return None
    box = parse_view_box(text)
    if box is None:
        raise ArtworkError(f"the viewBox {text[:60]!r} is unreadable: it needs four numbers, sizes not negative")
    if box.is_empty:
        raise ArtworkError("the viewBox has no area, so nothing is drawn: export the artwork again")
    return box


def _sides(root: Element, view_box: Box | None, fonts: Frame) -> tuple[_Side, _Side]:
    width, height = _side(root, "width", fonts), _side(root, "height", fonts)
    if width is not None and height is not None:
        return width, height
    if view_box is None:
        raise ArtworkError("the artwork has no size: give its <svg> a viewBox, or width and height")
    ratio = view_box.width / view_box.height
    if width is None and height is None:
        return _Side(view_box.width * PX_MM, False), _Side(view_box.height * PX_MM, False)
    if width is None:
        assert height is not None
        return _Side(height.mm * ratio, height.physical), height
    return width, _Side(width.mm / ratio, width.physical)


def _side(root: Element, name: str, fonts: Frame) -> _Side | None:
    """The side's length, or None where it is left out or relative to something a file does not have."""
    text = root.get(name, "auto").strip()
    if text in ("auto", "") or text.endswith("%"):
        return None
    if is_spaced(text):
        raise ArtworkError(
            f"the page's {name} {text[:40]!r} has a space before its unit, so browsers pass it over, and the print "
            f"would be of another size than what they show: write {''.join(text.split())[:40]!r}"
        )
    number, unit = dimension_of(text) or (0.0, "")
    if unit in _PHYSICAL:
        return _Side(number * MM_PER_UNIT[unit], True)
    length = parse_length(text, fonts, "x")
    if length is None or not math.isfinite(length):
        raise ArtworkError(f"the page's {name} {text[:40]!r} is unreadable: write it in mm")
    return _Side(length * PX_MM, False)


def _box_notices(style: Style) -> Iterator[Notice]:
    """At most one, where a style frames the page or sets it off from others, as browsers do and plates do not."""
    told = [name for name in BOX if not _NO_BOX.issuperset(style[name].lower().split())]
    if told:
        what = " and ".join(name.removesuffix("-style") for name in told)
        yield Notice("page-box", f"the outermost element has a {what}, as in a web page: it is not printed", "warning")


def _print_size(width_mm: float, height_mm: float, options: ReadOptions) -> tuple[float, float]:
    if not (width_mm > 0 and height_mm > 0):
        raise ArtworkError("the page has no area, so nothing is drawn: give its <svg> a width and height")
    ratio = width_mm / height_mm
    if options.width_mm is not None and options.height_mm is not None:
        asked = options.width_mm / options.height_mm
        if abs(asked / ratio - 1) > SAME_SHAPE:
            raise ArtworkError(
                f"the page is {ratio:.4g} times as wide as high, and {options.width_mm:g} mm x "
                f"{options.height_mm:g} mm is not: give --width or --height alone, the other follows"
            )
        return options.width_mm, options.height_mm
    if options.width_mm is not None:
        return options.width_mm, options.width_mm / ratio
    if options.height_mm is not None:
        return options.height_mm * ratio, options.height_mm
    return width_mm, height_mm


def _restyled(root: Element, style: Style) -> str | None:
    """The side that a style gives another length than its attribute, if any: browsers obey it where they show the
    drawing by itself, and not where it is a picture in a page."""
    for name in ("width", "height"):
        length, own = parse_length(style[name], _NO_FRAME, "x"), parse_length(root.get(name, ""), _NO_FRAME, "x")
        if length and length != own:
            return f"its {name} {style[name][:40]!r} in a style, which not all programs read"
    return None


def _size_notices(width: _Side, height: _Side, restyled: str | None, options: ReadOptions) -> tuple[Notice, ...]:
    confirmed = options.width_mm is not None or options.height_mm is not None
    if confirmed or (width.physical and height.physical and restyled is None):
        return ()
    size = f"{format_mm(width.mm)} × {format_mm(height.mm)}"
    given = f"its size in pixels: {size} at 96 pixels an inch" if restyled is None else f"{restyled}: it prints {size}"
    message = f"the artwork gives {given}. Confirm the print size with --width or --height"
    return (Notice("size-unconfirmed", message, "warning"),)
