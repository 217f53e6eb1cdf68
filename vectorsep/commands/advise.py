"""`vectorsep advise`: what each pair of spread and choke costs a design, and which to take."""

from __future__ import annotations

import argparse
from pathlib import Path

from tqdm import tqdm

from vectorsep.advise import Advice, advise, draw_chart
from vectorsep.advise.sweep import pair_count
from vectorsep.api import read_design
from vectorsep.commands.command import SAFE, UNSAFE, Command
from vectorsep.commands.options import add_job, add_quiet, add_replace, add_settings, settings_of
from vectorsep.commands.telling import printing
from vectorsep.files import read_file, text_name
from vectorsep.units import format_mm
from vectorsep.writing import refuse_to_overwrite, write_file


def _add_arguments(command: argparse.ArgumentParser) -> None:
    command.add_argument("design", type=Path, metavar="DESIGN.svg")
    command.add_argument("--chart", type=Path, metavar="CHART.svg", help="also draw the sweep into this file")
    add_replace(command, "a chart, or any other file but the design or the job,")
    add_job(command)
    add_quiet(command)
    add_settings(command)


def _run(args: argparse.Namespace) -> int:
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
            _tell(advice)
    return SAFE if advice.chosen.safe else UNSAFE


def _refuse_to_overwrite(args: argparse.Namespace) -> None:
    if args.chart:
        inputs = [path for path in (args.design, args.job) if path and path.exists()]
        refuse_to_overwrite(args.chart, replace=args.replace, read=inputs)


def _tell(advice: Advice) -> None:
    print("spread  choke    rim  receding  no white  gaps closed  lines bare  clearance  white")
    print("    mm     mm    mm²       mm²       mm²           mm          mm         mm")
    for pair in advice.pairs:
        mark = "<- take" if pair is advice.chosen else "" if pair.safe else "not safe"
        print(
            f"{pair.spread_mm:6.2f} {pair.choke_mm:6.2f} {pair.rim_mm2:6.0f} {pair.receding_mm2:9.1f} "
            f"{pair.no_white_mm2:9.0f} {pair.closed_gaps_mm:12.1f} {pair.bare_lines_mm:11.1f} "
            f"{_or_dash(pair.clearance_mm):>10}  {'hidden' if pair.white_hides else 'shows'} {mark}".rstrip()
        )
    chosen = advice.chosen
    print(f"take spread {format_mm(chosen.spread_mm)} and choke {format_mm(chosen.choke_mm)}: {advice.reason}")


def _or_dash(length_mm: float | None) -> str:
    return "-" if length_mm is None else f"{length_mm:.3f}"


COMMAND = Command("advise", "sweep spread and choke over a design and name the pair to take", _add_arguments, _run)
