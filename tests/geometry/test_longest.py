"""Rows covered by the longest pieces that hold, and joints made smooth only where the tolerance allows."""

import math

import numpy as np
import pytest
import shapely

from vectorsep.geometry import longest
from vectorsep.geometry.cubic_fit import fit_cubics, row_of
from vectorsep.geometry.longest import MOST_TURN, longest_pieces, smoothed

WITHIN_MM = 0.005


def wave_row(rough_mm=0.0, edges=400):
    """A row along two waves of growing height, its vertices moved at random by so much."""
    x = np.linspace(0, 20, edges + 1)
    xy = np.stack([x, 0.2 * x * np.sin(x)]) + np.random.default_rng(5).normal(0, rough_mm, (2, edges + 1))
    return row_of(xy)


STRETCHES = np.array([0, 130, 131, 300]), np.array([130, 131, 300, 400])


@pytest.mark.parametrize("rough_mm", [0.0, 0.001, 0.003])
def test_pieces_are_in_order_within_their_stretches_and_within_the_tolerance(rough_mm):
    row = wave_row(rough_mm)
    pieces = longest_pieces(row, *STRETCHES, WITHIN_MM)
    assert (pieces.first[1:] == pieces.last[:-1]).all()
    assert (pieces.first[0], pieces.last[-1]) == (0, 400)
    assert set(STRETCHES[0]) <= set(pieces.first)
    bent = np.flatnonzero(pieces.bent)
    assert len(bent)
    for i in bent:
        assert _distance(row, pieces, i) <= WITHIN_MM + 1e-4


def _distance(row, pieces, i):
    """Hausdorff distance by GEOS, of a piece of 500 chords and its stretch."""
    start, cubics = row.xy[:, pieces.first[i]], pieces.cubics
    second = start + cubics.span[:, i] - cubics.arriving[:, i]
    controls = np.stack([start, start + cubics.leaving[:, i], second, start + cubics.span[:, i]])
    t = np.linspace(0, 1, 501)
    basis = np.stack([math.comb(3, k) * t**k * (1 - t) ** (3 - k) for k in range(4)], axis=1)
    stretch = shapely.LineString(row.xy[:, pieces.first[i] : pieces.last[i] + 1].T)
    return shapely.hausdorff_distance(shapely.LineString(basis @ controls), stretch, densify=0.02)


@pytest.mark.parametrize("rough_mm", [0.0, 0.003])
def test_no_piece_could_be_an_edge_longer(rough_mm):
    row = wave_row(rough_mm)
    pieces = longest_pieces(row, *STRETCHES, WITHIN_MM)
    inner = ~np.isin(pieces.last, STRETCHES[1])
    assert inner.sum() > 5
    longer, off_mm = fit_cubics(row, pieces.first[inner], pieces.last[inner] + 1, WITHIN_MM)
    assert ((off_mm > WITHIN_MM) | (longer.turns() > MOST_TURN)).all()
    assert (off_mm > WITHIN_MM).any()


def test_no_piece_turns_by_more_than_a_quarter_circle_and_a_little():
    """Angles from the first tangent to the last, by the turn of the row's own edges."""
    angles = np.linspace(0, 2 * math.pi, 181)
    row = row_of(0.5 * np.stack([np.cos(angles), np.sin(angles)]))
    pieces = longest_pieces(row, np.array([0]), np.array([180]), WITHIN_MM)
    assert (pieces.last - pieces.first).max() == pytest.approx(MOST_TURN / math.radians(2), abs=3)
    assert len(pieces.first) == 4


def test_a_larger_tolerance_needs_no_more_pieces():
    row = wave_row(0.001)
    counts = [len(longest_pieces(row, *STRETCHES, within_mm).first) for within_mm in (0.002, 0.004, 0.008, 0.016)]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > 1.5 * counts[-1]


def test_edges_stay_single_where_nothing_holds():
    pieces = longest_pieces(wave_row(), *STRETCHES, -1.0)
    assert (pieces.last - pieces.first == 1).all()
    assert len(pieces.first) == 400


def test_nothing_to_cover_gives_no_pieces():
    none = np.empty(0, dtype=np.intp)
    assert len(longest_pieces(wave_row(), none, none, WITHIN_MM).first) == 0


def test_reaching_far_too_far_takes_few_tries(monkeypatch):
    """A straight line, then roughness just over the tolerance: its error is the same whatever the length, so that
    guesses by the error alone would creep back; halving 3,000 edges takes 12 tries."""
    y = np.concatenate([np.zeros(1100), 0.0051 * (-1.0) ** np.arange(3000)])
    row = row_of(np.stack([np.arange(4100) / 10, y]))
    tries = []

    def counted(row, first, last, within_mm):
        tries.append((first == 0).any())
        return fit_cubics(row, first, last, within_mm)

    monkeypatch.setattr(longest, "fit_cubics", counted)
    pieces = longest_pieces(row, np.array([0]), np.array([4099]), WITHIN_MM)
    assert 1099 <= pieces.last[0] < 1110
    assert sum(tries) < 25


def test_joints_become_smooth_where_they_hold_the_tolerance_so():
    row = wave_row()
    rough = longest_pieces(row, *STRETCHES, 0.6 * WITHIN_MM)
    joints = np.flatnonzero(rough.bent[:-1] & rough.bent[1:])
    halves = [(joints[joints % 2 == parity], joints[joints % 2 == parity] + 1) for parity in (0, 1)]
    smooth = smoothed(row, rough, halves, WITHIN_MM)
    before, after = _kinks(rough, joints), _kinks(smooth, joints)
    assert (after < 1e-9).sum() > 0.7 * len(joints) > (before < 1e-9).sum()
    for i in np.flatnonzero(smooth.bent):
        assert _distance(row, smooth, i) <= WITHIN_MM + 1e-4


def test_joints_that_would_leave_the_tolerance_stay_as_they_are():
    row = wave_row()
    pieces = longest_pieces(row, *STRETCHES, WITHIN_MM)
    joints = np.flatnonzero(pieces.bent[:-1] & pieces.bent[1:])[::2]
    kept = smoothed(row, pieces, [(joints, joints + 1)], 0.0)
    assert (kept.cubics.leaving == pieces.cubics.leaving).all()
    assert (kept.cubics.arriving == pieces.cubics.arriving).all()


def _kinks(pieces, joints):
    one, other = pieces.cubics.arriving[:, joints], pieces.cubics.leaving[:, joints + 1]
    return np.abs(np.arctan2(one[0] * other[1] - one[1] * other[0], (one * other).sum(axis=0)))
