"""From the resolved drawing to painted shapes: fills and strokes become regions in millimetres, clips are applied."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, islice
from typing import TypeAlias

import numpy as np

from vectorsep.artwork.css_colours import Solid
from vectorsep.artwork.drawing import Clip, ClipPart, Fill, Group, Mask, Node, Stroke
from vectorsep.artwork.opacity import flatten_group
from vectorsep.artwork.report import told_in_sum
from vectorsep.errors import ArtworkError, Offence
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.bends import Pen, largest_turn
from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.curves import FLATNESS_MM, Outline, Points, SameOutline, TooManyPoints, flatten, joined
from vectorsep.geometry.dashes import TooManyDashes
from vectorsep.geometry.fill import EngineFailure, Unfillable, filled_each
from vectorsep.geometry.region import EMPTY, inner_point, rectangle, repaired
from vectorsep.geometry.strokes import stroked
from vectorsep.geometry.traces import trace
from vectorsep.model import Notice, PaintedShape, Place, Region
from vectorsep.remember import remembered_for
from vectorsep.units import counted, format_mm2

MAX_PAGE_COORDINATE_MM = 1e7
"""Points farther out than 10 km lose the precision that the page needs; no drawing has them on purpose."""
PAGE_EDGE_MM = 0.02
"""Art that reaches past the page by less is meant to end there: drawing programs round to a hundredth of a pixel."""
WHOLE_PAGE = 1 - 1e-6
"""Share of the page that is all of it, but for rounding."""
REGISTER_MARKS = 64
"""Strokes that are remembered: films of one job carry the same marks and rule, and are read one after the other."""


_Drawn: TypeAlias = tuple[Place, Outline, Affine]
"""What tells one drawn shape from another; its fill and its stroke have all of it in common."""


@dataclass(frozen=True, slots=True, eq=False)
class _Cut:
    """What the page's edge takes of a fill or a stroke, and how far past it that reaches."""

    lost: Region
    past_mm: float


class RegionMaker:
    """Computes regions on one page; fills are flattened together, clips are computed once."""

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self._page = rectangle(0.0, 0.0, width_mm, height_mm)
        self._bounds = self._page.bounds
        self._open: dict[Clip | Mask, Region] = {}
        self._off_page: dict[_Drawn, None] = {}
        self._cut_at_page: dict[_Drawn, list[_Cut]] = defaultdict(list)

    def painted(self, nodes: Sequence[Node]) -> Iterator[PaintedShape]:
        """Painted shapes in painter's order, cut at the page. Raises ArtworkError for shapes beyond all measure."""
        fills = [node for node in nodes if isinstance(node, Fill)]
        inside = iter(_fill_areas(fills))
        for node in nodes:
            if isinstance(node, Group):
                yield from flatten_group(list(self.painted(node.nodes)), node.opacity)
                continue
            try:
                area = self._clipped(next(inside) if isinstance(node, Fill) else _stroke_area(node), node)
                area = area if area.is_empty else self._on_page(area, node)
            except EngineFailure as error:
                raise _beyond_measure(node.place, f"the geometry engine gives up on it ({error})") from error
            if not area.is_empty:
                yield PaintedShape(area, node.paint.hex, node.place, node.paint.alpha)

    def page_notices(self) -> tuple[Notice, ...]:
        """What the page's edge took of the shapes painted so far."""
        off_page = [drawn[0] for drawn in self._off_page if drawn not in self._cut_at_page]
        return (
            *told_in_sum("off-page", "warning", "off the page, and not printed", off_page, "shape"),
            *self._told_cuts(),
        )

    def _told_cuts(self) -> Iterator[Notice]:
        """One notice for all shapes that the page cuts, with the place and size of the largest loss. A fill and its
        stroke are one shape."""
        if not self._cut_at_page:
            return
        lost = {drawn: union([cut.lost for cut in cuts]) for drawn, cuts in self._cut_at_page.items()}
        worst = max(lost, key=lambda drawn: lost[drawn].area)
        past_mm = max(cut.past_mm for cut in self._cut_at_page[worst])
        size = f"{format_mm2(lost[worst].area)}, up to {past_mm:.2f} mm past it,"
        others = f", the largest loss of {counted(len(lost), 'shape')}" if len(lost) > 1 else ""
        message = (
            f"cut off at the page's edge: {size} of {worst[0]}{others}; enlarge the page (viewBox) to print all of "
            "it, or clip the art where it shall end"
        )
        (x, y), (left, top, right, bottom) = inner_point(lost[worst]) or (0.0, 0.0), self._bounds
        yield Notice("cut-at-page", message, "warning", at_mm=(min(max(x, left), right), min(max(y, top), bottom)))

    def _clipped(self, area: Region, node: Fill | Stroke) -> Region:
        for cut in node.clips:
            if not area.is_empty:
                area = intersection(area, self._open_area(cut))
        return area

    def _on_page(self, area: Region, node: Fill | Stroke) -> Region:
        left, top, right, bottom = area.bounds
        page_left, page_top, page_right, page_bottom = self._bounds
        past_mm = max(page_left - left, page_top - top, right - page_right, bottom - page_bottom)
        if past_mm <= 0:
            return area
        inside = intersection(area, self._page)
        if past_mm > PAGE_EDGE_MM:
            drawn = node.place, node.outline, node.to_page
            covers_page = inside.area >= WHOLE_PAGE * self._page.area  # such art shows no less of itself for the edge
            if inside.is_empty:
                self._off_page[drawn] = None
            elif not covers_page:
                self._cut_at_page[drawn].append(_Cut(difference(area, self._page), past_mm))
        return inside

    def _open_area(self, cut: Clip | Mask) -> Region:
        """What a clip or a mask lets show; computed once for all that it cuts."""
        if cut not in self._open:
            self._open[cut] = self._clip_area(cut) if isinstance(cut, Clip) else self._mask_area(cut)
        return self._open[cut]

    def _clip_area(self, clip: Clip) -> Region:
        area = union([self._part_area(part) for part in clip.parts])
        for outer in clip.clips:
            area = intersection(area, self._open_area(outer))
        return area

    def _mask_area(self, mask: Mask) -> Region:
        area = EMPTY
        for opens, run in groupby(mask.parts, key=lambda part: part.opens):
            covered = union([self._clipped(_area_of(part.node), part.node) for part in run])
            area = union([area, covered]) if opens else difference(area, covered)
        return intersection(area, self._open_area(mask.region))

    def _part_area(self, part: ClipPart) -> Region:
        shape = Fill(Solid("#000000"), part.outline, part.to_page, part.even_odd, part.clips, Place("clipPath"))
        return self._clipped(_area_of(shape), shape)


