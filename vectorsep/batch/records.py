"""What a batch remembers of each design that it has done, so that it need not be done again.

One small JSON file a design in `batch-records/`, written as a whole *before* the folder it speaks of: a batch
that is stopped at any moment finds every folder either as recorded, or as it was before, and knows both.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import get_args, get_type_hints

from vectorsep.batch.result import Result, Verdict
from vectorsep.batch.work import Work
from vectorsep.errors import FolderError
from vectorsep.files import disk_errors_told
from vectorsep.writing import write_file

RECORDS = "batch-records"
LIBRARIES = (
    "cssselect2",
    "fonttools",
    "jinja2",
    "lxml",
    "numpy",
    "pikepdf",
    "pythoncdt",
    "shapely",
    "svgwrite",
    "tinycss2",
    "uharfbuzz",
)
"""What else decides what is in a folder: how art is read, text outlined, plates shaped and papers written."""
CACHE = "__pycache__"


@dataclass(frozen=True, slots=True)
class Record:
    """One design as it was done last."""

    fingerprint: str
    """Of all that its folder depends on."""
    digest: str
    """Of its folder's content."""
    replaced: str | None
    """Digest of the folder that stood there before, if there was one."""
    result: Result


def fingerprint(work: Work) -> str:
    """A hash of all that a folder of plates depends on: the art, every setting, the name, this program."""
    parts = (_program().encode(), work.job_name.encode(), repr(work.settings).encode(), work.svg)
    return _hash(parts)


@cache
def _program() -> str:
    """A hash of this program and of the libraries that it works with: others may make other plates."""
    libraries = [version(name).encode() for name in LIBRARIES]
    return _hash([package_digest(Path(__file__).parents[1]).encode(), *libraries])


def package_digest(package: Path) -> str:
    """A hash of a package's own files. A version says less: between two of them plates change as well."""
    files = sorted(path for path in package.rglob("*") if path.is_file() and CACHE not in path.parts)
    return _hash([part for path in files for part in (os.fsencode(path.relative_to(package)), path.read_bytes())])


def content_digest(files: Mapping[str, bytes]) -> str:
    """A hash of a folder's content: its files' names and bytes."""
    return _hash([part for name in sorted(files) for part in (os.fsencode(name), files[name])])


def folder_digest(folder: Path) -> str | None:
    """The digest of a folder as it stands on disk; None where there is none, or nothing in it. Raises FolderError.

    Another file or a subfolder in it counts as a change.
    """
    if not folder.exists():
        return None
    try:
        there = {path.name: path.read_bytes() if path.is_file() else b"" for path in folder.iterdir()}
        return content_digest(there) if there else None
    except OSError as error:
        raise FolderError(f"{folder}: {(error.strerror or str(error)).lower()}; check its permissions") from error


def _hash(parts: tuple[bytes, ...] | list[bytes]) -> str:
    """Hash a list of byte strings, each with its length, so that no two lists run together."""
    digest = hashlib.sha256()
    for part in parts:
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    return digest.hexdigest()


def write_record(out: Path, name: str, record: Record) -> None:
    """Remember a design. Raises FolderError."""
    write_making_folder(out / RECORDS / f"{name}.json", (json.dumps(asdict(record), indent=1) + "\n").encode())


def read_record(out: Path, name: str) -> Record | None:
    """What is remembered of a design; None when there is nothing, or nothing that can be understood."""
    try:
        data = json.loads((out / RECORDS / f"{name}.json").read_bytes())
        result = Result(**data.pop("result"))
        record = Record(**data, result=result)
    except (OSError, ValueError, TypeError, AttributeError, KeyError, RecursionError):
        return None
    return record if _is_sound(record) else None


def _is_sound(record: Record) -> bool:
    return _types_fit(record) and _types_fit(record.result) and record.result.verdict in get_args(Verdict)


def _types_fit(value: Record | Result) -> bool:
    hints = get_type_hints(type(value))
    hints["verdict"] = str
    return all(isinstance(getattr(value, field.name), hints[field.name]) for field in fields(value))


def write_making_folder(path: Path, content: bytes) -> None:
    """Write a file as a whole or not at all, its folder made if need be. Raises FolderError."""
    with disk_errors_told(path, "nothing was written"):
        path.parent.mkdir(parents=True, exist_ok=True)
    write_file(path, content)
