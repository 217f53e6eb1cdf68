"""Options that several commands share, and the settings they make."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from vectorsep.errors import VectorsepError
from vectorsep.files import read_job_file
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import ReadOptions, Settings
from vectorsep.units import parse_length_mm

DISTANCES, SIZES = "0.4mm or 1pt", "280mm or 11in"
"""Lengths as they are usual for what is measured."""


def add_design(command: argparse.ArgumentParser) -> None:
    """Add the design that is read."""
    command.add_argument("design", type=Path, metavar="DESIGN.svg", help="the art, flat solid colours, as SVG")


def add_job(command: argparse.ArgumentParser, what: str = "garment, press, distances and inks of the job") -> None:
    """Add `--job`."""
    command.add_argument("--job", type=Path, metavar="JOB.toml", help=what)


def add_settings(command: argparse.ArgumentParser, *, traps: bool = True, films: bool = True) -> None:
    """Add the options that stand above the job file; `--trap` where colours are trapped, and with `films` those that
    only finished films show."""
    add_length(command, "--width", "width_mm", "printed width of the page; the height follows", SIZES)
    add_length(command, "--height", "height_mm", "printed height of the page; the width follows", SIZES)
    add_length(command, "--spread", "spread_mm", "how far the blocker grows past the art")
    add_length(command, "--choke", "choke_mm", "how far the white stays inside the art")
    if traps:
        add_length(command, "--trap", "trap_mm", "how far the lighter of two inks runs under the darker")
    add_length(command, "--clearance", "clearance_mm", "least distance of upper inks to the blocker's edge")
    add_length(command, "--registration", "registration_mm", "how far two plates may sit from each other")
    command.add_argument("--blocker", metavar="COLOUR", help="black or grey")
    _add_switch(command, "--merge-black", "the blocker prints the art's black")
    _add_switch(command, "--fill-gaps", "gaps that art would recede from fill with blocker")
    _add_switch(command, "--knock-out", "art in the garment's own colour is left to the cloth", "knock_out_garment")
    command.add_argument(
        "--merge-inks",
        type=float,
        metavar="DIFFERENCE",
        help="colours this alike (CIEDE2000, such as 2.0) become one ink",
    )
    if films:
        add_mirror(command)
    _add_switch(
        command, "--flatten-opacity", "turn part-transparent shapes over opaque art into mixed inks, and say so"
    )
    _add_switch(command, "--skip-unprintable", "leave out what flat ink cannot print, and say so")


def add_mirror(command: argparse.ArgumentParser) -> None:
    """Add `--mirror`."""
    _add_switch(command, "--mirror", "films turned left to right, as for transfers: right reading, emulsion down")


def _add_switch(command: argparse.ArgumentParser, flag: str, meaning: str, field: str | None = None) -> None:
    """Add a switch that stands above the job file either way: `--mirror`, `--no-mirror`; None without either."""
    field = field or flag.removeprefix("--").replace("-", "_")
    command.add_argument(flag, dest=field, action=argparse.BooleanOptionalAction, help=meaning)


def add_replace(command: argparse.ArgumentParser, what: str) -> None:
    """Add `--replace`."""
    command.add_argument("--replace", action="store_true", help=f"replace {what}")


def add_quiet(command: argparse.ArgumentParser) -> None:
    """Add `--quiet`."""
    command.add_argument("--quiet", action="store_true", help="print nothing but errors")


def add_length(
    command: argparse.ArgumentParser, flag: str, field: str, meaning: str, examples: str = DISTANCES
) -> None:
    """Add an option whose value is a length, kept in mm."""
    command.add_argument(flag, dest=field, type=_length, metavar="LENGTH", help=f"{meaning}, such as {examples}")


def _length(text: str) -> float:
    try:
        return parse_length_mm(text)
    except VectorsepError as error:
        raise argparse.ArgumentTypeError(str(error)) from error


def settings_of(args: argparse.Namespace) -> Settings:
    """The job file's settings with the command line's on top. Raises SettingsError."""
    return Settings(**values_of(args))


def values_of(args: argparse.Namespace) -> dict[str, Any]:
    """The same before anything is made of them: keyword values of `Settings`. Raises SettingsError."""
    return values_over(read_job_file(args.job) if args.job else {}, args)


def values_over(job_values: Mapping[str, Any], args: argparse.Namespace) -> dict[str, Any]:
    """A job file's values with the command line's on top."""
    values = dict(job_values)
    given = {name: value for name, value in vars(args).items() if value is not None}
    art = {field.name: given[field.name] for field in fields(ReadOptions) if field.name in given}
    values |= {field.name: given[field.name] for field in fields(Settings) if field.name in given}
    values["art"] = replace(values.get("art", ReadOptions()), **art)
    if "mirror" in given:
        values["film"] = replace(values.get("film", FilmSetting()), mirror=given["mirror"])
    return values
