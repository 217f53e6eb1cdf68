"""`vectorsep check`: measure a folder of films again, edited meanwhile or not."""

from __future__ import annotations

import argparse
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path

from vectorsep.check import folder_findings, tolerance_findings
from vectorsep.commands.command import SAFE, UNSAFE, Command
from vectorsep.commands.options import add_length, add_quiet
from vectorsep.commands.telling import printing, tell_check
from vectorsep.files import read_films
from vectorsep.films import Manifest, write_bare_film
from vectorsep.films.remarks import MOST_ALIKE
from vectorsep.pipeline import check_films


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", type=Path, metavar="DIR")
    add_length(command, "--registration", "registration_mm", "hold the films to this tolerance instead of the job's")
    command.add_argument("--all", action="store_true", help="list every finding, however many are alike")
    add_quiet(command)


def _run(args: argparse.Namespace) -> int:
    manifest, films, state = read_films(args.folder)
    settings = manifest.settings
    of_folder = [*folder_findings(state)]
    if args.registration_mm is None:
        of_folder += tolerance_findings(settings)
    else:
        settings = replace(settings, registration_mm=args.registration_mm)
    check = check_films(films, manifest.sheet, settings, _bare_films(manifest, state.films_edited))
    check = replace(check, findings=(*of_folder, *check.findings))
    if not args.quiet:
        most = None if args.all else MOST_ALIKE
        with printing():
            tell_check(check, settings.registration_mm, most=most, others="give --all to list them")
    return SAFE if check.safe else UNSAFE


def _bare_films(manifest: Manifest, files: Collection[str]) -> dict[str, bytes]:
    """These films as they were written, without their ink."""
    plates = [entry.plate for entry in manifest.plates]
    return {
        entry.file: write_bare_film(plates, order, manifest.sheet, manifest.settings, manifest.job_name)
        for order, entry in enumerate(manifest.plates, start=1)
        if entry.file in files
    }


COMMAND = Command("check", "check a folder of films again, edited meanwhile or not", _add_arguments, _run)
