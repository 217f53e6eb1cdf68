"""What the shop says of its films, its press and the garment's dye: the parts of the settings that no plate needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from vectorsep.units import MM_PER_INCH

Fibre: TypeAlias = Literal["polyester", "blend", "cotton", "unknown"]
Dyeing: TypeAlias = Literal["solid", "low-energy", "cationic", "sublimated", "undyed", "unknown"]

MAX_FILM_MM = 2500.0
"""Wider than the widest film recorder (from memory); a larger film is a slip of the unit."""
PLATEN_WIDTH_MM, PLATEN_HEIGHT_MM = 16 * MM_PER_INCH, 21 * MM_PER_INCH
"""The largest of the usual boards for shirts, its neck included (supplier's article "What to know about screen printing
platens", on general norms of the trade). Wider ones are made for presses that print all over."""
MAX_PLATEN_MM = 2000.0
"""No garment platen is larger (from memory); more is a slip of the unit."""
MAX_HEADS = 30
"""No carousel of the trade has more print arms (from memory)."""
MAX_RUN = 1_000_000
"""Prints of one set-up; more is a slip."""
GRADES = tuple(half / 2 for half in range(2, 11))
"""Grades of the grey scale for staining, 1 to 5 in half steps (ISO 105-A03)."""


@dataclass(frozen=True, slots=True)
class FilmSetting:
    """The films' page. Left out, it is as large as the art, its ink and its marks need."""

    width_mm: float | None = None
    height_mm: float | None = None
    margin_mm: float | None = None
    """Least distance from the design's page to the film's edge."""
    mirror: bool = False


@dataclass(frozen=True, slots=True)
class PressSetting:
    """The press and the run."""

    heads: int | None = None
    """Stations that a screen, a flash or a cool-down can stand at, the loading station not counted."""
    cooldown: bool = True
    """Whether a station after each flash stays empty, for the print to cool before the next screen."""
    flash_colours: bool = True
    """Whether each colour is flashed. Blocker and white always are; many shops print colours wet on wet (common
    practice, no source). Before a highlight white they are flashed all the same, where the press has a head for it."""
    last_flash: bool = True
    """Whether the last colour is flashed too. Common practice flashes every layer; a dryer follows the last."""
    run: int | None = None
    platen_width_mm: float = PLATEN_WIDTH_MM
    """Of the largest platen that the shop has."""
    platen_height_mm: float = PLATEN_HEIGHT_MM
    """The same, from its neck to its end."""
    transfer: float = 0.6
    """Share of the mesh's theoretical ink volume that ends on the cloth: from memory, between 0.4 and 0.8."""
    spoilage: float = 0.1
    """Ink mixed beyond what is printed, for test prints and what stays in the screen (common practice)."""


@dataclass(frozen=True, slots=True)
class GarmentSetting:
    """What is known of the cloth's dye. What is not known counts as the worst."""

    fibre: Fibre = "unknown"
    dyeing: Dyeing = "unknown"
    grade: float | None = None
    """Of the bench test, on the grey scale for staining: 5 no stain, 1 the heaviest."""


def press_problems(film: FilmSetting, press: PressSetting, garment: GarmentSetting) -> Iterator[str]:
    """Every value that is out of range, as `message @ section.key`."""
    sizes = {"film.width": film.width_mm, "film.height": film.height_mm, "film.margin": film.margin_mm}
    for key, size_mm in sizes.items():
        if size_mm is not None and not 0 < size_mm <= MAX_FILM_MM:
            yield f"{size_mm:g} mm is out of range: give up to {MAX_FILM_MM:g} mm @ {key}"
    yield from _press_problems(press)
    words = {"fibre": (garment.fibre, get_args(Fibre)), "dyeing": (garment.dyeing, get_args(Dyeing))}
    for key, (word, known) in words.items():
        if word not in known:
            yield f"{word!r} is not known: say {', '.join(known)} @ garment.{key}"
    if garment.grade is not None and garment.grade not in GRADES:
        yield f"{garment.grade:g} is no grade: the grey scale goes from 1 to 5 in half steps @ garment.grade"


def _press_problems(press: PressSetting) -> Iterator[str]:
    platen = {"press.platen_width": press.platen_width_mm, "press.platen_height": press.platen_height_mm}
    for key, size_mm in platen.items():
        if not 0 < size_mm <= MAX_PLATEN_MM:
            yield f"{size_mm:g} mm is no platen: give up to {MAX_PLATEN_MM:g} mm @ {key}"
    if press.heads is not None and not 1 <= press.heads <= MAX_HEADS:
        yield f"{press.heads} is out of range: give 1 to {MAX_HEADS} @ press.heads"
    if press.run is not None and not 1 <= press.run <= MAX_RUN:
        yield f"{press.run} is out of range: give 1 to {MAX_RUN} prints @ press.run"
    if not 0 < press.transfer <= 1:
        yield f"{press.transfer:g} is no share: give more than 0 and at most 1 @ press.transfer"
    if not 0 <= press.spoilage <= 1:
        yield f"{press.spoilage:g} is no share: give 0 to 1 @ press.spoilage"
