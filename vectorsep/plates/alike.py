"""Inks that hardly differ: pairs of them, how few screens merging leaves, and what is told of both."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from vectorsep.colour import JUST_SEEN, difference_of, hosts_of_alike, merging
from vectorsep.errors import SettingsError
from vectorsep.geometry.region import EMPTY, inner_point
from vectorsep.model import InkArea, Notice
from vectorsep.plates.roles import Roles, assign_roles
from vectorsep.settings import Settings

OFFERED_DIFFERENCE = 5.0
"""Inks closer than this (CIEDE2000) are offered as one: told apart side by side, hardly at a distance (memory)."""
MANY_SCREENS = 3
"""So many screens saved at once are told in one line, and not pair by pair."""


@dataclass(frozen=True, slots=True)
class AlikePair:
    """Two inks, how far apart they are (CIEDE2000), and what to write into the job to make them one."""

    ink: InkArea
    other: InkArea
    apart: float
    key: str | None
    """None where the job lists both: two inks of the job stay two."""


def pairs_alike(roles: Roles, settings: Settings, within: float) -> Iterator[AlikePair]:
    """All pairs of coloured inks no farther apart, the black that the blocker prints among them."""
    listed = {ink.hex for ink in settings.inks}
    for ink, other in combinations((*roles.colours, *roles.on_blocker), 2):
        apart = difference_of(ink.hex, other.hex)
        if apart <= within:
            key = None if {ink.hex, other.hex} <= listed else f"colour.merge_inks = {merging(apart):g}"
            yield AlikePair(ink, other, apart, key)


def screens_of(roles: Roles, settings: Settings) -> int:
    """How many screens the roles take, the blocker's among them."""
    has_white = bool(roles.carried if settings.white_under_colours else roles.white_art)
    return 1 + has_white + len(roles.trapping)


def screens_when_merged(roles: Roles, settings: Settings, within: float) -> int:
    """How many screens would be left, were inks no farther apart (CIEDE2000) one. Raises SettingsError where an ink
    that the job names, as its black or in its order, would be gone."""
    inks = {ink.hex: ink for ink in (*roles.carried, *roles.on_blocker)}
    areas_mm2 = {hex_: ink.area.area for hex_, ink in inks.items()}
    hosts = hosts_of_alike(areas_mm2, [ink.hex for ink in settings.inks], within)
    left = tuple(inks.get(host, InkArea(host, host, EMPTY)) for host in dict.fromkeys(hosts.values()))
    return screens_of(assign_roles(left, settings), settings)


def alike_notices(roles: Roles, settings: Settings) -> Iterator[Notice]:
    """Screens for what nobody will see as two inks: a slip in the art, or many shades, which one line tells."""
    many = _many_shades(roles, settings)
    if many is not None:
        yield many
        return
    for pair in pairs_alike(roles, settings, JUST_SEEN):
        if pair.key is not None:
            ink, other = pair.ink, pair.other
            message = (
                f"{ink.name} {ink.hex} and {other.name} {other.hex} differ by {pair.apart:.1f} (CIEDE2000), which "
                f"hardly shows, and print apart: {pair.key} makes them one"
            )
            yield Notice("inks-alike", message, "warning", ink.name, inner_point(ink.area))


def _many_shades(roles: Roles, settings: Settings) -> Notice | None:
    now = fewest = screens_of(roles, settings)
    ways = []
    for within, seen in ((JUST_SEEN, "which hardly shows"), (OFFERED_DIFFERENCE, "which shows side by side")):
        try:
            screens = screens_when_merged(roles, settings, within)
        except SettingsError:
            continue
        if screens < fewest:
            fewest = screens
            ways.append(f"--merge-inks {within:g} (CIEDE2000), {seen}, would make them {screens}")
    if now - fewest < MANY_SCREENS:
        return None
    return Notice("many-shades", f"{now} screens, many of them for shades that are alike: {'; '.join(ways)}", "warning")
