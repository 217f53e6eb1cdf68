"""`vectorsep chart`: films of a test chart that a shop prints once, and the sheet to read the print by."""

from __future__ import annotations

import argparse
from pathlib import Path

from vectorsep.chart import RECORD, SHEET, make_chart, read_record
from vectorsep.commands.command import Command
from vectorsep.commands.options import add_job, add_mirror, add_quiet, add_replace, settings_of
from vectorsep.commands.telling import printing
from vectorsep.exits import SAFE
from vectorsep.units import counted
from vectorsep.writing import FolderKind, refuse_to_lose, write_folder

FOLDER = FolderKind("a test chart's folder", RECORD, read_record)


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder to write")
    add_job(command)
    add_replace(command, "a test chart's folder that is already there")
    add_mirror(command)
    add_quiet(command)


def _run(args: argparse.Namespace) -> int:
    settings = settings_of(args)
    refuse_to_lose(args.out, replace=args.replace, kind=FOLDER)
    files = make_chart(settings)
    write_folder(args.out, files, replace=args.replace, kind=FOLDER)
    if not args.quiet:
        with printing(f"{args.out} is written"):
            print(f"{counted(len(files), 'file')} in {args.out}; open {args.out / SHEET}")
    return SAFE


COMMAND = Command("chart", "make the films of a test chart that measures a press", _add_arguments, _run)
