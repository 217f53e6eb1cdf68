"""Pieces joined into lines, against the engine's own merge of lines (GEOS, by shapely)."""

from itertools import pairwise

import numpy as np
import pytest
import shapely

from vectorsep.geometry.chains import chained


def legs_of(lines):
    """The legs of each of some lines, however it runs."""
    points = [shapely.get_coordinates(line).view(complex)[:, 0].tolist() for line in lines]
    return {frozenset(frozenset(leg) for leg in pairwise(line)) for line in points}


def joined(ends):
    end, line = chained(ends)
    flat = ends.ravel()[end]
    return shapely.linestrings(np.stack([flat.real, flat.imag], axis=1), indices=line)


def merged(ends):
    pieces = shapely.linestrings(np.stack([ends.real, ends.imag], axis=2))
    return shapely.get_parts(shapely.line_merge(shapely.multilinestrings(pieces)))


def net(seed, share):
    """Some of the threads of a net of 12 by 12 knots, in any order, each either way round."""
    rng = np.random.default_rng([seed, int(10 * share)])
    knots = np.arange(12)[:, None] + 1j * np.arange(12) + rng.uniform(0, 0.3, (12, 12))
    down, across = (np.stack([one.ravel(), other.ravel()], axis=1) for one, other in (
        (knots[:-1], knots[1:]), (knots[:, :-1], knots[:, 1:]),
    ))  # fmt: skip
    threads = np.concatenate([down, across])
    threads = rng.permutation(threads[rng.random(len(threads)) < share])
    turned = rng.random(len(threads)) < 0.5
    threads[turned] = threads[turned, ::-1]
    return threads


@pytest.mark.parametrize("share", [0.2, 0.4, 0.6, 0.9])
@pytest.mark.parametrize("seed", range(8))
def test_threads_of_a_net_make_the_lines_that_the_engine_makes(seed, share):
    threads = net(seed, share)
    lines = joined(threads)
    assert legs_of(lines) == legs_of(merged(threads))
    assert len(lines) == len(merged(threads)) > 20


def test_a_ring_is_one_line_that_ends_where_it_begins():
    corners = np.exp(2j * np.pi * np.arange(7) / 7)
    [ring] = joined(np.stack([corners, np.roll(corners, -1)], axis=1))
    assert ring.is_closed
    assert len(ring.coords) == 8


def test_no_pieces_make_no_lines():
    end, line = chained(np.empty((0, 2), dtype=complex))
    assert len(end) == len(line) == 0
