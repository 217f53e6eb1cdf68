"""`vectorsep batch`: many designs, each in a folder of its own, with one summary."""

from __future__ import annotations

import argparse
import contextlib
import os
import sys
from collections import Counter
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from functools import cache
from pathlib import Path
from typing import TextIO

from tqdm import tqdm

from vectorsep.batch import Row, find_designs, separate_batch, write_summary
from vectorsep.batch.cluster import dask_executor
from vectorsep.batch.designs import job_beside, job_named
from vectorsep.batch.summary import PAGE, refuse_to_overwrite_summary
from vectorsep.batch.workers import Workers
from vectorsep.commands.command import Command
from vectorsep.commands.options import add_job, add_quiet, add_replace, add_settings, values_over
from vectorsep.commands.telling import printable, printing
from vectorsep.errors import FolderError
from vectorsep.exits import BAD_INPUT, INTERRUPTED, SAFE, UNSAFE
from vectorsep.files import read_job_file
from vectorsep.films import REPORT_PAGE
from vectorsep.settings import Settings
from vectorsep.units import counted


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "designs",
        metavar="DIR_OR_GLOB",
        help="a folder of SVG files, or a quoted pattern such as 'art/**/*.svg'; NAME.toml beside NAME.svg is its job",
    )
    command.add_argument("--out", type=Path, required=True, metavar="DIR", help="where each design gets its folder")
    add_job(command, "the job of all designs that have none of their own beside them")
    add_replace(
        command,
        "plates too that this batch has not made or that lack a file since, and a summary that was changed; plates "
        "that were changed or added to by hand are kept",
    )
    workers = command.add_mutually_exclusive_group()
    workers.add_argument("--processes", type=_count, metavar="N", help="at once on this machine (all its cores)")
    workers.add_argument(
        "--dask",
        metavar="ADDRESS",
        help="send the work to the Dask scheduler there, such as tcp://127.0.0.1:8786; the same version of vectorsep "
        "must be installed on its workers",
    )
    add_quiet(command)
    add_settings(command)


def _count(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of processes: give 1 or more")
    return int(text)


def _run(args: argparse.Namespace) -> int:
    designs = find_designs(args.designs, args.out)
    refuse_to_overwrite_summary(args.out, replace=args.replace)  # before the work, lest it end without a summary
    settings_of = _settings_reader(args)
    bar = tqdm(total=len(designs), unit=" designs", disable=True if args.quiet else None, leave=False)
    try:
        with bar, _workers(args) as workers:
            rows = separate_batch(
                designs,
                args.out,
                workers,
                settings_of=settings_of,
                replace=args.replace,
                on_row=lambda row: bar.update(),
            )
    except KeyboardInterrupt:
        older = f"; until then {args.out / PAGE} is of an earlier run" if (args.out / PAGE).exists() else ""
        told = f"stopped; what is done is kept: run the same command again to go on{older}"
        print(f"vectorsep: {printable(told)}", file=sys.stderr)
        return INTERRUPTED
    told_in = sys.stderr if args.quiet else sys.stdout
    try:
        write_summary(rows, args.out, replace=args.replace)
    except FolderError:
        _tell_troubles(rows, args.out, told_in)  # the plates stand, and nothing else would say which are not safe
        raise
    with printing(f"{args.out} is written"):
        _tell_troubles(rows, args.out, told_in)
        if not args.quiet:
            _tell_count(rows, args.out)
    return _exit_code(rows)


def _workers(args: argparse.Namespace) -> AbstractContextManager[Workers]:
    if args.dask is not None:
        return dask_executor(args.dask)
    return contextlib.nullcontext(args.processes or os.cpu_count() or 1)


def _settings_reader(args: argparse.Namespace) -> Callable[[Path], Settings]:
    """Settings by design: its own job file or the common one, each read once, the command line's options on top."""

    @cache
    def of_job(job: Path | None) -> Settings:
        return Settings(**values_over(read_job_file(job) if job else {}, args))

    of_job(args.job)  # a bad common job file or option is told at once, not once a design

    def of_design(design: Path) -> Settings:
        own = job_beside(design)
        with job_named(own):
            return of_job(own or args.job)

    return of_design


def _tell_troubles(rows: Sequence[Row], out: Path, where: TextIO) -> None:
    """Print what failed and what is not safe: in quiet too, where errors are told."""
    for row in rows:
        name = printable(row.label)
        if row.result.verdict == "unsafe":
            print(f"{name}: NOT SAFE, see {printable(str(out / row.folder / REPORT_PAGE))}", file=where)
        elif row.result.verdict == "failed":
            message = "\n".join(printable(line) for line in row.result.message.splitlines())
            print(f"{name}: failed: {message}", file=where)


def _tell_count(rows: Sequence[Row], out: Path) -> None:
    count = Counter(row.result.verdict for row in rows)
    kept = sum(row.kept for row in rows)
    print(
        f"{counted(len(rows), 'design')}: {count['safe']} safe, {count['unsafe']} not safe, {count['failed']} failed "
        f"({kept} done before, unchanged); open {out / PAGE}"
    )


def _exit_code(rows: Sequence[Row]) -> int:
    verdicts = {row.result.verdict for row in rows}
    if "failed" in verdicts:
        return BAD_INPUT
    return UNSAFE if "unsafe" in verdicts else SAFE


COMMAND = Command(
    "batch", "separate many designs, each into a folder of its own, with one summary", _add_arguments, _run
)
