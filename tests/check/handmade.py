"""Plates made by hand for the check's tests, and an oracle that shares no code with it: numpy and scipy alone."""

from itertools import pairwise

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely import MultiPolygon, Polygon

from vectorsep.model import Plate


def plate(role, area, ink=None, hex_="#c03020"):
    return Plate(role, ink or role, hex_, area)


def square(side, x=0.0, y=0.0):
    """A square of the given side, its middle at x, y."""
    half = side / 2
    return shapely.box(x - half, y - half, x + half, y + half)


def blob(rng, x=0.0, y=0.0, radius=10.0, points=60):
    """A smooth random shape, star-like about its middle."""
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    waves = sum(rng.uniform(0, 0.5) / k * np.cos(k * angle + rng.uniform(0, 2 * np.pi)) for k in range(2, 6))
    reach = radius * np.maximum(0.3, 1 + 0.5 * waves)
    return Polygon(np.stack([x + reach * np.cos(angle), y + reach * np.sin(angle)], axis=1))


def polygons_of(geometry):
    """The polygons of an overlay's outcome, without the points and lines where regions merely touch."""
    return MultiPolygon([part for part in shapely.get_parts(geometry) if isinstance(part, Polygon)])


def rings_of(area):
    """All rings of a region as closed arrays of points."""
    parts = area.geoms if isinstance(area, MultiPolygon) else [area]
    return [np.asarray(ring.coords) for part in parts for ring in (part.exterior, *part.interiors)]


def sampled(area, step):
    """Points along all rings no farther apart than the step, every vertex among them."""
    points = []
    for ring in rings_of(area):
        for a, b in pairwise(ring):
            count = max(1, int(np.ceil(np.hypot(*(b - a)) / step)))
            points.append(a + (b - a) * (np.arange(count) / count)[:, None])
    return np.concatenate(points)


def sampled_distance(one, other, step):
    """Distance between two outlines by their sampled points: the true one, or up to one step more."""
    return float(cKDTree(sampled(one, step)).query(sampled(other, step))[0].min())


def inside(points, area):
    """Which points lie inside a region, by counting the edges that a ray to the right crosses (even-odd)."""
    odd = np.zeros(len(points), dtype=bool)
    for ring in rings_of(area):
        (x0, y0), (x1, y1) = ring[:-1].T, ring[1:].T
        with np.errstate(divide="ignore", invalid="ignore"):
            at = x0 + (points[:, 1:] - y0) * (x1 - x0) / (y1 - y0)
        spans = (y0 > points[:, 1:]) != (y1 > points[:, 1:])
        odd ^= (spans & (points[:, :1] < at)).sum(axis=1) % 2 == 1
    return odd
