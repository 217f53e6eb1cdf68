"""Clean-up on request: pieces of an ink too small to print go to the neighbour they border on most, or go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from vectorsep.geometry.arrays import Indices
from vectorsep.geometry.boolean import joined_coverage
from vectorsep.geometry.borders import Borders, borders_of
from vectorsep.geometry.region import inner_point, polygons
from vectorsep.model import Notice, Region
from vectorsep.units import counted

UNDECIDED = -1


def clean_specks(areas: Mapping[str, Region], below_mm2: float) -> tuple[dict[str, Region], tuple[Notice, ...]]:
    """Give every piece smaller than the limit (mm2; 0 for none) to its neighbour, or drop it where it has none.

    The areas have matched edges before and after. One notice tells of those given away, a warning of those dropped.
    """
    if below_mm2 <= 0:
        return dict(areas), ()
    hexes = list(areas)
    owned = [(colour, piece) for colour, hex_ in enumerate(hexes) for piece in polygons(areas[hex_])]
    pieces = [piece for _, piece in owned]
    own = np.array([colour for colour, _ in owned], dtype=np.intp)
    small = np.array([piece.area < below_mm2 for piece in pieces], dtype=bool)
    if not small.any():
        return dict(areas), ()
    host = _hosts(borders_of(pieces), np.where(small, UNDECIDED, own), len(hexes))
    joined = {
        hex_: joined_coverage([pieces[i] for i in np.flatnonzero(host == colour)])
        for colour, hex_ in enumerate(hexes)
        if (host == colour).any()
    }
    given, dropped = small & (host != own) & (host != UNDECIDED), host == UNDECIDED
    return joined, _notices([pieces[i] for i in np.flatnonzero(given)], [pieces[i] for i in np.flatnonzero(dropped)])


def _hosts(borders: Borders, host: Indices, colours: int) -> Indices:
    """The colour of each piece, once every undecided one has taken that of its longest border with decided ones.

    Specks among specks border on a decided one once their neighbours have been given away; those that never do stay
    UNDECIDED.
    """
    host = host.copy()
    length_mm = borders.length_mm
    waiting = np.flatnonzero((host[borders.owner] == UNDECIDED) & (borders.beyond >= 0))
    while True:
        speck, beyond = borders.owner[waiting], host[borders.beyond[waiting]]
        meets = beyond != UNDECIDED
        if not meets.any():
            return host
        pairs, pair = np.unique(speck[meets] * colours + beyond[meets], return_inverse=True)
        border_mm = np.bincount(pair, length_mm[waiting[meets]])
        ascending = np.lexsort((-pairs, border_mm))  # the longest is written last; of equal ones the first colour
        host[pairs[ascending] // colours] = pairs[ascending] % colours
        waiting = waiting[host[speck] == UNDECIDED]


def _notices(given: Sequence[Region], dropped: Sequence[Region]) -> tuple[Notice, ...]:
    notices = []
    if given:
        message = f"{_summed(given)} too small to print: each takes the ink it borders on most"
        notices.append(Notice("speck-cleaned", message, at_mm=inner_point(given[0])))
    if dropped:
        x, y = first = inner_point(dropped[0]) or (0.0, 0.0)
        are, first_of = ("are", "first ") if dropped[1:] else ("is", "")
        message = (
            f"{_summed(dropped)} too small to print, {are} left out: no ink beside; {first_of}at {x:.2f}, {y:.2f} mm"
        )
        notices.append(Notice("left-out", message, "warning", at_mm=first))
    return tuple(notices)


def _summed(specks: Sequence[Region]) -> str:
    return f"{counted(len(specks), 'speck')}, {sum(speck.area for speck in specks):.4f} mm² in all,"
