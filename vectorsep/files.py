"""The disk, reading: artwork, jobs, and folders of plates."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from os import PathLike
from pathlib import Path
from typing import Any, TypeAlias

from vectorsep.errors import FolderError
from vectorsep.films import Manifest, read_manifest
from vectorsep.job import read_job
from vectorsep.model import Film

Source: TypeAlias = str | PathLike[str] | bytes

REPORT = "stacking-report.json"
FILM_NAME = re.compile(r"\d")
"""Films, and no other file of a folder, are named by their place in the print order first."""
MAX_FILE_BYTES = 200_000_000
"""Larger than any flat design (a million path segments take some 30 MB); stops a wrong file before it fills memory."""


@contextmanager
def disk_errors_told(path: Path, remedy: str) -> Iterator[None]:
    """Turn what the system says of a path, or of a name it cannot take, into a FolderError."""
    try:
        yield
    except OSError as error:
        raise FolderError(f"{path}: {(error.strerror or str(error)).lower()}; {remedy}") from error
    except ValueError as error:  # a null character or a lone surrogate in the name
        raise FolderError(f"{str(path)!r}: no name of a file; {remedy}") from error


def read_file(path: Path) -> bytes:
    """A file's content. Raises FolderError when it is missing, unreadable or absurdly large."""
    with disk_errors_told(path, "check the name and its permissions"):
        if path.stat().st_size > MAX_FILE_BYTES:
            raise FolderError(f"{path}: larger than {MAX_FILE_BYTES // 1_000_000} MB, which no flat design needs")
        return path.read_bytes()


def read_source(source: Source) -> bytes:
    """SVG content from a path, from bytes, or from a text that is itself SVG (it starts with `<`)."""
    if isinstance(source, bytes):
        return source
    if isinstance(source, str) and source.lstrip("\ufeff \t\r\n").startswith("<"):
        return source.encode(errors="replace")
    return read_file(Path(source))


def read_job_file(path: Path) -> dict[str, Any]:
    """The values of a job file, with the font files it names loaded."""
    try:
        text = read_file(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FolderError(f"{path}: not UTF-8 text; save the job file as UTF-8") from error
    values = read_job(text, place=str(path))
    fonts = {font.family: read_file(path.parent / font.file) for font in values.pop("fonts", ())}
    return values | {"art": replace(values["art"], fonts=fonts)}


def read_films(folder: Path) -> tuple[Manifest, tuple[Film, ...], tuple[str, ...]]:
    """What a folder holds: its report's own account, the films that are there, and the files of films that are not.

    Raises FolderError when there is no readable report: without it nothing says what the plates are.
    """
    if not folder.is_dir():
        raise FolderError(f"{folder}: no such folder")
    manifest = read_manifest(read_file(folder / REPORT))
    films = [
        Film(entry.file, entry.plate, read_file(folder / entry.file))
        for entry in manifest.plates
        if (folder / entry.file).is_file()
    ]
    missing = [entry.file for entry in manifest.plates if not (folder / entry.file).is_file()]
    return manifest, tuple(films), tuple(missing)


def unlisted_films(folder: Path, manifest: Manifest) -> list[str]:
    """SVG files in the folder that its report does not know, or that are named like films and are no plate in it."""
    plates = {entry.file for entry in manifest.plates}
    drawings = [path.name for path in folder.iterdir() if path.suffix.lower() in (".svg", ".svgz")]
    return sorted(
        name for name in drawings if name not in plates and (name not in manifest.files or FILM_NAME.match(name))
    )
