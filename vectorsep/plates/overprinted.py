"""Specks of the black that the blocker prints: those smaller than a dot which the ink around them holds open take that
ink, or each would print as a dark dot much wider than it was drawn, for the ink fills it while the white beneath is
choked all around."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from vectorsep.geometry.arrays import Geometries, Indices
from vectorsep.geometry.boolean import each_joined
from vectorsep.geometry.borders import NOBODY, borders_of
from vectorsep.geometry.region import EMPTY, gather, polygons
from vectorsep.mesh import dot_mm2, narrowest_gap_mm
from vectorsep.model import Region
from vectorsep.plates.roles import Roles
from vectorsep.remember import remembered
from vectorsep.settings import Settings


def print_over_specks(roles: Roles, settings: Settings) -> Roles:
    """Give every speck of the merged black to the ink that it borders on most, if it is smaller than a dot of the
    narrowest gap which that ink's mesh holds open. Specks at cloth stay: they are part of the art's own edge."""
    if roles.black is None or not roles.carried:
        return roles
    inks = (roles.black, *roles.carried)
    limits_mm2 = tuple(dot_mm2(narrowest_gap_mm(ink.hex, settings)) for ink in roles.carried)
    *areas, overprinted = _given(tuple(ink.area for ink in inks), limits_mm2)
    given = {ink.hex: replace(ink, area=area) for ink, area in zip(inks, areas, strict=True)}
    groups = (roles.white_art, roles.colours, roles.highlights)
    white_art, colours, highlights = (tuple(given[ink.hex] for ink in group) for group in groups)
    black = given[roles.black.hex]
    return replace(
        roles, black=black, white_art=white_art, colours=colours, highlights=highlights, overprinted=overprinted
    )


@remembered
def _given(areas: tuple[Region, ...], limits_mm2: tuple[float, ...]) -> tuple[Region, ...]:
    """The areas, the black's first, once specks of it below the others' limits are theirs; and all of these specks."""
    black, *others = areas
    pieces = np.array(polygons(black), dtype=object)
    is_speck = np.array([piece.area < max(limits_mm2) for piece in pieces], dtype=bool)
    if not is_speck.any():
        return (*areas, EMPTY)
    host = np.full(len(pieces), NOBODY)
    host[is_speck] = _hosts(pieces[is_speck], others, limits_mm2)
    return (gather(pieces[host == NOBODY]), *each_joined(others, pieces, host), gather(pieces[host != NOBODY]))


def _hosts(specks: Geometries, inks: Sequence[Region], limits_mm2: tuple[float, ...]) -> Indices:
    """Which ink takes each speck; NOBODY where cloth or more black lies beside it, or where that ink holds it open."""
    borders, first = borders_of([*inks, *specks]), len(inks)
    host = borders.longest_beside(first, len(specks))
    beside_none = borders.owner[borders.beyond == NOBODY] - first
    host[beside_none[beside_none >= 0]] = NOBODY
    host[[speck.area for speck in specks] >= np.array([*limits_mm2, 0.0])[host]] = NOBODY
    return host
