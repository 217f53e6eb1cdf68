"""What a printer asks of a page before making plates of it: is that block of ink meant, and does it fit a platen."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from vectorsep.colour import GARMENT_DIFFERENCE, difference_of
from vectorsep.geometry.boolean import intersection
from vectorsep.geometry.measure import outline_mm2
from vectorsep.geometry.region import covers_point, gather, inner_point, rectangle
from vectorsep.model import Artwork, Bounds, InkArea, Notice, PaintedShape, Region
from vectorsep.press_settings import PLATEN_HEIGHT_MM, PLATEN_WIDTH_MM
from vectorsep.settings import Settings
from vectorsep.units import counted, format_mm2, format_share

BACKDROP_SIDES = 0.95
"""Share of each of the page's sides: programs that write a backdrop leave no margin, people who draw one little."""
BACKDROP_SHARE = 0.5
"""Share of its own box that a backdrop covers at least: less is a frame, or a board that much is cut out of."""
SQUARE_SHARE = 0.999
"""Share of its box that a rectangle's outline covers, but for rounding; a badge with round corners covers less."""
CORNER_MM = 0.25
"""A rectangle has ink so far in from its corners on both sides: rounded by 0.9 mm or more they are seen, and meant."""
BARE_SHARE = 0.02
"""Share of a backdrop's box on which nothing is drawn, at most: hairlines that tracing leaves. More was cut through to
the cloth on purpose, as letters of a board are."""
NO_SHARE = 0.001
"""Less bare cloth than this share is none to speak of."""
NO_WIDTH = "no width makes it fit: mend press.platen_width and press.platen_height, or blocker.spread"
"""What is told where the rim leaves the art no room."""


def page_notices(
    artwork: Artwork, drawn: Mapping[str, Region], inks: Sequence[InkArea], settings: Settings
) -> Iterator[Notice]:
    """Questions about the page: all of it under one colour, or larger than a platen holds. A warning each.

    `drawn` is what was visible of each colour of the art, before inks were merged or left to the cloth (mm).
    """
    yield from _backdrop(artwork, drawn, inks, settings.garment_hex)
    yield from _beyond_platen(artwork, inks, settings)


def _backdrop(
    artwork: Artwork, drawn: Mapping[str, Region], inks: Sequence[InkArea], garment_hex: str
) -> Iterator[Notice]:
    shapes = [shape for shape in artwork.shapes if shape.hex in drawn and _fills_page(shape, artwork)]
    boxes = {shape.area.bounds for shape in shapes}  # one, as a rule, of however many: a layer may bring its own
    drawn_mm2 = {box: _covered_mm2(box, drawn.values()) for box in boxes}
    behind_all = [shape for shape in shapes if drawn_mm2[shape.area.bounds] >= (1 - BARE_SHARE) * _box_mm2(shape)]
    printed = [(shape, ink) for shape in behind_all if (ink := _printing(drawn[shape.hex], inks))]
    if not printed or len(inks) < 2:  # a page of one ink holds nothing that it could lie behind
        return
    shape, ink = printed[-1]  # what lies below is seen only where this one leaves off
    below = f", over {counted(len(printed) - 1, 'more', 'more')} like it," if printed[1:] else ""
    cloth = difference_of(shape.hex, garment_hex) <= GARMENT_DIFFERENCE
    block_mm2 = _covered_mm2(shape.area.bounds, [ink.area for ink in inks])
    bare = 1 - block_mm2 / _box_mm2(shape)
    shows = f"cloth shows on {format_share(bare, 1)} of it alone" if bare > NO_SHARE else "no cloth shows"
    remedy = "or set garment.knock_out (--knock-out), for it has the garment's colour" if cloth else "and run again"
    message = (
        f"{shape.place}{below} fills the page from side to side with {ink.name} {shape.hex}: the blocker becomes one "
        f"block of {format_mm2(block_mm2)} with {format_mm2(ink.area.area)} of {ink.name} on it, and {shows}. "
        f"If the design is not meant as a block, delete that backdrop in the art, {remedy}"
    )
    yield Notice("backdrop", message, "warning", ink.name)


def _fills_page(shape: PaintedShape, artwork: Artwork) -> bool:
    left, top, right, bottom = shape.area.bounds
    if right - left < BACKDROP_SIDES * artwork.width_mm or bottom - top < BACKDROP_SIDES * artwork.height_mm:
        return False
    box_mm2 = _box_mm2(shape)
    if shape.area.area < BACKDROP_SHARE * box_mm2 or outline_mm2(shape.area) < SQUARE_SHARE * box_mm2:
        return False
    corners = [(x, y) for x in (left + CORNER_MM, right - CORNER_MM) for y in (top + CORNER_MM, bottom - CORNER_MM)]
    return all(covers_point(shape.area, corner) for corner in corners)


def _box_mm2(shape: PaintedShape) -> float:
    left, top, right, bottom = shape.area.bounds
    return (right - left) * (bottom - top)


def _covered_mm2(bounds: Bounds, areas: Iterable[Region]) -> float:
    """How much of a box areas cover that lie beside each other (mm2)."""
    box = rectangle(*bounds)
    return sum(intersection(area, box).area for area in areas)


def _printing(visible: Region, inks: Sequence[InkArea]) -> InkArea | None:
    """The ink that a colour became, by where it is; None where it is left to the cloth."""
    place = inner_point(visible)
    return next((ink for ink in inks if place and covers_point(ink.area, place)), None)


def _beyond_platen(artwork: Artwork, inks: Sequence[InkArea], settings: Settings) -> Iterator[Notice]:
    """The blocker's rim prints as well, and no wider where the page is. Where the blocker prints the design's black it
    has none, so what is told is the most."""
    press, rim_mm = settings.press, 2 * settings.spread_mm
    left, top, right, bottom = gather(ink.area for ink in inks).bounds
    art_mm, platen_mm = (right - left, bottom - top), (press.platen_width_mm, press.platen_height_mm)
    fitting = min((holds - rim_mm) / side for side, holds in zip(art_mm, platen_mm, strict=True))
    if fitting < 1:
        usual = platen_mm == (PLATEN_WIDTH_MM, PLATEN_HEIGHT_MM)
        larger = ", or say in press.platen_width and press.platen_height what the shop has" if usual else ""
        width_mm = math.floor(fitting * artwork.width_mm)
        remedy = f"--width {width_mm}mm (art.width) would make it fit{larger}" if width_mm > 0 else NO_WIDTH
        message = (
            f"the art and the blocker's rim print {_across((art_mm[0] + rim_mm, art_mm[1] + rim_mm))} at most, and the "
            f"largest {'usual ' if usual else ''}platen holds {_across(platen_mm)}: {remedy}"
        )
        yield Notice("beyond-platen", message, "warning")


def _across(size_mm: tuple[float, float]) -> str:
    return f"{size_mm[0]:.1f} × {size_mm[1]:.1f} mm"
