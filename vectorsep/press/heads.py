"""Heads of a carousel: one a screen, one a flash after each layer, one to cool down after each flash.

That each layer is flashed before the next is common practice; so is the empty station for cooling.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.model import Plate, Saving
from vectorsep.press_model import PressPlan, Remedy, Station
from vectorsep.press_settings import PressSetting


def plan_heads(plates: Sequence[Plate], savings: Sequence[Saving], press: PressSetting) -> PressPlan:
    """Put the plates, in print order, on heads; where the press has too few, say what would make them fit."""
    stations = tuple(_stations(plates, cooldown=press.cooldown, last_flash=press.last_flash))
    too_few = press.heads is not None and len(stations) > press.heads
    remedies = (*_station_remedies(len(plates), press), *_screen_remedies(plates, savings, press))
    return PressPlan(stations, press.heads, remedies if too_few else ())


def _stations(plates: Sequence[Plate], *, cooldown: bool, last_flash: bool) -> Iterator[Station]:
    for i, plate in enumerate(plates):
        yield Station("screen", plate)
        if i == len(plates) - 1 and not last_flash:
            return
        yield Station("flash", plate)
        if cooldown and i < len(plates) - 1:
            yield Station("cool-down", plate)


def _station_remedies(screens: int, press: PressSetting) -> Iterator[Remedy]:
    """Steps that leave the screens alone."""
    if press.last_flash:
        heads = count_heads(screens, cooldown=press.cooldown, last_flash=False)
        yield Remedy("do not flash the last layer", heads, "the dryer must take the last layer wet")
    if press.cooldown:
        heads = count_heads(screens, cooldown=False, last_flash=press.last_flash)
        yield Remedy("no cool-down stations", heads, "pause after each flash: a hot print sticks to the next screen")
    if press.last_flash and press.cooldown:
        heads = count_heads(screens, cooldown=False, last_flash=False)
        yield Remedy("neither cool-downs nor a last flash", heads, "both of the above")


def _screen_remedies(plates: Sequence[Plate], savings: Sequence[Saving], press: PressSetting) -> Iterator[Remedy]:
    """Steps that take screens away, and the print in two rounds: the base by itself, then the colours."""

    def heads(count: int) -> int:
        return count_heads(count, cooldown=press.cooldown, last_flash=press.last_flash)

    screens, base = len(plates), [plate.role for plate in plates if plate.role != "colour"]
    for saving in savings:
        if not saving.taken and 0 < saving.screens < screens:
            yield Remedy(saving.step, heads(screens - saving.screens), saving.cost)
    if 0 < len(base) < screens:
        yield Remedy(
            f"two rounds: {' and '.join(base)}, then the colours",
            max(heads(len(base)), heads(screens - len(base))),
            "screens change between the rounds; garments stay on their platens, or register is lost",
        )


def count_heads(screens: int, *, cooldown: bool, last_flash: bool) -> int:
    """Heads for a number of screens: screens, flashes, and cool-downs between them."""
    flashes = screens if last_flash else screens - 1
    return screens + flashes + (screens - 1 if cooldown else 0)
