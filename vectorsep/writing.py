"""The disk, writing: a file or a folder as a whole or not at all, and nothing of anybody's lost.

What may be lost is asked twice by one rule: before the work, so that none is done in vain, and when it is written.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from errno import ENOTEMPTY
from hashlib import sha256
from pathlib import Path

from vectorsep.errors import FolderError
from vectorsep.files import disk_errors_told, read_file
from vectorsep.films import REPORT, read_manifest

NOT_EMPTY = "exists and is not empty"
SCRATCH = ".vectorsep-"
"""How the folders begin in which files lie until they are whole: hidden, beside what they take the place of."""


@dataclass(frozen=True, slots=True)
class FolderKind:
    """A kind of folder that this program writes, known by a file that lists the others with their sums."""

    what: str
    record: str
    sums_in: Callable[[bytes], Mapping[str, str]]
    """Reads the record: SHA-256 sums by file name. Raises FolderError."""


PLATES = FolderKind("a folder of plates", REPORT, lambda data: read_manifest(data).files)


def write_file(path: Path, content: bytes) -> None:
    """Write one file whole or not at all, over what `refuse_to_overwrite` lets go. Raises FolderError."""
    with (
        disk_errors_told(path, "nothing was written"),
        tempfile.TemporaryDirectory(dir=path.parent, prefix=SCRATCH) as scratch,
    ):
        fresh = Path(scratch) / "new"  # no longer than the name that it gets, which may be as long as a disk takes
        fresh.write_bytes(content)
        fresh.replace(path)


def refuse_to_overwrite(
    path: Path, *, replace: bool, own: Collection[object] = (), read: Collection[Path] = ()
) -> None:
    """Raise FolderError when a file must be kept: one that exists, unless `replace`; one that was read, always.

    A file whose SHA-256 sum is among `own` is this program's and may go.
    """
    with disk_errors_told(path, "nothing was written"):
        _refuse_files_on_the_way(path.parent)
        if not path.exists():
            return
        if any(path.samefile(source) for source in read):
            raise FolderError(f"{path}: is what this command reads; give another file to write to")
        if path.is_dir():
            raise FolderError(f"{path}: is a folder; give a file to write to")
    if not replace and _sum_of(path) not in own:
        raise FolderError(f"{path}: exists already; move it away, or give --replace to write over it")


def write_folder(folder: Path, files: Mapping[str, bytes], *, replace: bool, kind: FolderKind = PLATES) -> None:
    """Write the files as one folder, all or nothing. Raises FolderError, as `refuse_to_lose` does, nothing changed: of
    what stood there before, and of what came or was changed while the files were written, by another run or by hand."""
    refuse_to_lose(folder, replace=replace, kind=kind)
    with disk_errors_told(folder, "nothing was written"):
        folder = folder.resolve()  # a link to a folder stays a link
        folder.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=folder.parent, prefix=SCRATCH) as scratch:
            fresh = Path(scratch) / "new"
            fresh.mkdir()
            for name, content in files.items():
                (fresh / name).write_bytes(content)
            refuse_to_lose(folder, replace=replace, kind=kind)
            _swap_in(fresh, folder, Path(scratch) / "old", replace=replace)


def _swap_in(fresh: Path, folder: Path, old: Path, *, replace: bool) -> None:
    """Two renames; whatever stops the second, an interrupt included, undoes the first. Without `replace` only an empty
    folder goes: what another run has put there between asking and renaming is seen once it cannot change any more."""
    try:
        if folder.exists():
            folder.rename(old)
            if not replace and any(old.iterdir()):
                raise OSError(ENOTEMPTY, NOT_EMPTY)
        fresh.rename(folder)
    except BaseException:
        if old.exists() and not folder.exists():  # it does where the interrupt came just after the second
            old.rename(folder)
        raise


def refuse_to_lose(folder: Path, *, replace: bool, kind: FolderKind = PLATES, why_kept: str = NOT_EMPTY) -> None:
    """Raise FolderError when a folder must be kept.

    An existing folder that is not empty is kept unless `replace` (`why_kept` says why); and even then only a folder of
    the kind that holds nothing but what this program wrote, unchanged, may go. So nobody is told to give --replace
    where that would be refused too.
    """
    with disk_errors_told(folder, "nothing was written"):
        _refuse_files_on_the_way(folder)
        there = {path.name for path in folder.iterdir()} if folder.exists() else set()
    if not there:
        return
    _refuse_others_work(folder, there, kind)
    if not replace:
        raise FolderError(f"{folder}: {why_kept}; give another --out, or --replace to write it anew")


def _refuse_files_on_the_way(folder: Path) -> None:
    for path in (folder, *folder.parents):
        if path.is_dir():
            return
        if path.exists():
            raise FolderError(f"{path}: is a file, and nothing can be written into it; give a folder")


def _refuse_others_work(folder: Path, there: Collection[str], kind: FolderKind) -> None:
    """Refuse what is not of the kind, or was put there or changed by somebody."""
    if kind.record not in there:
        raise FolderError(
            f"{folder}: is not empty and is not {kind.what} ({kind.record} is missing), so it is kept; "
            "give another --out, or move it away"
        )
    sums = kind.sums_in(read_file(folder / kind.record))
    strange = sorted(set(there) - set(sums) - {kind.record})
    if strange:
        raise FolderError(
            f"{folder}: also holds {', '.join(strange)}; move {_them(strange)} away, or give another --out"
        )
    edited = sorted(name for name in sums if name in there and _sum_of(folder / name) != sums[name])
    if edited:
        raise FolderError(
            f"{folder}: {', '.join(edited)} {'was' if len(edited) == 1 else 'were'} changed by hand; "
            f"move {_them(edited)} away, or give another --out, to keep {_them(edited)}"
        )


def _them(files: Collection[str]) -> str:
    return "it" if len(files) == 1 else "them"


def _sum_of(path: Path) -> str:
    return sha256(read_file(path)).hexdigest()
