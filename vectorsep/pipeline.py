"""The main job, start to end: one SVG in, a checked set of plates and its papers out. No I/O, no geometry."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from vectorsep.artwork import read_artwork
from vectorsep.check import FilmReading, measure_films, read_back, read_edited, unreadable
from vectorsep.errors import ArtworkError
from vectorsep.films import REPORT, label_notices, lay_out_sheet, write_films, write_manifest, write_papers
from vectorsep.inks import separate_inks
from vectorsep.model import Check, Film, MadeFilm, Sheet
from vectorsep.plates import make_stack
from vectorsep.press import plan_press, stack_findings
from vectorsep.remember import forget
from vectorsep.separation import Separation
from vectorsep.settings import ReadOptions, Settings

READING, INKS, PLATES, FILMS, CHECK, PAPERS = STAGES = (
    "read the artwork",
    "separate the inks",
    "make the plates",
    "write the films",
    "check the films",
    "report",
)
AS_FILM = ReadOptions(as_film=True)


def separate(
    svg: bytes, settings: Settings, job_name: str, on_stage: Callable[[str], object] = lambda stage: None
) -> tuple[Separation, dict[str, bytes]]:
    """Separate one design; returns the finished job and the files of its folder, name to content.

    `on_stage` is told the name of each stage, of STAGES, as it starts. Raises ArtworkError and SettingsError.
    """
    on_stage(READING)
    artwork = read_artwork(svg, settings.art)  # refuses what flat ink cannot hold, before any geometry
    on_stage(INKS)
    design = separate_inks(artwork, settings)  # painter's order resolved: disjoint areas, exact shared edges
    del artwork  # dense art is larger than all that is made of it
    on_stage(PLATES)
    stack = make_stack(design, settings)  # every upper plate cut to where it cannot reach cloth
    forget()  # a whole job makes its plates once
    on_stage(FILMS)
    sheet = lay_out_sheet(design, stack.plates, settings)  # one page for all films, marks outside the ink
    films = write_films(stack, sheet, settings, job_name)
    stack = replace(stack, notices=(*stack.notices, *label_notices(stack.plates, job_name)))
    on_stage(CHECK)
    check = check_films(films, sheet, settings)  # of the bytes that will be burnt, not of the plates as meant
    on_stage(PAPERS)
    press = plan_press(stack, settings)  # heads, ink, and how likely this garment is to bleed
    check = replace(check, findings=(*check.findings, *press.findings))
    job = Separation(job_name, design, settings, stack, sheet, films, check, press)
    files = {film.file: film.svg for film in films} | write_papers(job)
    return job, files | {REPORT: write_manifest(job, files)}  # last: it lists all the others


def check_films(
    films: Iterable[Film], sheet: Sheet, settings: Settings, edited: Mapping[str, MadeFilm] = MappingProxyType({})
) -> Check:
    """Read films back, measure the stack that they carry, judge whether it is enough for the garment; what cannot be
    read is never called safe. `edited` tells, by file, how films were made that were edited since."""
    readings = [_read_back(film, sheet, settings, edited.get(film.file)) for film in films]
    check = measure_films(readings, sheet, settings)
    plates = [reading.plate for reading in readings if reading.was_read]
    too_weak = stack_findings(plates, settings) if len(plates) == len(readings) else ()  # else nobody knows its lacks
    return replace(check, findings=(*check.findings, *too_weak))


def _read_back(film: Film, sheet: Sheet, settings: Settings, made: MadeFilm | None) -> FilmReading:
    try:
        artwork = read_artwork(film.svg, AS_FILM)
    except ArtworkError as error:
        return unreadable(film, error)
    if made is None:
        return read_back(film, artwork, sheet)
    return read_edited(film, artwork, sheet, read_artwork(made.bare_svg, AS_FILM), made.ink, settings)
