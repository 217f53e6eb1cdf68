"""Outlines as SVG path data, on the plates' grid: what is written is exactly what was made."""

from __future__ import annotations

from itertools import islice

import numpy as np
from numpy.typing import NDArray

from vectorsep.geometry.curves import CURVE, LINE, MOVE, Outline
from vectorsep.geometry.region import GRID_MM, GRID_STEPS_PER_MM, rings
from vectorsep.model import Region

LETTERS = {MOVE: "M", LINE: "L", CURVE: "C"}
"""SVG path commands by kind of step."""


def region_path(region: Region) -> str:
    """A whole region, vertex by vertex, as the path data of one even-odd path."""
    outlines = rings(region)
    words = iter(_written(np.concatenate([np.empty((0, 2)), *outlines])))
    drawn = [list(islice(words, len(ring)))[:-1] for ring in outlines]  # the first point is repeated last
    return " ".join(f"M {first} L {' '.join(others)} Z" for first, *others in drawn)


def path_data(outline: Outline) -> str:
    """SVG path data of an outline in mm, four decimals, absolute commands, repeated letters left out."""
    knots, handles = _written(outline.knots), iter(_written(outline.handles.reshape(-1, 2)))
    closed = iter(outline.closed)
    words: list[str] = []
    previous, close = 0, False
    for step, knot in zip(outline.steps.tolist(), knots, strict=True):
        if step == MOVE:
            if close:
                words.append("Z")
            close = bool(next(closed))
        if step != previous or step == MOVE:
            words.append(LETTERS[step])
        if step == CURVE:
            words += (next(handles), next(handles))
        words.append(knot)
        previous = step
    return " ".join([*words, "Z"] if close else words)


def _written(points: NDArray[np.float64]) -> list[str]:
    """Points with at most four decimals: 15 digits tell a whole number of grid steps from all others, without needless
    zeros, and adding nothing takes the sign off a zero."""
    on_grid = np.rint(points / GRID_MM) / GRID_STEPS_PER_MM + 0.0
    return ("%.15g %.15g\n" * len(points) % tuple(on_grid.ravel().tolist())).splitlines()  # in one go: half the time
