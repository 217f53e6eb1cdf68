"""Which designs a batch takes, what each is called, and which folder each gets."""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from vectorsep.batch.records import RECORDS
from vectorsep.batch.summary import PAGE, SUMS, TABLE
from vectorsep.errors import FolderError, SettingsError
from vectorsep.files import disk_errors_told, is_file_or_lost, read_job_file
from vectorsep.films import REPORT
from vectorsep.settings import Settings

RESERVED = (RECORDS, Path(SUMS).stem, TABLE, PAGE)
"""Names of the batch's own papers and of their record, which no design's folder or record may take."""
SUFFIXES = (".svg", ".svgz")
"""What files of designs are called: the second gzipped (SVG 2, appendix on media types)."""
_WILD = frozenset("*?[")
LONGEST_NAME = 240
"""Bytes of a folder's name: disks take 255 (NAME_MAX of most systems), a number and the ending of its record among
them."""


@dataclass(frozen=True, slots=True)
class BatchDesign:
    """One design of a batch: its file, and what the summary calls it, a relative path with `/`."""

    source: Path
    label: str


def find_designs(pattern: str, out: Path) -> tuple[BatchDesign, ...]:
    """The SVG files of a folder, or those that a glob pattern meets, sorted by label.

    A folder gives what stands in it, not in its subfolders; `**` in a pattern goes deeper. Hidden files, all below
    `out`, and the films of other folders of plates are no designs. Labels are relative to the folder, or to the
    part of the pattern before its first wildcard, so a design keeps its label when others come or go.
    Raises FolderError when there is no design.
    """
    base, found = _search(pattern)
    out = out.resolve()
    drawings = [path for path in found if path.suffix.lower() in SUFFIXES and is_file_or_lost(path)]
    designs = [BatchDesign(path, path.relative_to(base).as_posix()) for path in drawings if not _is_output(path, out)]
    if drawings and not designs:
        raise FolderError(
            f"{pattern}: all SVG files there are films, or lie below --out; give the folder of the designs, and an "
            "--out beside it"
        )
    if not designs:
        raise FolderError(
            f"{pattern}: no SVG files there; give a folder of designs, or a pattern such as 'art/**/*.svg'"
        )
    return tuple(sorted(designs, key=lambda design: design.label))


def _search(pattern: str) -> tuple[Path, list[Path]]:
    """The folder that labels are relative to, and all that the pattern meets, hidden files left out."""
    whole = Path(pattern)
    if whole.is_dir():
        base, rest = whole, "*"
    else:
        literal = list(itertools.takewhile(lambda part: not _WILD & set(part), whole.parts[:-1]))
        base, rest = Path(*literal), str(Path(*whole.parts[len(literal) :]))
    if not _WILD & set(pattern) and not whole.exists():
        raise FolderError(f"{pattern}: no such folder; give a folder of designs, or a pattern such as 'art/**/*.svg'")
    try:
        found = list(base.glob(rest))
    except (ValueError, NotImplementedError) as error:
        raise FolderError(f"{pattern}: no pattern of file names ({error}); write one such as 'art/**/*.svg'") from error
    return base, [path for path in found if not any(part.startswith(".") for part in path.relative_to(base).parts)]


def _is_output(path: Path, out: Path) -> bool:
    lies_at = Path(os.path.realpath(path))  # Path.resolve() raises for a link that leads in circles
    return lies_at.is_relative_to(out) or (path.parent / REPORT).is_file()


def folder_names(designs: Iterable[BatchDesign]) -> dict[BatchDesign, str]:
    """A folder of its own for each design: its label without the suffix, `--` for each `/`, cut to LONGEST_NAME.

    Names that a disk could take for the same (letter case apart) are told apart by a number, so two designs never
    overwrite each other.
    """
    taken = {name.casefold() for name in RESERVED}
    names: dict[BatchDesign, str] = {}
    for design in designs:
        wanted = _shortened("--".join(PurePosixPath(design.label).with_suffix("").parts))
        name, count = wanted, 1
        while name.casefold() in taken:
            count += 1
            name = f"{wanted}-{count}"
        taken.add(name.casefold())
        names[design] = name
    return names


def _shortened(name: str) -> str:
    """A name cut to LONGEST_NAME bytes, through no character."""
    in_bytes = os.fsencode(name)
    return name if len(in_bytes) <= LONGEST_NAME else in_bytes[:LONGEST_NAME].decode(errors="ignore")


def job_beside(design: Path) -> Path | None:
    """The design's own job file, `NAME.toml` beside `NAME.svg`, if there is one. A link that leads nowhere is one: the
    design fails, for its settings are not known. So it does where the disk does not say: raises FolderError."""
    job = design.with_suffix(".toml")
    with disk_errors_told(job, "shorten the design's name, or check the permissions of its folder"):
        return job if is_file_or_lost(job) else None


def settings_beside(design: Path) -> Settings:
    """Settings from the job file beside a design, or the usual ones. Raises SettingsError and FolderError."""
    job = job_beside(design)
    with job_named(job):
        return Settings(**read_job_file(job)) if job else Settings()


@contextmanager
def job_named(job: Path | None) -> Iterator[None]:
    """Bad settings are told with the name of the design's own job file here: among many designs it is not plain that
    one has a job of its own."""
    try:
        yield
    except SettingsError as error:
        if job is None:
            raise
        raise SettingsError([f"{job.name}: {problem}" for problem in error.problems]) from error
