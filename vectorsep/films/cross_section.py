"""Figure: a section through the edge where an upper ink comes nearest to the cloth, to scale along the cloth."""

from __future__ import annotations

import math
from dataclasses import dataclass

from vectorsep.geometry.region import covers_point
from vectorsep.geometry.section import cut_intervals, nearest_on_edge
from vectorsep.model import Check, Clearance, Plate, Point
from vectorsep.paper.wording import told_mm

SCALES = (50, 40, 25, 20, 10, 5)
"""Scales to choose from, drawing to print."""
WIDTH_MM = 110.0
"""Printed width of the cut itself."""
LAYER_MM = 7.0
"""Drawn height of a layer: not to scale, a print's layers are some tens of micrometres thick."""
DIMENSION_MM = 6.5
"""From one dimension line to the next."""
EDGE_X = 80.0
"""Where on paper the blocker's edge is; the rest of the width shows bare cloth."""
CLOTH_MM = 5.0
"""Drawn height of the cloth."""
SCALE_BAR_MM = 4.0
"""From the cloth down to the bar that shows a millimetre."""
LEAST_SEEN_MM = 0.25
"""Shorter distances are drawn at the scale of this one."""
SEEN = 4.0
"""The cut reaches at least this many times as far inward as the largest distance it must show."""


@dataclass(frozen=True, slots=True)
class Band:
    """One layer of the cut: its bars as (left, width) in mm on paper, and its distance to the blocker's edge."""

    order: int
    plate: Plate
    top: float
    bars: tuple[tuple[float, float], ...]
    end_x: float
    """Where the layer ends towards the blocker's edge, on paper; 0 where it does not reach into the cut before it."""
    distance: str | None
    """From there to the blocker's edge, in mm, for the dimension line: as the check measured it for the tightest
    plate, as drawn for the others. None for the blocker, or with no such end."""
    dimension_y: float


@dataclass(frozen=True, slots=True)
class CrossSection:
    """The figure, in mm on paper; bands from the blocker up."""

    scale: int
    at_mm: Point
    """The check's tightest spot, on the edge of the plate that comes nearest; the cut runs through it."""
    width: float
    height: float
    layer_height: float
    cloth_top: float
    cloth_height: float
    edge_x: float
    bands: tuple[Band, ...]


def draw_section(check: Check) -> CrossSection | None:
    """Cut where an upper plate is nearest to the blocker's edge, across that edge; None where nothing was measured."""
    tightest = check.tightest
    blockers = [clearance.plate for clearance in check.clearances if clearance.plate.role == "blocker"]
    if tightest is None or tightest.at_mm is None or not blockers:
        return None
    spot = tightest.at_mm
    place = _edge_place(spot, blockers[0])
    if place is None:
        return None
    edge, outward = place
    scale = _scale(tightest)
    start = _along(edge, outward, -EDGE_X / scale)
    end = _along(edge, outward, (WIDTH_MM - EDGE_X) / scale)
    cuts = [cut_intervals(clearance.plate.area, start, end) for clearance in check.clearances]
    met = [i for i, cut in enumerate(cuts) if cut]
    cloth_top = (DIMENSION_MM + LAYER_MM) * len(met)
    frame = _Frame(scale, cloth_top, tightest)
    bands = tuple(_band(i + 1, check.clearances[i].plate, cuts[i], rank, frame) for rank, i in enumerate(met))
    return CrossSection(
        scale, spot, WIDTH_MM, cloth_top + CLOTH_MM + SCALE_BAR_MM, LAYER_MM, cloth_top, CLOTH_MM, EDGE_X, bands
    )


def _edge_place(spot: Point, blocker: Plate) -> tuple[Point, Point] | None:
    """The blocker's edge nearest to a spot, and the unit direction outward from there; None for a spot on it."""
    edge = nearest_on_edge(blocker.area, spot)
    away = math.dist(spot, edge)
    if away == 0:
        return None
    sign = 1 if covers_point(blocker.area, spot) else -1
    return edge, (sign * (edge[0] - spot[0]) / away, sign * (edge[1] - spot[1]) / away)


def _scale(tightest: Clearance) -> int:
    """The largest scale at which the tightest distance, and what lies near it, stay in the cut."""
    seen_mm = max(tightest.distance_mm or 0.0, LEAST_SEEN_MM) * SEEN
    return next((scale for scale in SCALES if EDGE_X / scale >= seen_mm), SCALES[-1])


def _along(point: Point, direction: Point, distance_mm: float) -> Point:
    return (point[0] + direction[0] * distance_mm, point[1] + direction[1] * distance_mm)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where on paper the cut has its parts, and whose distance it is about."""

    scale: int
    cloth_top: float
    tightest: Clearance


def _band(order: int, plate: Plate, cut: tuple[tuple[float, float], ...], rank: int, frame: _Frame) -> Band:
    """The layer that lies at `rank` above the cloth, from 0, and its dimension line to the blocker's edge."""
    bars = tuple((round(first * frame.scale, 3), round((last - first) * frame.scale, 3)) for first, last in cut)
    ends = [left + width for left, width in bars if left < EDGE_X]  # what starts farther out lies past a gap
    end_x = max(ends, default=0.0)
    measured = ends and plate.role != "blocker"
    distance_mm = (EDGE_X - end_x) / frame.scale
    if plate is frame.tightest.plate and frame.tightest.distance_mm is not None:
        distance_mm = frame.tightest.distance_mm
    distance = told_mm(max(0.0, distance_mm)) if measured else None
    top = frame.cloth_top - LAYER_MM * (rank + 1)
    return Band(order, plate, top, bars, end_x, distance, DIMENSION_MM * (rank - 0.4))
