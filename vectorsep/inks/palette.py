"""Ink names: what the job calls them, else what their colour is called."""

from __future__ import annotations

from collections.abc import Sequence

from vectorsep.inks.naming import colour_name
from vectorsep.model import Notice
from vectorsep.settings import InkSetting


def name_inks(hexes: Sequence[str], ink_settings: Sequence[InkSetting]) -> tuple[dict[str, str], tuple[Notice, ...]]:
    """Give each colour of the art a name of its own; notices tell of job entries that match no colour."""
    given = {ink.hex: ink.name for ink in ink_settings if ink.name}
    names = {hex_: given[hex_] for hex_ in hexes if hex_ in given}
    for hex_ in hexes:
        if hex_ not in names:
            names[hex_] = _free_name(colour_name(hex_), {*names.values(), *given.values()})
    notices = tuple(
        Notice(
            "ink-not-in-art",
            f"the job lists {ink.name or 'an ink'} as {ink.hex}, but the art has no such colour",
        )
        for ink in ink_settings
        if ink.hex not in hexes
    )
    return names, notices


def _free_name(wanted: str, taken: set[str]) -> str:
    name, count = wanted, 1
    while name in taken:
        count += 1
        name = f"{wanted} {count}"
    return name
