"""The disk: reads artwork, jobs and folders; writes a folder as a whole or not at all."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Mapping
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


def read_file(path: Path) -> bytes:
    """A file's content. Raises FolderError when it is missing, unreadable or absurdly large."""
    try:
        if path.stat().st_size > MAX_FILE_BYTES:
            raise FolderError(f"{path}: larger than {MAX_FILE_BYTES // 1_000_000} MB, which no flat design needs")
        return path.read_bytes()
    except OSError as error:
        raise FolderError(
            f"{path}: {(error.strerror or str(error)).lower()}; check the name and its permissions"
        ) from error


def read_source(source: Source) -> bytes:
    """SVG content from a path, from bytes, or from a text that is itself SVG (it starts with `<`)."""
    if isinstance(source, bytes):
        return source
    if isinstance(source, str) and source.lstrip("\ufeff \t\r\n").startswith("<"):
        return source.encode()
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


def write_file(path: Path, content: bytes) -> None:
    """Write one file whole or not at all. Raises FolderError."""
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=f".{path.name}-", delete=False) as scratch:
            scratch.write(content)
        Path(scratch.name).replace(path)
    except OSError as error:
        raise FolderError(f"{path}: {(error.strerror or str(error)).lower()}; nothing was written") from error


def write_folder(folder: Path, files: Mapping[str, bytes], *, replace: bool) -> None:
    """Write the files as one folder, all or nothing.

    An existing folder that is not empty is kept unless `replace`; and even then only a folder that holds
    nothing but what this program wrote is replaced. Raises FolderError, with nothing changed.
    """
    _refuse_to_lose(folder, replace=replace)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=f".{folder.name}-") as scratch:
            fresh = Path(scratch) / "new"
            fresh.mkdir()
            for name, content in files.items():
                (fresh / name).write_bytes(content)
            _swap_in(fresh, folder, Path(scratch) / "old")
    except OSError as error:
        raise FolderError(f"{folder}: {(error.strerror or str(error)).lower()}; nothing was written") from error


def _swap_in(fresh: Path, folder: Path, old: Path) -> None:
    if folder.exists():
        shutil.move(folder, old)
    try:
        fresh.rename(folder)
    except OSError:
        if old.exists():
            old.rename(folder)
        raise


def _refuse_to_lose(folder: Path, *, replace: bool) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        raise FolderError(f"{folder}: is a file; give a folder to --out")
    there = {path.name for path in folder.iterdir()}
    if not there:
        return
    if not replace:
        raise FolderError(f"{folder}: exists and is not empty; give another --out, or --replace to write it anew")
    if REPORT not in there:
        raise FolderError(f"{folder}: is not a folder of plates ({REPORT} is missing), so it is not replaced")
    strange = sorted(there - set(read_manifest(read_file(folder / REPORT)).files) - {REPORT})
    if strange:
        raise FolderError(f"{folder}: also holds {', '.join(strange)}; move them away before --replace")