def _area_of(node: Fill | Stroke) -> Region:
    """What one node covers, before it is cut."""
    return _fill_areas([node])[0] if isinstance(node, Fill) else _stroke_area(node)


def _fill_areas(fills: Sequence[Fill]) -> list[Region]:
    """What each fill covers, all of them flattened in one go where memory allows."""
    on_page = _mapped_together(fills)
    try:
        lines = iter(flatten(on_page, FLATNESS_MM))
        shapes = [[line.points for line in islice(lines, len(fill.outline.closed))] for fill in fills]
    except TooManyPoints:
        shapes = [_flattened_alone(fill) for fill in fills]
    areas = []
    for fill, area in zip(fills, filled_each(shapes, [fill.even_odd for fill in fills]), strict=True):
        if isinstance(area, Unfillable):
            raise _beyond_measure(fill.place, str(area))
        areas.append(area)
    return areas


def _mapped_together(fills: Sequence[Fill]) -> Outline:
    """All outlines on the page, in one."""
    maps = {fill.to_page for fill in fills}
    if len(maps) == 1:
        whole = joined([fill.outline for fill in fills]).mapped(maps.pop())
    else:
        whole = joined([fill.outline.mapped(fill.to_page) for fill in fills])
    if not _reach(whole) <= MAX_PAGE_COORDINATE_MM:
        for fill in fills:
            _check_reach(fill.outline.mapped(fill.to_page), fill.place)
    return whole


def _flattened_alone(fill: Fill) -> list[Points]:
    try:
        return [line.points for line in flatten(fill.outline.mapped(fill.to_page), FLATNESS_MM)]
    except TooManyPoints as error:
        raise _beyond_measure(fill.place, str(error)) from error


def _stroke_area(node: Stroke) -> Region:
    """Widen in the outline's own units, scaled to millimetres, then map: a map that is no similarity bends the pen."""
    scale = node.to_page.max_stretch
    if node.outline.is_empty or node.to_page.is_singular or not (scale > 0 and math.isfinite(1 / scale)):
        return EMPTY
    line, pen = node.outline.mapped(Affine.scaling(scale, scale)), _scaled(node.pen, scale)
    _check_reach(node.outline.mapped(node.to_page), node.place)
    _check_reach(line, node.place)
    if not pen.width <= MAX_PAGE_COORDINATE_MM:
        raise _beyond_measure(node.place, "its stroke is kilometres wide")
    try:
        return _widened_on_page(SameOutline(line), pen, node.to_page @ Affine.scaling(1 / scale, 1 / scale))
    except (TooManyPoints, TooManyDashes, Unfillable) as error:
        raise _beyond_measure(node.place, str(error)) from error


@remembered_for(REGISTER_MARKS)
def _widened_on_page(line: SameOutline, pen: Pen, to_page: Affine) -> Region:
    """Remembered apart from the widening: a move may make pieces that touch overlap by the last bit, and mending that
    takes as long again."""
    return repaired(to_page.map_region(_widened(line, pen)))


@remembered_for(REGISTER_MARKS)
def _widened(line: SameOutline, pen: Pen) -> Region:
    return stroked(trace(line.outline, FLATNESS_MM, largest_turn(pen, FLATNESS_MM)), pen, FLATNESS_MM)


def _scaled(pen: Pen, scale: float) -> Pen:
    return replace(
        pen,
        width=pen.width * scale,
        dashes=tuple(length * scale for length in pen.dashes),
        dash_offset=pen.dash_offset * scale,
    )


def _reach(on_page: Outline) -> float:
    """The largest coordinate of an outline; not a number where one is none."""
    return float(np.maximum(abs(on_page.knots).max(initial=0), abs(on_page.handles).max(initial=0)))


def _check_reach(on_page: Outline, place: Place) -> None:
    if not _reach(on_page) <= MAX_PAGE_COORDINATE_MM:
        raise _beyond_measure(place, "its coordinates lie kilometres off the page")


def _beyond_measure(place: Place, reason: str) -> ArtworkError:
    remedy = f"{reason}: simplify it"
    return ArtworkError("the artwork holds a shape that cannot be computed:", [Offence(place, remedy)])
