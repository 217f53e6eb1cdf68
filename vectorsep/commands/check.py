"""`vectorsep check`: measure a folder of films again, edited meanwhile or not."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from vectorsep.commands.command import SAFE, UNSAFE, Command
from vectorsep.commands.options import add_length, add_quiet
from vectorsep.commands.telling import tell_check
from vectorsep.files import read_films, unlisted_films
from vectorsep.model import Finding
from vectorsep.pipeline import check_films


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", type=Path, metavar="DIR")
    add_length(command, "--registration", "registration_mm", "hold the films to this tolerance instead of the job's")
    add_quiet(command)


def _run(args: argparse.Namespace) -> int:
    manifest, films, missing = read_films(args.folder)
    settings = manifest.settings
    if args.registration_mm is not None:
        settings = replace(settings, registration_mm=args.registration_mm)
    check = check_films(films, manifest.sheet, settings)
    strays = [
        Finding("film-missing", "unsafe", file, f"{file} is listed in the report but not in the folder")
        for file in missing
    ] + [
        Finding(
            "film-unlisted",
            "unsafe",
            file,
            f"{file} is not in the report, so it was not checked; move it away",
        )
        for file in unlisted_films(args.folder, manifest)
    ]
    check = replace(check, findings=(*strays, *check.findings))
    if not args.quiet:
        tell_check(check, settings.registration_mm)
    return SAFE if check.safe else UNSAFE


COMMAND = Command("check", "check a folder of films again, edited meanwhile or not", _add_arguments, _run)
