"""The least dot that the usual colour mesh holds, and round shapes of exact areas."""

import math

import shapely
from shapely import Point

DOT_MM2 = math.pi / 4 * (25.4 / 160 + 0.0626) ** 2
"""A dot as wide as two threads and an opening, that is a pitch and a thread, of the usual colour mesh: 160 threads an
inch, of 0.0626 mm, between those of 61 and 77 a centimetre (common practice, see `mesh.py`)."""


def disc_of(area_mm2, at=(20.0, 20.0)):
    """A round shape of exactly so much."""
    disc = Point(at).buffer(1)
    return shapely.affinity.scale(disc, *[math.sqrt(area_mm2 / disc.area)] * 2, origin=at)
