"""`vectorsep separate`: the plates, films and stacking report of one design."""

from __future__ import annotations

import argparse
from pathlib import Path

from tqdm import tqdm

from vectorsep.commands.command import Command
from vectorsep.commands.options import add_design, add_job, add_quiet, add_replace, add_settings, settings_of
from vectorsep.commands.telling import printing, tell_quietly, tell_separation
from vectorsep.exits import SAFE, UNSAFE
from vectorsep.files import read_file, text_name
from vectorsep.pipeline import STAGES, separate
from vectorsep.writing import refuse_to_lose, write_folder


def _add_arguments(command: argparse.ArgumentParser) -> None:
    add_design(command)
    command.add_argument("--out", type=Path, required=True, metavar="DIR", help="the folder to write")
    add_job(command)
    add_replace(command, "a folder of plates that is already there")
    add_quiet(command)
    add_settings(command)


def _run(args: argparse.Namespace) -> int:
    settings = settings_of(args)
    refuse_to_lose(args.out, replace=args.replace)
    name, svg = text_name(args.design.name), read_file(args.design)
    with tqdm(total=len(STAGES), disable=True if args.quiet else None, leave=False) as bar:

        def on_stage(stage: str) -> None:
            bar.set_description(stage)
            bar.update()

        job, files = separate(svg, settings, name, on_stage)
    write_folder(args.out, files, replace=args.replace)
    if args.quiet:
        tell_quietly(job.check, settings.registration_mm)
    else:
        with printing(f"{args.out} is written"):
            tell_separation(job, args.out)
    return SAFE if job.check.safe else UNSAFE


COMMAND = Command("separate", "make the plates, films and stacking report of a design", _add_arguments, _run)
