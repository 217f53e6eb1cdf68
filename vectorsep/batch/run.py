"""The batch itself: what is to do, have it done, put it on the disk, tell of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from vectorsep.batch.designs import BatchDesign, folder_names, settings_beside
from vectorsep.batch.records import Record, content_digest, fingerprint, folder_digest, read_record, write_record
from vectorsep.batch.result import Outcome, Result, Row, failure
from vectorsep.batch.work import Work
from vectorsep.batch.workers import Workers, outcomes
from vectorsep.errors import FolderError, VectorsepError
from vectorsep.files import read_file, text_name
from vectorsep.settings import Settings
from vectorsep.writing import refuse_to_lose, write_folder

NOT_OURS = "was not made by this batch, or lacks a file since"


@dataclass(frozen=True, slots=True)
class Task:
    """One design that is to be separated."""

    label: str
    folder: str
    work: Work
    fingerprint: str
    replaced: str | None
    """Digest of the folder that this one takes the place of."""


@dataclass(frozen=True, slots=True)
class Store:
    """The folder of the whole batch, and whether it may replace folders that it did not make."""

    out: Path
    replace: bool


def separate_batch(
    designs: Iterable[BatchDesign],
    out: Path,
    workers: Workers = 1,
    *,
    settings_of: Callable[[Path], Settings] = settings_beside,
    replace: bool = False,
    on_row: Callable[[Row], object] = lambda row: None,
) -> tuple[Row, ...]:
    """Separate designs into folders of their own below `out`; returns one row a design, in the order given.

    `workers` is any executor with the interface of `concurrent.futures`, or a number of processes here; only this
    process reads and writes the disk. (As always with processes, a script calls this below
    `if __name__ == "__main__":`.) `settings_of` is asked for each design's settings by its path; its
    VectorsepError fails that design. What was done before and is unchanged (art, settings, name, version, and its
    folder on disk) is kept. Plates that the batch did not make, or that lack a file since, are replaced only with
    `replace`, and what somebody changed or added never. A design that fails is a row, never an exception. `on_row` is
    told of each row as it comes.
    """
    store = Store(out, replace)
    names = folder_names(designs)
    rows: dict[str, Row] = {}

    def finish(row: Row) -> None:
        rows[row.folder] = row
        on_row(row)

    def tasks() -> Iterator[Task]:
        for design, name in names.items():
            task = _prepare(design, name, settings_of, store)
            if isinstance(task, Row):
                finish(task)
            else:
                yield task

    for task, outcome in outcomes(tasks(), workers):
        finish(Row(task.label, task.folder, _put_away(task, outcome, store)))
    return tuple(rows[name] for name in names.values())


def _prepare(design: BatchDesign, name: str, settings_of: Callable[[Path], Settings], store: Store) -> Task | Row:
    """What is to be done for a design; or its row, when nothing is to be done or nothing can be."""
    try:
        text_name(design.label)  # the folder is called by it
        work = Work(read_file(design.source), settings_of(design.source), text_name(design.source.name))
    except VectorsepError as error:
        return Row(design.label, name, _with_warning_of_older(failure(str(error)).result, store.out / name))
    mark, record = fingerprint(work), read_record(store.out, name)
    try:
        stands = folder_digest(store.out / name)
        if record and record.fingerprint == mark and record.digest == stands:
            return Row(design.label, name, record.result, kept=True)
        ours = record is not None and stands in (record.digest, record.replaced)
        refuse_to_lose(store.out / name, replace=ours or store.replace, why_kept=NOT_OURS)
    except VectorsepError as error:
        failed = failure(str(error)).result
        is_older = record is not None and record.fingerprint != mark
        return Row(design.label, name, _with_warning_of_older(failed, store.out / name) if is_older else failed)
    return Task(design.label, name, work, mark, stands)


def _put_away(task: Task, outcome: Outcome, store: Store) -> Result:
    """Write a finished design's record and folder; the result is a failure where the disk does not take them."""
    if outcome.result.verdict == "failed":
        return _with_warning_of_older(outcome.result, store.out / task.folder)
    record = Record(task.fingerprint, content_digest(outcome.files), task.replaced, outcome.result)
    try:
        write_record(store.out, task.folder, record)
        write_folder(store.out / task.folder, outcome.files, replace=task.replaced is not None)
    except FolderError as error:
        failed = failure(str(error)).result
        return _with_warning_of_older(failed, store.out / task.folder) if task.replaced else failed
    return outcome.result


def _with_warning_of_older(failed: Result, folder: Path) -> Result:
    """A failure that tells too of plates from when the design could still be made: they look like those of today."""
    if not folder.exists():
        return failed
    older = f"the plates that stand in {folder.name} are older, not of this art and job: make no screens from them"
    return dataclasses.replace(failed, message=f"{failed.message}\n{older}")
