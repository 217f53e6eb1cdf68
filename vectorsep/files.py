"""The disk, reading: artwork, jobs, and folders of plates."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Set
from contextlib import contextmanager, suppress
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any, TypeAlias

from vectorsep.artwork import MAX_BYTES
from vectorsep.check import FolderState, Whereabouts, folder_state
from vectorsep.errors import FolderError
from vectorsep.films import REPORT, Manifest, read_manifest
from vectorsep.job import read_job
from vectorsep.model import Film
from vectorsep.paper.strict_json import file_sums

Source: TypeAlias = str | PathLike[str] | bytes

FILM_NAME = re.compile(r"\d")
"""Films, and no other file of a folder, are named by their place in the print order first."""
PAPER_SUFFIX = ".pdf"
BURNT_SUFFIXES = (".svg", ".svgz", PAPER_SUFFIX, ".ai", ".eps", ".epsf", ".ps", ".tif", ".tiff")
"""Endings, in any case, of files that somebody may burn."""
PICTURE_SUFFIXES = (".bmp", ".gif", ".jpeg", ".jpg", ".png", ".webp")
"""Endings, in any case, of pictures, which may show cloth or a test print: burnt only if named after film or paper."""
_DECLARATION = re.compile(r"\ufeff?<\?xml\s[^>]*\?>")
"""The declaration that an XML text may begin with, in which it may name an encoding (XML 1.0, 2.8)."""


@contextmanager
def disk_errors_told(path: Path, remedy: str) -> Iterator[None]:
    """Turn what the system says of a path, or of a name it cannot take, into a FolderError."""
    try:
        yield
    except OSError as error:
        raise FolderError(f"{path}: {(error.strerror or str(error)).lower()}; {remedy}") from error
    except ValueError as error:  # a null character or a lone surrogate in the name
        raise FolderError(f"{str(path)!r}: no name of a file; {remedy}") from error


def text_name(name: str) -> str:
    """A file's name, fit for papers. Raises FolderError when it is no UTF-8, which no paper could hold."""
    try:
        name.encode()
    except UnicodeEncodeError as error:
        raise FolderError(f"{name!r}: the name of this file is not UTF-8; rename the file") from error
    return name


def read_file(path: Path) -> bytes:
    """A file's content. Raises FolderError when it is missing, unreadable or absurdly large."""
    with disk_errors_told(path, "check the name and its permissions"):
        if _leads_nowhere(path):
            raise FolderError(f"{path}: a link that leads nowhere, to {path.readlink()}; mend or remove it")
        if path.stat().st_size > MAX_BYTES:
            raise FolderError(f"{path}: larger than {MAX_BYTES // 1_000_000} MB, which no flat design needs")
        return path.read_bytes()


def is_file_or_lost(path: Path) -> bool:
    """Whether a path is a file, or a link that leads nowhere: a file that somebody misses, and that fails when read."""
    return path.is_file() or _leads_nowhere(path)


def _leads_nowhere(path: Path) -> bool:
    """Whether a path is a link to what is not there, or in circles."""
    return path.is_symlink() and not path.exists()


def read_source(source: Source) -> bytes:
    """SVG content from a path, from bytes, or from a text that is itself SVG (it starts with `<`)."""
    if isinstance(source, bytes):
        return source
    if isinstance(source, str) and source.lstrip("\ufeff \t\r\n").startswith("<"):
        return _encoded(source)
    return read_file(Path(source))


def _encoded(text: str) -> bytes:
    """XML text as UTF-8, without its declaration: the encoding that one names was that of the bytes it came from."""
    declaration = _DECLARATION.match(text)
    return text[declaration.end() if declaration else 0 :].encode(errors="replace")


def read_job_file(path: Path) -> dict[str, Any]:
    """The values of a job file, with the font files it names loaded."""
    try:
        text = read_file(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FolderError(f"{path}: not UTF-8 text; save the job file as UTF-8") from error
    values = read_job(text, place=str(path))
    fonts = {font.family: read_file(path.parent / font.file) for font in values.pop("fonts", ())}
    return values | {"art": replace(values["art"], fonts=fonts)}


def read_films(folder: Path) -> tuple[Manifest, tuple[Film, ...], FolderState]:
    """What a folder holds: its report's own account, the films that are there, and what became of its files since.

    Raises FolderError when there is no readable report: without it nothing says what the plates are.
    """
    with disk_errors_told(folder, "check the name and its permissions"):
        if not folder.is_dir():
            is_file = "is a file; give the folder" if folder.exists() else "no such folder; give one"
            raise FolderError(f"{folder}: {is_file} that separate has written")
        there = {path.name for path in folder.iterdir() if not path.is_fifo()}  # a pipe would be waited for for ever
    if REPORT not in there:
        raise FolderError(
            f"{folder}: is not a folder of plates ({REPORT} is missing); give a folder that separate has written"
        )
    manifest = read_manifest(read_file(folder / REPORT))
    plates = [entry.file for entry in manifest.plates]
    papers = [name for name in manifest.files if name.endswith(PAPER_SUFFIX)]
    unlisted = _unlisted(manifest, there)
    contents = {name: read_file(folder / name) for name in (*plates, *papers) if name in there}
    contents |= _readable(folder, unlisted)
    listed = {name: manifest.files[name] for name in (*plates, *papers)}
    whereabouts = Whereabouts(listed, file_sums(contents))
    places = [(entry, whereabouts.place_of(entry.file)) for entry in manifest.plates]
    films = [Film(entry.file, entry.plate, contents[place]) for entry, place in places if place is not None]
    state = folder_state(plates, papers, unlisted, whereabouts)
    return manifest, tuple(films), replace(state, sheets_changed=_sheets_changed(folder, manifest, there, listed))


def _sheets_changed(folder: Path, manifest: Manifest, there: Set[str], burnt: Container[str]) -> tuple[str, ...]:
    """Of what the report lists beside films and papers, which is there and not as it was written."""
    sheets = [name for name in manifest.files if name in there and name not in burnt]
    sums = file_sums(_readable(folder, sheets))
    return tuple(name for name in sheets if sums.get(name) != manifest.files[name])


def _readable(folder: Path, names: Iterable[str]) -> dict[str, bytes]:
    """The contents of those files that can be read: what the report does not list may be anything."""
    contents = {}
    for name in names:
        with suppress(FolderError):
            contents[name] = read_file(folder / name)
    return contents


def _unlisted(manifest: Manifest, there: Iterable[str]) -> tuple[str, ...]:
    """What could be burnt and the report does not know, or what is named like a film and is no plate in it."""
    plates = {entry.file for entry in manifest.plates}
    papers = (name for name in manifest.files if name.endswith(PAPER_SUFFIX))
    pictured = re.compile("|".join(rf"{re.escape(Path(name).stem)}(?![a-z0-9])" for name in (*plates, *papers)), re.I)
    burnt = [name for name in there if _may_be_burnt(name, pictured) and name not in plates]
    return tuple(sorted(name for name in burnt if name not in manifest.files or FILM_NAME.match(name)))


def _may_be_burnt(name: str, pictured: re.Pattern[str]) -> bool:
    """By a file's name: by its format, or for a picture, of a format that any photograph has, by what it shows."""
    ending = name.lower()
    return ending.endswith(BURNT_SUFFIXES) or (ending.endswith(PICTURE_SUFFIXES) and pictured.match(name) is not None)
