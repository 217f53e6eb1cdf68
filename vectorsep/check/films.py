"""The films of a set together: what each carries, whether they register, and whether their stack is safe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from vectorsep.check.edits import FILM_EDITED, FILM_MOVED, edit_findings
from vectorsep.check.marks import margin_findings, marks_findings
from vectorsep.check.order import EMPTY_PLATE
from vectorsep.check.poses import PosedFilm, pose_findings
from vectorsep.check.readback import FilmAreas, film_areas, plate_of_film
from vectorsep.check.righted import Righted, put_right
from vectorsep.check.stack import measure_stack
from vectorsep.check.viewer import reading_findings, viewer_findings
from vectorsep.errors import ArtworkError
from vectorsep.geometry.curves import READING_ERROR_MM
from vectorsep.model import Artwork, Check, Film, Finding, InkMeasure, Plate, Region, Sheet
from vectorsep.settings import Settings

WORST_TOLD = 3
"""Things told of a film that cannot be read; the rest are counted."""


@dataclass(frozen=True, slots=True)
class FilmReading:
    """One film, read back, in the design's coordinates."""

    plate: Plate
    """What the film really carries in and near the ink zone: of one that lies otherwise by more than the press may be
    off, put right."""
    margin: Region | None
    """What it draws outside that, marks above all; None of a film that cannot be read."""
    findings: tuple[Finding, ...]
    """What is wrong with the film as such, beside how it lies."""
    posed: PosedFilm | None = None
    """How it lies; None where it lies as it was made. What was edited besides is told of it put right."""

    @property
    def was_changed(self) -> bool:
        """Whether its ink lies otherwise than it was made, beyond rounding."""
        moved = (finding for finding in self.findings if finding.code in (FILM_EDITED, FILM_MOVED))
        return self.posed is not None or any(finding.severity != "note" for finding in moved)

    @property
    def was_read(self) -> bool:
        """Whether anything is known of the film."""
        return self.margin is not None


def read_back(film: Film, artwork: Artwork, sheet: Sheet) -> FilmReading:
    """The reading of a film as made, from its file's bytes and from the artwork that they were read as."""
    return _reading(film, film_areas(artwork, sheet))


def _reading(film: Film, areas: FilmAreas) -> FilmReading:
    meant = film.plate
    plate, findings = plate_of_film(areas, meant.role, meant.ink, meant.hex)
    doubts = (*viewer_findings(film.svg, meant.ink), *reading_findings(areas.artwork, meant.ink))
    return FilmReading(plate, areas.margin(), (*doubts, *findings))


def read_edited(
    film: Film, artwork: Artwork, sheet: Sheet, bare: Artwork, made: InkMeasure | None, settings: Settings
) -> FilmReading:
    """The reading of a film that may have been edited, and what its edits did to it.

    `bare` is the film as it was made, without its ink; `made`, what its ink measured, None where that is not known.
    """
    righted = Righted(artwork) if made is None else put_right(artwork, bare, sheet, made)
    areas = film_areas(righted.artwork, sheet)
    reading = _reading(film, areas)
    meant = film_areas(bare, sheet).margin()
    margin = margin_findings(areas.lines_in_margin(), meant, film.plate.ink, sheet)
    edits = edit_findings(reading.plate, made, settings.registration_mm, is_righted=righted.pose is not None)
    reading = replace(reading, findings=(*reading.findings, *margin, *edits))
    if made is None or righted.pose is None:
        return reading
    move_mm = righted.pose.farthest_move_mm(made.bounds_mm)
    posed = PosedFilm(film.plate.ink, righted.pose, move_mm, righted.spots)
    if posed.is_within(settings.registration_mm):  # it may be burnt so, and what it keeps of its distances counts
        as_it_lies = read_back(film, artwork, sheet).plate
        reading = replace(reading, plate=as_it_lies)
    return replace(reading, posed=posed)


def unreadable(film: Film, error: ArtworkError) -> FilmReading:
    """The reading of a film that is refused: an empty plate, which is never safe, and one finding that says why."""
    message = f"{film.file} cannot be read back, so it was not checked: {_why(error)}"
    finding = Finding("film-unreadable", "unsafe", film.plate.ink, message)
    return FilmReading(film.plate.emptied(), None, (finding,))


def _why(error: ArtworkError) -> str:
    """What of a film is refused, with the ways out that a film has: no job leaves anything out of it."""
    if not error.offences:
        return " ".join(error.summary.split())
    first = [f"{offence.place}: {offence.reason}" for offence in error.offences[:WORST_TOLD]]
    others = len(error.offences) - len(first)
    more = f"; and {others} more" if others else ""
    them = "it" if len(error.offences) == 1 else "them"
    return f"{'; '.join(first)}{more}; mend {them} in the film, or delete {them}"


def measure_films(readings: Sequence[FilmReading], sheet: Sheet, settings: Settings) -> Check:
    """Measure the stack that the films carry, in print order, and add what is wrong with the films."""
    check = measure_stack(
        [reading.plate for reading in readings],
        settings,
        page_centre_mm=(sheet.design_width_mm / 2, sheet.design_height_mm / 2),
        reading_error_mm=READING_ERROR_MM,
        edited=any(reading.was_changed for reading in readings),
    )
    posed = [reading.posed for reading in readings if reading.posed is not None]
    poses = pose_findings(posed, len(readings), sheet, settings.registration_mm)
    of_films = (finding for reading in readings for finding in reading.findings)
    margins = [(reading.plate.ink, reading.margin) for reading in readings if reading.margin is not None]
    unknown = {reading.plate.ink for reading in readings if not reading.was_read}
    of_stack = (
        finding for finding in check.findings if not (finding.code == EMPTY_PLATE and finding.plate in unknown)
    )  # what such a film carries is not known, so it is not said to carry nothing
    return replace(check, findings=(*poses, *of_films, *marks_findings(margins, sheet), *of_stack))
