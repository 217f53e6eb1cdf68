"""The page that all films of a set share: the design's page, room for ink around it, marks outside that."""

from __future__ import annotations

import math

from vectorsep.errors import SettingsError
from vectorsep.model import Design, Sheet
from vectorsep.settings import Settings
from vectorsep.units import format_mm

INK_ROOM_MM = 3.0
"""Quiet space between the farthest ink and the nearest mark, so that nobody tapes over either."""
MARK_BAND_MM = 16.0
"""Width of the band along every side that holds the registration marks and the label."""

FIT_TOLERANCE_MM = 0.001
"""A film that misses the needed size by less fits: sizes come through inches and points."""


def lay_out_sheet(design: Design, settings: Settings) -> Sheet:
    """Choose the page of the films (mm) so that the ink of every plate has room: art ends at its page, ink spreads.

    The job may ask for a film size, with the art in its middle, or for wider margins. Raises SettingsError when
    the art with its ink and marks does not fit.
    """
    ink_margin_mm = float(math.ceil(settings.spread_mm + INK_ROOM_MM))
    film = settings.film
    least_mm = max(ink_margin_mm + MARK_BAND_MM, film.margin_mm or 0.0)
    margins = {
        "width": _margin(design.width_mm, film.width_mm, least_mm),
        "height": _margin(design.height_mm, film.height_mm, least_mm),
    }
    problems = [
        f"the film is too small: art, ink and marks need {format_mm(size_mm + 2 * least_mm)}; "
        f"take a larger film or print the art smaller @ film.{side}"
        for (side, margin_mm), size_mm in zip(margins.items(), (design.width_mm, design.height_mm), strict=True)
        if margin_mm < least_mm - FIT_TOLERANCE_MM
    ]
    if problems:
        raise SettingsError(problems)
    return Sheet(
        design.width_mm, design.height_mm, ink_margin_mm, margins["width"], margins["height"], mirrored=film.mirror
    )


def _margin(page_mm: float, film_mm: float | None, least_mm: float) -> float:
    return least_mm if film_mm is None else round((film_mm - page_mm) / 2, 4)
