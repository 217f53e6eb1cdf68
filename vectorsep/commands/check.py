"""`vectorsep check`: measure a folder of films again, edited meanwhile or not."""

from __future__ import annotations

import argparse
from collections.abc import Collection, Iterator
from dataclasses import replace
from pathlib import Path

from vectorsep.check import REGISTRATION, folder_findings, settings_findings
from vectorsep.commands.command import Command
from vectorsep.commands.options import add_length, add_quiet
from vectorsep.commands.telling import printing, tell_check, tell_quietly
from vectorsep.exits import SAFE, UNSAFE
from vectorsep.files import read_films
from vectorsep.films import Manifest, write_bare_film
from vectorsep.model import Finding, MadeFilm
from vectorsep.paper.remarks import MOST_ALIKE
from vectorsep.pipeline import check_films


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", type=Path, metavar="DIR", help="a folder of plates that separate has written")
    add_length(command, "--registration", REGISTRATION, "hold the films to this tolerance instead of the job's")
    command.add_argument("--all", action="store_true", help="list every finding, however many are alike")
    add_quiet(command)


def _run(args: argparse.Namespace) -> int:
    manifest, films, state = read_films(args.folder)
    settings = manifest.settings
    of_folder = (*folder_findings(state), *_changed_settings(manifest, args.registration_mm))
    if args.registration_mm is not None:
        settings = replace(settings, registration_mm=args.registration_mm)
    check = check_films(films, manifest.sheet, settings, _as_made(manifest, state.films_edited))
    check = replace(check, findings=(*of_folder, *check.findings))
    edited = len(state.films_edited)
    if args.quiet:
        tell_quietly(check, settings.registration_mm, edited=edited)
    else:
        most = None if args.all else MOST_ALIKE
        with printing():
            tell_check(check, settings.registration_mm, edited=edited, most=most, others="give --all to list them")
    return SAFE if check.safe else UNSAFE


def _changed_settings(manifest: Manifest, registration_mm: float | None) -> Iterator[Finding]:
    """Which of the settings were changed in the report; a tolerance that is given now replaces the report's."""
    changed = [name for name in manifest.settings_changed if name != REGISTRATION or registration_mm is None]
    return settings_findings(changed)


def _as_made(manifest: Manifest, files: Collection[str]) -> dict[str, MadeFilm]:
    """How these films were made, by file."""
    plates = [entry.plate for entry in manifest.plates]
    return {
        entry.file: MadeFilm(
            write_bare_film(plates, order, manifest.sheet, manifest.settings, manifest.job_name), entry.ink
        )
        for order, entry in enumerate(manifest.plates, start=1)
        if entry.file in files
    }


COMMAND = Command("check", "check a folder of films again, edited meanwhile or not", _add_arguments, _run)
