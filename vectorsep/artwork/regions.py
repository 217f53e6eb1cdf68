"""From the resolved drawing to painted shapes: fills and strokes become regions in millimetres, clips are applied."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TypeAlias

from vectorsep.artwork.areas import area_of, engine_gives_up, fill_areas, stroke_areas
from vectorsep.artwork.css_colours import Solid
from vectorsep.artwork.drawing import Clip, ClipPart, Fill, Group, Mask, Node, Stroke
from vectorsep.artwork.opacity import flatten_group
from vectorsep.artwork.report import told_in_sum
from vectorsep.geometry.affine import Affine
from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.curves import Outline
from vectorsep.geometry.fill import EngineFailure
from vectorsep.geometry.region import EMPTY, inner_point, rectangle
from vectorsep.model import Notice, PaintedShape, Place, Region
from vectorsep.units import counted, format_mm2

PAGE_EDGE_MM = 0.02
"""Art that reaches past the page by less is meant to end there: drawing programs round to a hundredth of a pixel."""
WHOLE_PAGE = 1 - 1e-6
"""Share of the page that is all of it, but for rounding."""

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
        inside = iter(fill_areas(fills))
        widened = iter(stroke_areas([node for node in nodes if isinstance(node, Stroke)]))
        for node in nodes:
            if isinstance(node, Group):
                yield from flatten_group(list(self.painted(node.nodes)), node.opacity)
                continue
            try:
                area = self._clipped(next(inside if isinstance(node, Fill) else widened), node)
                area = area if area.is_empty else self._on_page(area, node)
            except EngineFailure as error:
                raise engine_gives_up(node.place, error) from error
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
            covered = union([self._clipped(area_of(part.node), part.node) for part in run])
            area = union([area, covered]) if opens else difference(area, covered)
        return intersection(area, self._open_area(mask.region))

    def _part_area(self, part: ClipPart) -> Region:
        shape = Fill(Solid("#000000"), part.outline, part.to_page, part.even_odd, part.clips, Place("clipPath"))
        return self._clipped(area_of(shape), shape)
