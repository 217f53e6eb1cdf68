"""The page that all films of a set share: the design's page, room for ink around it, marks and lettering outside."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from heapq import merge

from vectorsep.errors import SettingsError
from vectorsep.films.labels import labels_of
from vectorsep.films.places import Labels, lay_out_labels
from vectorsep.films.set_code import set_code
from vectorsep.model import Design, Plate, Sheet
from vectorsep.settings import Settings
from vectorsep.units import format_mm

INK_ROOM_MM = 3.0
"""Quiet space between the farthest ink and the nearest mark, so that nobody tapes over either."""
MARK_BAND_MM = 16.0
"""Least width of the band along every side that holds the registration marks and the labels."""
GROWTH_MM = 4.0
"""By this a margin grows at a time: one row of lettering, or nearly two letters."""
MOST_GROWTHS = 40
"""A margin grows so many times at most: twice what thirty names of 30 letters need on a design of 12 mm."""
FIT_TOLERANCE_MM = 0.001
"""A film that misses the needed size by less fits: sizes come through inches and points."""


def lay_out_sheet(design: Design, plates: Sequence[Plate], settings: Settings) -> Sheet:
    """Choose the page of the films (mm): art ends at its page, ink spreads, and marks and labels have room around it.

    The job may ask for a film size, with the art in its middle, or for wider margins. Where it leaves a side open, the
    margins grow until the labels of all plates stand there whole, to the smallest film that holds them. Raises
    SettingsError when art, ink, marks and labels do not fit.
    """
    ink_margin_mm = float(math.ceil(settings.spread_mm + INK_ROOM_MM))
    film = settings.film
    least_mm = max(ink_margin_mm + MARK_BAND_MM, film.margin_mm or 0.0)
    least = Sheet(design.width_mm, design.height_mm, ink_margin_mm, least_mm, least_mm, mirrored=film.mirror)
    asked = replace(
        least,
        margin_x_mm=_margin(design.width_mm, film.width_mm, least_mm),
        margin_y_mm=_margin(design.height_mm, film.height_mm, least_mm),
    )
    _refuse_too_small(asked, least)
    asked = replace(asked, set_code=set_code(plates, labels_of(plates, settings, "", asked).plates, asked))
    labels = labels_of(plates, settings, "", asked)
    sheet = _grown(asked, labels, across=film.width_mm is None, down=film.height_mm is None)
    if sheet is None:
        raise SettingsError([_no_room(_grown(least, labels, across=True, down=True))])
    return sheet


def _margin(page_mm: float, film_mm: float | None, least_mm: float) -> float:
    return least_mm if film_mm is None else round((film_mm - page_mm) / 2, 4)


def _grown(sheet: Sheet, labels: Labels, *, across: bool, down: bool) -> Sheet | None:
    """The smallest film, of margins no narrower, that holds the labels; None where none of a sensible size does."""
    x_most, y_most = (MOST_GROWTHS if grows else 0 for grows in (across, down))
    if not lay_out_labels(_wider(sheet, x_most, y_most), labels):  # what the largest does not hold, none does
        return None
    of_each_width = [_taller(_wider(sheet, x, 0), y_most) for x in range(x_most + 1)]
    smallest_first = merge(*of_each_width, key=lambda film: film.width_mm * film.height_mm)
    return next(film for film in smallest_first if lay_out_labels(film, labels))


def _taller(sheet: Sheet, y_most: int) -> Iterator[Sheet]:
    """Sheets of one width, the lowest first."""
    return (_wider(sheet, 0, y) for y in range(y_most + 1))


def _wider(sheet: Sheet, x_growths: int, y_growths: int) -> Sheet:
    return replace(
        sheet,
        margin_x_mm=sheet.margin_x_mm + x_growths * GROWTH_MM,
        margin_y_mm=sheet.margin_y_mm + y_growths * GROWTH_MM,
    )


def _refuse_too_small(asked: Sheet, least: Sheet) -> None:
    sides = {
        "width": (asked.margin_x_mm, least.margin_x_mm, least.width_mm),
        "height": (asked.margin_y_mm, least.margin_y_mm, least.height_mm),
    }
    problems = [
        f"the film is too small: art, ink and marks need {format_mm(needed_mm)}; "
        f"take a larger film or print the art smaller @ film.{side}"
        for side, (margin_mm, least_mm, needed_mm) in sides.items()
        if margin_mm < least_mm - FIT_TOLERANCE_MM
    ]
    if problems:
        raise SettingsError(problems)


def _no_room(needed: Sheet | None) -> str:
    if needed is None:
        return "no film holds the inks' names: give them names of a few words @ inks"
    return (
        "the film is too small to say which ink each is: with the names of all inks in full it needs "
        f"{format_mm(needed.width_mm)} × {format_mm(needed.height_mm)}, width × height; take a larger film, leave one "
        "of its sides open, or give the inks shorter names @ film"
    )
