"""How long a polygon is however it lies. Against the distance of corners by Pythagoras."""

import math

import numpy as np
import pytest
from shapely import Polygon, affinity, box

from vectorsep.geometry.measure import fit_in_circle


@pytest.mark.parametrize("turn", range(0, 180, 15))
def test_a_box_fits_in_a_circle_as_wide_as_from_corner_to_corner(turn):
    across_mm = math.hypot(1.2, 0.5)
    pieces = np.array([affinity.rotate(box(3, 4, 4.2, 4.5), turn)], dtype=object)
    assert fit_in_circle(pieces, across_mm + 0.001)
    assert not fit_in_circle(pieces, across_mm - 0.001)


def test_a_spike_of_no_width_adds_nothing():
    spiked = Polygon([(0, 0), (1, 0), (1, 0.5), (1.4, 0.500001), (1, 0.500002), (1, 1), (0, 1)])
    assert fit_in_circle(np.array([spiked], dtype=object), 1.42)
