"""What fills and strokes cover on the page, before anything is cut. Many are worked on at once, since most drawings
have hundreds of few points each."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from vectorsep.artwork.drawing import Fill, Stroke
from vectorsep.errors import ArtworkError, Offence
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.bends import Pen, largest_turn
from vectorsep.geometry.curves import FLATNESS_MM, Outline, Points, SameOutline, TooManyPoints, flatten, joined
from vectorsep.geometry.dashes import TooManyDashes
from vectorsep.geometry.fill import EngineFailure, Unfillable, filled_each
from vectorsep.geometry.region import EMPTY, repaired
from vectorsep.geometry.strokes import stroked_each
from vectorsep.geometry.traces import trace
from vectorsep.model import Place, Region
from vectorsep.remember import remembered_for

MAX_PAGE_COORDINATE_MM = 1e7
"""Points farther out than 10 km lose the precision that the page needs; no drawing has them on purpose."""
REGISTER_MARKS = 64
"""Strokes that are remembered: films of one job carry the same marks and rule, and are read one after the other."""
MOST_KNOTS = 10_000
"""Strokes are widened together up to so many knots: more at once gain nothing, and take memory."""


def area_of(node: Fill | Stroke) -> Region:
    """What one node covers. Raises ArtworkError where it is beyond all measure."""
    return fill_areas([node])[0] if isinstance(node, Fill) else stroke_areas([node])[0]


def fill_areas(fills: Sequence[Fill]) -> list[Region]:
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
            raise beyond_measure(fill.place, str(area))
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
        raise beyond_measure(fill.place, str(error)) from error


@dataclass(frozen=True, slots=True)
class _Line:
    """A stroke in millimetres, and its map to the page afterwards: one that is no similarity bends the pen."""

    drawn: SameOutline
    pen: Pen
    to_page: Affine


def stroke_areas(strokes: Sequence[Stroke]) -> list[Region]:
    """What each stroke covers, those that one pen draws widened together where there are many."""
    lines = [_line_of(stroke) for stroke in strokes]
    if len(strokes) > REGISTER_MARKS:
        try:
            covered = _covered_together([line for line in lines if line is not None])
            return [EMPTY if line is None else covered[line] for line in lines]
        except (TooManyPoints, TooManyDashes, Unfillable, EngineFailure):
            pass  # one by one it is seen which it was
    return [
        EMPTY if line is None else _covered(line, stroke.place) for line, stroke in zip(lines, strokes, strict=True)
    ]


def _line_of(stroke: Stroke) -> _Line | None:
    """The stroke as a line to be widened; None where it covers nothing."""
    scale = stroke.to_page.max_stretch
    if stroke.outline.is_empty or stroke.to_page.is_singular or not (scale > 0 and math.isfinite(1 / scale)):
        return None
    line, pen = stroke.outline.mapped(Affine.scaling(scale, scale)), _scaled(stroke.pen, scale)
    _check_reach(stroke.outline.mapped(stroke.to_page), stroke.place)
    _check_reach(line, stroke.place)
    if not pen.width <= MAX_PAGE_COORDINATE_MM:
        raise beyond_measure(stroke.place, "its stroke is kilometres wide")
    return _Line(SameOutline(line), pen, stroke.to_page @ Affine.scaling(1 / scale, 1 / scale))


def _covered_together(lines: Iterable[_Line]) -> dict[_Line, Region]:
    """What each of many lines covers, those drawn more than once widened once."""
    different = dict.fromkeys(lines)
    by_pen: defaultdict[Pen, dict[SameOutline, None]] = defaultdict(dict)
    for line in different:
        by_pen[line.pen][line.drawn] = None
    widened: dict[tuple[SameOutline, Pen], Region] = {}
    for pen, drawn in by_pen.items():
        for batch in _batches(drawn):
            outlines = [one.outline for one in batch]
            widened |= {(one, pen): area for one, area in zip(batch, _widened_each(outlines, pen), strict=True)}
    return {line: _on_page(widened[line.drawn, line.pen], line.to_page) for line in different}


def _batches(drawn: Iterable[SameOutline]) -> Iterator[list[SameOutline]]:
    """Outlines of MOST_KNOTS together, or one by one where each has more."""
    batch: list[SameOutline] = []
    knots = 0
    for one in drawn:
        knots += len(one.outline.knots)
        if batch and knots > MOST_KNOTS:
            yield batch
            batch, knots = [], len(one.outline.knots)
        batch.append(one)
    if batch:
        yield batch


def _widened_each(outlines: Sequence[Outline], pen: Pen) -> list[Region]:
    """What a pen covers along each outline, in its own place."""
    traces = iter(trace(joined(outlines), FLATNESS_MM, largest_turn(pen, FLATNESS_MM)))
    lines = [list(islice(traces, len(outline.closed))) for outline in outlines]
    return stroked_each(lines, pen, FLATNESS_MM)


def _covered(line: _Line, place: Place) -> Region:
    try:
        return _remembered_on_page(line)
    except (TooManyPoints, TooManyDashes, Unfillable) as error:
        raise beyond_measure(place, str(error)) from error
    except EngineFailure as error:
        raise engine_gives_up(place, error) from error


@remembered_for(REGISTER_MARKS)
def _remembered_on_page(line: _Line) -> Region:
    """Remembered apart from the widening: a move may make pieces that touch overlap by the last bit, and mending that
    takes as long again."""
    return _on_page(_remembered(line.drawn, line.pen), line.to_page)


@remembered_for(REGISTER_MARKS)
def _remembered(drawn: SameOutline, pen: Pen) -> Region:
    return _widened_each([drawn.outline], pen)[0]


def _on_page(widened: Region, to_page: Affine) -> Region:
    return repaired(to_page.map_region(widened))


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
        raise beyond_measure(place, "its coordinates lie kilometres off the page")


def beyond_measure(place: Place, reason: str) -> ArtworkError:
    """The refusal of a shape that cannot be computed."""
    remedy = f"{reason}: simplify it"
    return ArtworkError("the artwork holds a shape that cannot be computed:", [Offence(place, remedy)])


def engine_gives_up(place: Place, error: Exception) -> ArtworkError:
    """The refusal of a shape that the geometry engine fails at."""
    return beyond_measure(place, f"the geometry engine gives up on it ({error})")
