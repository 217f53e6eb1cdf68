"""Ink names: what the job calls them, else what their colour is called."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from vectorsep.colour import difference_of
from vectorsep.inks.comparing import comparatives
from vectorsep.inks.naming import colour_name
from vectorsep.model import Notice
from vectorsep.settings import InkSetting


def name_inks(hexes: Sequence[str], ink_settings: Sequence[InkSetting]) -> dict[str, str]:
    """Give each colour a name of its own: the job's, else one for the colour, with what it is beside others that go by
    the same; where no word tells them apart, a number."""
    given = {ink.hex: ink.name for ink in ink_settings if ink.name}
    names = {hex_: given[hex_] for hex_ in hexes if hex_ in given}
    for hex_, name in _told_apart([hex_ for hex_ in hexes if hex_ not in names]).items():
        names[hex_] = _free_name(name, {*names.values(), *given.values()})
    return names


def _told_apart(hexes: Sequence[str]) -> dict[str, str]:
    """What each colour is called, in their order; several may still have one name. No lighter yellow stands beside a
    light one, which on the press is taken for it."""
    plain = {hex_: colour_name(hex_) for hex_ in hexes}
    names, told = set(plain.values()), dict(plain)
    for name in names:
        alike = [hex_ for hex_ in hexes if plain[hex_] == name]
        for hex_, word in zip(alike, comparatives(alike) or (), strict=False):
            if f"{word.removesuffix('er')} {name}" not in names:
                told[hex_] = f"{word} {name}".lstrip()
    return told


def unmatched_inks(art_hexes: Collection[str], ink_settings: Sequence[InkSetting]) -> Iterator[Notice]:
    """A warning for each entry of the job that matches no colour of the art: a misspelt one loses its name and mesh.

    `art_hexes`, not empty, are the art's colours as drawn, and those they print as: an ink of the job may take in what
    only looks like it.
    """
    for i, ink in enumerate(ink_settings):
        if ink.hex not in art_hexes:
            nearest = min(art_hexes, key=lambda hex_: difference_of(hex_, ink.hex))
            yield Notice(
                "ink-not-in-art",
                f"the job lists {ink.name or 'an ink'} as {ink.hex}, but the art has no such colour, and so neither "
                f"its name nor its mesh is used; the nearest in the art is {nearest}: mend or remove inks[{i}].hex",
                "warning",
            )


def _free_name(wanted: str, taken: set[str]) -> str:
    name, count = wanted, 1
    while name in taken:
        count += 1
        name = f"{wanted} {count}"
    return name
