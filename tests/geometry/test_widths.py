"""Widths beyond a border, against the engine's insets of the whole area and distances from them."""

import numpy as np
import pytest
import shapely
from shapely import LineString, Point

from vectorsep.geometry.borders import borders_of
from vectorsep.geometry.widths import widths_beyond

WIDTHS_MM = (0.9, 0.72, 0.6, 0.48, 0.36, 0.24, 0.12)


def _art(seed):
    """Strokes of many widths, far apart or crossing each other, and discs on them."""
    rng = np.random.default_rng(seed)
    shapes = [Point(*rng.uniform(0, 40, 2)).buffer(rng.uniform(0.1, 3)) for _ in range(8)]
    shapes += [LineString(rng.uniform(0, 40, (3, 2))).buffer(rng.uniform(0.03, 0.6)) for _ in range(6)]
    return shapely.union_all(shapes)


@pytest.mark.parametrize("seed", range(12))
def test_widths_are_those_of_whole_insets(seed):
    area = _art(seed)
    border = borders_of([shapely.difference(area.envelope.buffer(2), area), area]).between([0], [1]).split(0.3)
    found = widths_beyond(border, area, WIDTHS_MM)
    points = shapely.points(border.middles)
    off = np.array([shapely.distance(shapely.buffer(area, -w / 2, quad_segs=32), points) / w for w in WIDTHS_MM])
    off = np.where(np.isnan(off), np.inf, off)  # no disc fits anywhere
    rank = np.array([WIDTHS_MM.index(w) if w else len(WIDTHS_MM) for w in found])
    sure_fit, may_fit = off < 0.98, off <= 1.02
    first_sure = np.where(sure_fit.any(axis=0), sure_fit.argmax(axis=0), len(WIDTHS_MM))
    first_may = np.where(may_fit.any(axis=0), may_fit.argmax(axis=0), len(WIDTHS_MM))
    assert (rank >= first_may).all()  # never wider than any disc allows
    # Narrower than the engine's distance says only where the way leads out of the area and in again.
    narrower = np.flatnonzero(rank > first_sure)
    for edge in narrower:
        core = shapely.buffer(area, -WIDTHS_MM[first_sure[edge]] / 2, quad_segs=32)
        way = shapely.shortest_line(points[edge], core)
        assert shapely.difference(way, area).length > 1e-6
    assert len(narrower) < 0.08 * len(found)
    assert len(set(found)) > 3
