"""`vectorsep advise`: what each pair of spread and choke costs a design, and which to take."""

from __future__ import annotations

import argparse
from pathlib import Path

from tqdm import tqdm

from vectorsep.advise import advise, draw_chart, table_lines
from vectorsep.advise.sweep import pair_count
from vectorsep.api import read_design
from vectorsep.commands.command import Command
from vectorsep.commands.options import add_design, add_job, add_quiet, add_replace, add_settings, settings_of
from vectorsep.commands.telling import printing
from vectorsep.errors import FolderError
from vectorsep.exits import SAFE, UNSAFE
from vectorsep.files import read_file, text_name
from vectorsep.writing import refuse_to_overwrite, write_file

SVG = ".svg"


def _add_arguments(command: argparse.ArgumentParser) -> None:
    add_design(command)
    command.add_argument("--chart", type=Path, metavar="CHART.svg", help="also draw the sweep into this SVG file")
    add_replace(command, "what is already there: a chart, or any other file but the design or the job")
    add_job(command)
    add_quiet(command)
    add_settings(command, traps=False, films=False)


def _run(args: argparse.Namespace) -> int:
    _refuse_other_endings(args.chart)
    _refuse_to_overwrite(args)
    settings = settings_of(args)
    name, design = text_name(args.design.name), read_design(read_file(args.design), settings)
    with tqdm(total=pair_count(settings), desc="pairs", disable=True if args.quiet else None, leave=False) as bar:
        advice = advise(design, settings, bar.update)
    if args.chart:
        _refuse_to_overwrite(args)
        write_file(args.chart, draw_chart(advice, f"{name}: spread and choke"))
    if not args.quiet:
        with printing(f"{args.chart} is written" if args.chart else ""):
            print(*table_lines(advice), sep="\n")
    return SAFE if advice.chosen.safe else UNSAFE


def _refuse_other_endings(chart: Path | None) -> None:
    """Raise FolderError for a name that promises another kind of file: no program would open it."""
    if chart and chart.suffix.lower() != SVG:
        raise FolderError(
            f"{chart}: a chart is drawn as SVG; give a name that ends in {SVG}, such as {chart.stem}{SVG}"
        )


def _refuse_to_overwrite(args: argparse.Namespace) -> None:
    if args.chart:
        inputs = [path for path in (args.design, args.job) if path and path.exists()]
        refuse_to_overwrite(args.chart, replace=args.replace, read=inputs)


COMMAND = Command("advise", "sweep spread and choke over a design and name the pair to take", _add_arguments, _run)
