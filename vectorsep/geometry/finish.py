"""The last step of a plate: no needless vertices, and all of them on the grid that films are written on."""

from __future__ import annotations

from vectorsep.geometry.region import on_grid
from vectorsep.geometry.thinning import thinned
from vectorsep.model import Region

THINNING_MM = 0.0005
"""Plates lose the vertices that lie nearer than this to a line through their neighbours: 15 to 37 % of them on the
demos, left by offsets and overlays, and no film shows it. Plates that must keep a distance carry it for each of the
two."""


def finished(area: Region) -> Region:
    """The area as its plate carries it."""
    return on_grid(thinned(area, THINNING_MM))
