"""Where screens can be saved, and at what price: told for every job, done only when the job asks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.colour import GARMENT_DIFFERENCE, difference_of, merging
from vectorsep.geometry.borders import borders_of
from vectorsep.model import Design, InkArea, Saving
from vectorsep.plates.alike import OFFERED_DIFFERENCE, pairs_alike
from vectorsep.plates.roles import WHITE_HEX, WHITE_NAME, Roles, is_black
from vectorsep.settings import Settings
from vectorsep.units import format_mm, format_mm2

NEAR_WHITE_DIFFERENCE = 8.0
"""Colours no further from white than this (CIEDE2000) are offered to print with it: off-whites all (from memory)."""

WORTH_TELLING_MM2 = 1.0
"""Less colour than this without white, all places together, changes no print."""


def possible_savings(design: Design, roles: Roles, settings: Settings) -> tuple[Saving, ...]:
    """Every step that would save a screen on this design, taken or not, with what it costs the print."""
    return (
        *_blocker_as_black(design, roles, settings),
        *_inks_alike(roles, settings),
        *_near_white(roles, settings),
        *_cloth_as_ink(roles, settings),
        *_highlight(roles, settings),
        *_no_white(roles, settings),
    )


def _blocker_as_black(design: Design, roles: Roles, settings: Settings) -> Iterator[Saving]:
    if roles.black is not None:
        onto_mm = settings.trap_on_blocker_mm
        runs = f"; colours run over its edge by {format_mm(onto_mm)}, where they hardly show" if onto_mm else ""
        cost = f"black looks as the blocker does{_dark_edge(roles.black, roles.carried, settings)}{runs}"
        yield Saving(f"the blocker prints {roles.black.name}", _screens_of_black(design), cost, taken=True)
        return
    if not settings.white_under_colours:
        return  # colours without white need the grey blocker
    is_grey = settings.blocker != "black"
    change = "needs a black blocker instead of a grey one; " if is_grey else ""
    blacks = [ink for ink in design.inks if is_black(ink)]
    only_one = f"; of the {len(blacks)} blacks it prints one, which blocker.design_black names" if blacks[1:] else ""
    for ink in blacks:
        dark = _dark_edge(ink, [other for other in design.inks if other is not ink], settings)
        yield Saving(
            f"let the blocker print {ink.name}",
            _screens_of_black(design),
            f"{change}black looks as the blocker does{dark}{only_one}",
            taken=False,
            key=None if is_grey else "blocker.merge_black = true",
            changes=frozenset({ink.name, settings.blocker_name}),
        )


def _screens_of_black(design: Design) -> int:
    """How many screens a black is that the blocker prints: alone it needs no white either."""
    return 1 if design.inks[1:] else 2


def _dark_edge(black: InkArea, others: Sequence[InkArea], settings: Settings) -> str:
    """The colour along the black's edge that lies straight on the blocker, where white keeps the choke. Between lines
    closer than two chokes it is counted twice: on owl_boat a third more is told than is lost."""
    beside_mm = borders_of([*(ink.area for ink in others), black.area]).shared_mm(len(others), 1).sum()
    dark_mm2 = settings.choke_mm * beside_mm
    if dark_mm2 < WORTH_TELLING_MM2:
        return ""
    return (
        f"; colour within {format_mm(settings.choke_mm)} of it, up to about {format_mm2(dark_mm2)}, has no white "
        "beneath and looks darker"
    )


def _inks_alike(roles: Roles, settings: Settings) -> Iterator[Saving]:
    for pair in pairs_alike(roles, settings, OFFERED_DIFFERENCE):
        key = f"colour.merge_inks = {merging(pair.apart):g}"
        listed = (
            "" if pair.key else f"; the job lists both, which keeps them two: take one out of [[inks]] and set {key}"
        )
        yield Saving(
            f"print {pair.ink.name} and {pair.other.name} as one ink",
            1,
            f"one of two colours {pair.apart:.1f} apart (CIEDE2000) changes{listed}",
            taken=False,
            key=pair.key,
            changes=frozenset({pair.ink.name, pair.other.name}),
        )


def _near_white(roles: Roles, settings: Settings) -> Iterator[Saving]:
    """Only where the white has a screen anyhow."""
    listed = {ink.hex for ink in settings.inks}
    for ink in roles.colours if settings.white_under_colours or roles.white_art else ():
        apart = difference_of(ink.hex, WHITE_HEX)
        if apart <= NEAR_WHITE_DIFFERENCE:
            instead = f" in place of {ink.hex}" if ink.hex in listed else ""
            cost = (
                f"it turns plain white, {apart:.1f} away (CIEDE2000): list {WHITE_HEX} in [[inks]]{instead} and set "
                f"colour.merge_inks to {merging(apart):g}, which joins all inks that near to each other"
            )
            changes = frozenset({ink.name, WHITE_NAME})
            called = f"{ink.name} {ink.hex}" if ink.name == WHITE_NAME else ink.name
            yield Saving(f"print {called} with the white", 1, cost, taken=False, changes=changes)


def _cloth_as_ink(roles: Roles, settings: Settings) -> Iterator[Saving]:
    for ink in (*roles.colours, *roles.highlights):
        apart = difference_of(ink.hex, settings.garment_hex)
        if apart <= GARMENT_DIFFERENCE:
            bare = f"{format_mm2(ink.area.area)} show bare cloth"
            cost = f"{bare}, {apart:.1f} from the ink (CIEDE2000): set garment.knock_out"
            changes = frozenset({ink.name})
            yield Saving(f"leave {ink.name} to the garment", 1, cost, taken=False, changes=changes)


def _highlight(roles: Roles, settings: Settings) -> Iterator[Saving]:
    """Only where the white has a screen anyhow."""
    if roles.highlights and roles.colours and settings.white_under_colours:
        yield Saving(
            "print the white art with the white under the colours",
            1,
            "white art is one layer of white instead of two, and less bright: by how much only a test print tells",
            taken=False,
            key="white.highlight = false",
            changes=frozenset({WHITE_NAME, *(ink.name for ink in roles.highlights)}),
        )


def _no_white(roles: Roles, settings: Settings) -> Iterator[Saving]:
    if settings.blocker != "grey" or not roles.colours:
        return
    screens = 0 if roles.white_art else 1
    kept = "; white art still needs its screen, so only ink is saved" if roles.white_art else ""
    cost = (
        f"all colours turn darker and duller on grey, by how much only a test print tells{kept}; it is enough for a "
        "garment whose risk of bleeding is low, and for no other"
    )
    yield Saving(
        "print colours on the grey itself, without white",
        screens,
        cost,
        taken=not settings.white_under_colours,
        key="white.under_colours = false",
        changes=frozenset({WHITE_NAME, settings.blocker_name}),
        weakens=True,
    )
