"""The command line: arguments in, files and exit codes out.

Exit codes: 0 safe, 1 written but unsafe, 2 bad input or settings, 3 a defect of this program.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from tqdm import tqdm

from vectorsep.errors import VectorsepError
from vectorsep.files import read_file, read_films, read_job_file, unlisted_films, write_folder
from vectorsep.model import Check, Finding
from vectorsep.pipeline import STAGES, check_films, separate
from vectorsep.separation import Separation
from vectorsep.settings import ReadOptions, Settings
from vectorsep.units import format_mm, parse_length_mm

SAFE, UNSAFE, BAD_INPUT, DEFECT = 0, 1, 2, 3
INTERRUPTED = 130
"""What a shell expects of a command stopped by the user."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Errors are one clear message, never a traceback."""
    args = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = args.run
    try:
        return run(args)
    except VectorsepError as error:
        print(f"vectorsep: {error}", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("vectorsep: stopped, nothing was written", file=sys.stderr)
        return INTERRUPTED
    except Exception as error:
        print(
            f"vectorsep: a defect of this program, not of your art: {error!r}; nothing was written",
            file=sys.stderr,
        )
        return DEFECT


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="vectorsep", description="Dye-safe screen-printing plates from flat spot-colour SVG art."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    _add_separate(commands.add_parser("separate", help="make the plates, films and stacking report of a design"))
    _add_check(commands.add_parser("check", help="check a folder of films again, edited meanwhile or not"))
    return parser


def _add_separate(command: argparse.ArgumentParser) -> None:
    command.set_defaults(run=_run_separate)
    command.add_argument("design", type=Path, metavar="DESIGN.svg")
    command.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder to write")
    command.add_argument("--job", type=Path, metavar="JOB.toml", help="garment, press, distances and inks of the job")
    command.add_argument("--replace", action="store_true", help="replace a folder of plates that is already there")
    _add_quiet(command)
    _add_length(command, "--width", "width_mm", "printed width of the page; the height follows")
    _add_length(command, "--height", "height_mm", "printed height of the page; the width follows")
    _add_length(command, "--spread", "spread_mm", "how far the blocker grows past the art")
    _add_length(command, "--choke", "choke_mm", "how far the white stays inside the art")
    _add_length(command, "--trap", "trap_mm", "how far the lighter of two inks runs under the darker")
    _add_length(command, "--clearance", "clearance_mm", "least distance of upper inks to the blocker's edge")
    _add_length(command, "--registration", "registration_mm", "how far two plates may sit from each other")
    command.add_argument("--blocker", metavar="COLOUR", help="black or grey")
    command.add_argument("--merge-black", action="store_true", default=None, help="the blocker prints the art's black")
    command.add_argument(
        "--merge-inks",
        type=float,
        metavar="DIFFERENCE",
        help="colours this alike (CIEDE2000, such as 2.0) become one ink",
    )
    command.add_argument(
        "--skip-unprintable",
        action="store_true",
        default=None,
        help="leave out what flat ink cannot print, and say so",
    )


def _add_check(command: argparse.ArgumentParser) -> None:
    command.set_defaults(run=_run_check)
    command.add_argument("folder", type=Path, metavar="DIR")
    _add_length(command, "--registration", "registration_mm", "hold the films to this tolerance instead of the job's")
    _add_quiet(command)


def _add_quiet(command: argparse.ArgumentParser) -> None:
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")


def _add_length(command: argparse.ArgumentParser, flag: str, field: str, meaning: str) -> None:
    command.add_argument(flag, dest=field, type=_length, metavar="LENGTH", help=f"{meaning}, such as 0.4mm or 1pt")


def _length(text: str) -> float:
    try:
        return parse_length_mm(text)
    except VectorsepError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def settings_of(args: argparse.Namespace) -> Settings:
    """The job file's settings with the command line's on top. Raises SettingsError."""
    values: dict[str, Any] = read_job_file(args.job) if args.job else {}
    given = {name: value for name, value in vars(args).items() if value is not None}
    art = {field.name: given[field.name] for field in fields(ReadOptions) if field.name in given}
    values |= {field.name: given[field.name] for field in fields(Settings) if field.name in given}
    values["art"] = replace(values.get("art", ReadOptions()), **art)
    return Settings(**values)


def _run_separate(args: argparse.Namespace) -> int:
    settings = settings_of(args)
    svg = read_file(args.design)
    with tqdm(total=len(STAGES), disable=True if args.quiet else None, leave=False) as bar:

        def on_stage(stage: str) -> None:
            bar.set_description(stage)
            bar.update()

        job, files = separate(svg, settings, args.design.name, on_stage)
    write_folder(args.out, files, replace=args.replace)
    if not args.quiet:
        _tell_separation(job, args.out)
    return SAFE if job.check.safe else UNSAFE


def _run_check(args: argparse.Namespace) -> int:
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
    check = Check(check.clearances, (*strays, *check.findings))
    if not args.quiet:
        _tell_check(check, settings.registration_mm)
    return SAFE if check.safe else UNSAFE


def _tell_separation(job: Separation, folder: Path) -> None:
    for notice in (*job.design.notices, *job.stack.notices):
        print(f"{notice.severity}: {_where(notice.plate, notice.at_mm)}{notice.message}")
    _tell_check(job.check, job.settings.registration_mm)
    print(f"{len(job.films)} screens in {folder}; open {folder / 'stacking-report.html'}")


def _tell_check(check: Check, tolerance_mm: float) -> None:
    for clearance in check.clearances:
        if clearance.distance_mm is not None and clearance.at_mm is not None:
            x, y = clearance.at_mm
            distance = format_mm(clearance.distance_mm)
            print(f"{clearance.plate.ink}: {distance} to the blocker's edge, tightest at {x:.2f}, {y:.2f} mm")
    for finding in check.findings:
        print(f"{finding.severity}: {_where(finding.plate, finding.at_mm)}{finding.message}")
    verdict = "SAFE" if check.safe else "NOT SAFE"
    print(f"{verdict} at a registration tolerance of {format_mm(tolerance_mm)}")


def _where(plate: str | None, at_mm: tuple[float, float] | None) -> str:
    place = f" at {at_mm[0]:.2f}, {at_mm[1]:.2f} mm" if at_mm else ""
    return f"{plate or 'stack'}{place}: " if plate or place else ""
