"""The disk, writing: a file or a folder as a whole or not at all, and nothing of anybody's lost."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from vectorsep.errors import FolderError
from vectorsep.files import disk_errors_told, read_file
from vectorsep.films import REPORT, read_manifest


@dataclass(frozen=True, slots=True)
class FolderKind:
    """A kind of folder that this program writes, known by a file that lists the others with their sums."""

    what: str
    record: str
    sums_in: Callable[[bytes], Mapping[str, str]]
    """Reads the record: SHA-256 sums by file name. Raises FolderError."""


PLATES = FolderKind("a folder of plates", REPORT, lambda data: read_manifest(data).files)


def write_file(path: Path, content: bytes) -> None:
    """Write one file whole or not at all. Raises FolderError."""
    with disk_errors_told(path, "nothing was written"):
        scratch = path.with_name(f".{path.name}-{os.getpid()}")
        try:
            scratch.write_bytes(content)
            scratch.replace(path)
        finally:
            scratch.unlink(missing_ok=True)


def write_folder(folder: Path, files: Mapping[str, bytes], *, replace: bool, kind: FolderKind = PLATES) -> None:
    """Write the files as one folder, all or nothing.

    An existing folder that is not empty is kept unless `replace`; and even then only a folder of the same kind that
    holds nothing but what this program wrote, unchanged, is replaced. Raises FolderError, with nothing changed.
    """
    with disk_errors_told(folder, "nothing was written"):
        folder = folder.resolve()  # a link to a folder stays a link
        _refuse_to_lose(folder, kind, replace=replace)
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".plates-") as scratch:
            fresh = Path(scratch) / "new"
            fresh.mkdir()
            for name, content in files.items():
                (fresh / name).write_bytes(content)
            _swap_in(fresh, folder, Path(scratch) / "old")


def _swap_in(fresh: Path, folder: Path, old: Path) -> None:
    """Two renames; whatever stops the second, an interrupt included, undoes the first."""
    if folder.exists():
        folder.rename(old)
    try:
        fresh.rename(folder)
    except BaseException:
        if old.exists():
            old.rename(folder)
        raise


def _refuse_to_lose(folder: Path, kind: FolderKind, *, replace: bool) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        raise FolderError(f"{folder}: is a file; give a folder to --out")
    there = {path.name for path in folder.iterdir()}
    if not there:
        return
    if not replace:
        raise FolderError(f"{folder}: exists and is not empty; give another --out, or --replace to write it anew")
    if kind.record not in there:
        raise FolderError(f"{folder}: is not {kind.what} ({kind.record} is missing), so it is not replaced")
    sums = kind.sums_in(read_file(folder / kind.record))
    strange = sorted(there - set(sums) - {kind.record})
    if strange:
        raise FolderError(f"{folder}: also holds {', '.join(strange)}; move them away before --replace")
    edited = sorted(name for name in there & set(sums) if sha256(read_file(folder / name)).hexdigest() != sums[name])
    if edited:
        raise FolderError(
            f"{folder}: {', '.join(edited)} was changed by hand; move it away, or give another --out, to keep it"
        )
