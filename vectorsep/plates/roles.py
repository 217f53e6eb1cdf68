"""Which ink of the design is its white and which its black: by the job, else by lightness and chroma."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from vectorsep.colour import JUST_SEEN, difference_of, is_plain_white, lab_of
from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import covered
from vectorsep.geometry.region import EMPTY
from vectorsep.model import InkArea, Region
from vectorsep.settings import Settings

WHITE_HEX = "#ffffff"
"""The white ink's colour."""
WHITE_NAME = "white"
"""What its plate is called."""
BLACK_LIGHTNESS = 22.0
"""An ink at most this light (CIELAB L*; this and the next from memory of mixed inks, no source) ..."""
BLACK_CHROMA = 12.0
"""... and no more coloured than this can pass for the design's black; deep navies and browns cannot."""


@dataclass(frozen=True, slots=True)
class Roles:
    """Who prints what: the black that the blocker prints, the white art on the white plate, the colours in
    print order, and white art that gets a last screen of its own, first what names it."""

    black: InkArea | None
    white_art: tuple[InkArea, ...]
    colours: tuple[InkArea, ...]
    highlights: tuple[InkArea, ...]
    overprinted: Region = EMPTY
    """Specks of the black that the inks around them print instead; they are in those inks' areas, not in the black's.
    """
    shared_name: str = WHITE_NAME
    """What the highlight's white is called where white and off-white share its screen."""

    @property
    def on_blocker(self) -> tuple[InkArea, ...]:
        """What the blocker prints of the design: its black, or nothing."""
        return (self.black,) if self.black else ()

    @property
    def exposed_black(self) -> Region:
        """The area of the black that the blocker prints; empty without the merge."""
        return self.black.area if self.black else EMPTY

    @property
    def carried(self) -> tuple[InkArea, ...]:
        """All inks that print above the blocker."""
        return (*self.white_art, *self.highlights, *self.colours)

    @property
    def upper_areas(self) -> tuple[Region, ...]:
        """What each of them covers of the print."""
        return tuple(ink.area for ink in self.carried)

    @property
    def highlight(self) -> InkArea | None:
        """What the highlight's screen prints: white and off-white alike, with one white."""
        if len(self.highlights) < 2:
            return next(iter(self.highlights), None)
        return InkArea(self.shared_name, self.highlights[0].hex, covered(tuple(ink.area for ink in self.highlights)))

    @property
    def trapping(self) -> tuple[InkArea, ...]:
        """All that has an edge to hide and a plate of its own, in print order, the highlight last."""
        return (*self.colours, self.highlight) if self.highlight else self.colours

    def plate_of(self, ink: InkArea) -> str:
        """What the plate is called that prints an ink above the blocker."""
        if any(ink is white for white in self.white_art):
            return WHITE_NAME
        if any(ink.hex == white.hex for white in self.highlights):
            return f"highlight {self.shared_name if self.highlights[1:] else ink.name}"
        return ink.name

    def told(self, ink: InkArea) -> str:
        """An ink's name; with its colour where its plate has another, which nobody would look for."""
        return ink.name if ink.name == self.plate_of(ink) else f"{ink.name} {ink.hex}"


def assign_roles(inks: Sequence[InkArea], settings: Settings) -> Roles:
    """Decide which plate prints each ink of a design. Raises SettingsError with every name of the job that fits none:
    of the blocker's black, and in the order one that is no colour with a plate of its own."""
    black, problems = _find_black(inks, settings) if settings.merge_black else (None, [])
    others = [ink for ink in inks if ink is not black]
    mixed = {ink.hex for ink in settings.inks if difference_of(ink.hex, WHITE_HEX) > JUST_SEEN}
    white_hexes = {ink.hex for ink in others if is_plain_white(ink.hex)} - mixed
    whites = tuple(ink for ink in others if ink.hex in white_hexes)
    colours = [ink for ink in others if ink.hex not in white_hexes]
    places = [_place_of(colour, settings.print_order) for colour in colours]
    problems += _order_problems(colours, places, settings.print_order)
    if problems:
        raise SettingsError(problems)
    ordered = _in_order(colours, places)
    if settings.highlight_white:
        called = {ink.hex for ink in settings.inks}
        whites = tuple(sorted(whites, key=lambda ink: (ink.hex not in called, difference_of(ink.hex, WHITE_HEX))))
        names = [ink.name for ink in whites if ink.hex in called]
        return Roles(black, (), ordered, whites, shared_name=names[0] if names else WHITE_NAME)
    return Roles(black, whites, ordered, ())


def _order_problems(colours: Sequence[InkArea], places: Sequence[int | None], last: Sequence[str]) -> Iterator[str]:
    known = ", ".join(f"{ink.name} {ink.hex}" for ink in colours) or "none"
    for i, name in enumerate(last):
        if i not in places:
            message = f"is no colour with a plate of its own, or listed before; the art has {known}"
            yield f"{name!r} {message} @ colour.order[{i}]"


def _in_order(colours: Sequence[InkArea], places: Sequence[int | None]) -> tuple[InkArea, ...]:
    """The colours light to dark, but for those that the job lets print after all others, by their places there."""
    placed = sorted((place, i) for i, place in enumerate(places) if place is not None)
    others = light_to_dark([colour for colour, place in zip(colours, places, strict=True) if place is None])
    return (*others, *(colours[i] for _, i in placed))


def _place_of(colour: InkArea, last: Sequence[str]) -> int | None:
    return next((i for i, name in enumerate(last) if _is_called(colour, name)), None)


def _is_called(ink: InkArea, wanted: str) -> bool:
    return wanted == ink.name or wanted.lower() == ink.hex


def light_to_dark(inks: Sequence[InkArea]) -> list[InkArea]:
    """Print order of the colours: by CIELAB lightness, lightest first; by name where equal."""
    return sorted(inks, key=lambda ink: (-lab_of(ink.hex).lightness, ink.name))


def is_black(ink: InkArea) -> bool:
    """Whether the art shows this ink as black."""
    lab = lab_of(ink.hex)
    return lab.lightness <= BLACK_LIGHTNESS and lab.chroma <= BLACK_CHROMA


def _find_black(inks: Sequence[InkArea], settings: Settings) -> tuple[InkArea | None, list[str]]:
    """The ink that the blocker black shall print, or None where the job names none and nothing in the art is black; and
    what is wrong with the name that the job gives."""
    wanted = settings.design_black
    if wanted is None:
        return min(filter(is_black, inks), key=lambda ink: lab_of(ink.hex).lightness, default=None), []
    black = next((ink for ink in inks if _is_called(ink, wanted)), None)
    known = ", ".join(f"{ink.name} {ink.hex}" for ink in inks)
    return black, [] if black else [f"no ink is called {wanted!r}; the art has {known} @ blocker.design_black"]
