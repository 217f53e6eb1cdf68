"""What the geometry reckons with: arrays of many values, worked on in one go."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Geometries: TypeAlias = NDArray[np.object_]
"""The engine's own: regions, lines or points."""
Floats: TypeAlias = NDArray[np.float64]
Complex: TypeAlias = NDArray[np.complex128]
"""Points and ways as x + iy."""
Indices: TypeAlias = NDArray[np.intp]
Flags: TypeAlias = NDArray[np.bool_]


def ranges(first: Indices, after: Indices) -> tuple[Indices, Indices]:
    """All whole numbers of many ranges, each with the index of its range."""
    counts = after - first
    owner = np.repeat(np.arange(len(counts)), counts)
    return owner, np.arange(len(owner)) + np.repeat(first - (np.cumsum(counts) - counts), counts)
