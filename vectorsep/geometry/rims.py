"""Rims: strips of an area, narrower than a hairline, that peep out between or beside other areas by a rounding."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from vectorsep.geometry.arrays import Geometries, Indices
from vectorsep.geometry.boolean import HAIRLINE_MM, joined_coverage
from vectorsep.geometry.borders import NOBODY, borders_of
from vectorsep.geometry.measure import no_shorter
from vectorsep.geometry.offset import hold_disc
from vectorsep.geometry.region import EMPTY, GRID_MM, gather, polygons
from vectorsep.geometry.slivers import slivers_of
from vectorsep.geometry.tiles import Untiled
from vectorsep.geometry.visible import DUST_MM, visible_of_kinds
from vectorsep.model import Region

SHORTEST_MM = 0.2
"""Shorter strips that hang on what is wide are the tips of what is pointed, as a rule."""
WIDER_MM = (GRID_MM / 10, GRID_MM / 5, GRID_MM / 2)
"""How much wider rims are painted: where the engine fails by chance with one of these, the next one mostly passes."""
BESIDE = 0.4
"""What runs along other areas on one side has so much of its outline there at least; a line on cloth has not."""


def without_rims(areas: Sequence[Region]) -> tuple[list[Region], Region]:
    """Areas with matched edges, where every rim belongs to the area that most of its outline borders on; and all rims
    that changed hands. Lines that lie on cloth stay as they are, and so do rims that the engine cannot cut off, and
    each area that no rim lies at."""
    left, given = list(areas), []
    for own in range(len(left)):
        body, fine = _fine_parted(left[own])
        rims = [*polygons(no_shorter(slivers_of(body, HAIRLINE_MM), SHORTEST_MM)), *fine]
        if rims:
            left, taken = _given(left, own, np.array(rims, dtype=object))
            given.append(taken)
    return left, gather(given)


def _fine_parted(area: Region) -> tuple[Region, Geometries]:
    """The pieces of an area that are somewhere as wide as a hairline, and the others. Of two curves that run along each
    other, by their own chords each, dozens are left of a tenth of a millimetre, and a trap would grow from each."""
    pieces: Geometries = np.array(polygons(area), dtype=object)
    wide = hold_disc(pieces, HAIRLINE_MM / 2)
    return area if wide.all() else gather(pieces[wide]), pieces[~wide]


def _given(areas: list[Region], own: int, rims: Geometries) -> tuple[list[Region], Region]:
    """The areas, where the rims of one of them belong to others, and what of the rims did not stay."""
    count = len(areas)
    pieces, kind = shapely.get_parts(areas, return_index=True)
    met = np.unique(shapely.STRtree(pieces).query(rims, predicate="dwithin", distance=DUST_MM)[1])
    parts = _cut_off(pieces[met], kind[met], own, rims, count)
    if parts is None:
        return areas, EMPTY
    host = _hosts(parts, own, count)
    if (host == own).any():  # lines that stay are none to cut off and put on again
        return _given(areas, own, rims[host != own]) if (host != own).any() else (areas, EMPTY)
    whose, changed = np.append(np.arange(count), host), areas.copy()
    for area in np.unique(kind[met]).tolist():
        joined = joined_coverage([parts[part] for part in np.flatnonzero(whose == area)])
        apart = np.setdiff1d(np.flatnonzero(kind == area), met)
        changed[area] = gather([*pieces[apart], joined])
    return changed, gather(parts[count:])


def _cut_off(pieces: Geometries, kind: Indices, own: int, rims: Geometries, count: int) -> list[Region] | None:
    """What is left of each kind of pieces, 0 .. count - 1, and after these the rims, which are cut off one of them.

    Rims are painted a little wider on what they are cut off, and below the others, which cut them to size: so their
    edges match, which those of the cut itself do to the last bit only. None where the engine cannot do it but on a
    grid, where edges would no longer match those of pieces further off.
    """
    mine = kind == own
    kinds = [*kind[mine], *range(count, count + len(rims)), *kind[~mine]]
    for wider_mm in WIDER_MM:
        painted = [*pieces[mine], *shapely.buffer(rims, wider_mm, quad_segs=1), *pieces[~mine]]
        try:
            return visible_of_kinds(painted, kinds, count + len(rims), noise_mm=0.0, gap_mm=0.0, rescue=False)
        except Untiled:
            continue
    return None


def _hosts(parts: Sequence[Region], own: int, count: int) -> Indices:
    """Which area each rim goes to; rims are the parts after so many, and stay what they are where they lie on cloth.

    Of one as fine as dust nothing is left to go to anybody: the cut has given it to its neighbours.
    """
    borders = borders_of(parts)
    outline_mm = np.bincount(borders.owner, borders.length_mm, len(parts))[count:]
    border_mm = borders.shared_mm(count, len(parts) - count)
    border_mm[:, own] = 0.0
    beside = border_mm.sum(axis=1) >= BESIDE * outline_mm
    return np.where(outline_mm > 0, np.where(beside, border_mm.argmax(axis=1), own), NOBODY)
