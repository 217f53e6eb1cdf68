"""`vectorsep tune`: a page in the browser on which distances are moved and the plates' edges seen at once."""

from __future__ import annotations

import argparse
import sys
import webbrowser
from threading import Thread

from vectorsep.api import read_design
from vectorsep.commands.command import Command
from vectorsep.commands.options import add_design, add_job, add_settings, values_of
from vectorsep.commands.telling import printable, printing
from vectorsep.errors import VectorsepError
from vectorsep.exits import SAFE
from vectorsep.files import read_file, text_name
from vectorsep.model import Bounds, Design, Point
from vectorsep.settings import Settings
from vectorsep.tune import LightTable, TuneServer
from vectorsep.tune.view import first_window
from vectorsep.units import format_mm, parse_length_mm

LARGEST_PORT = 65_535


class PortError(VectorsepError):
    """The page cannot be served at the port that was asked for."""


class PlaceError(VectorsepError):
    """There is nothing at the place that was asked for."""


def _add_arguments(command: argparse.ArgumentParser) -> None:
    add_design(command)
    command.add_argument(
        "--at", type=_place, metavar="X,Y", help="the place to look at first, as warnings give it, such as 23.4,55.1"
    )
    command.add_argument("--open", action="store_true", help="open the page in the browser too")
    command.add_argument("--port", type=_port, default=0, metavar="N", help="instead of any port that is free")
    add_job(command)
    add_settings(command, films=False)


def _place(text: str) -> Point:
    """Two lengths, in mm unless they say otherwise."""
    try:
        x, y = map(parse_length_mm, text.split(","))
    except (ValueError, VectorsepError) as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no place: give two lengths, such as 23.4,55.1") from error
    return (x, y)


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > LARGEST_PORT:
        raise argparse.ArgumentTypeError(f"{text!r} is no port: give a number up to {LARGEST_PORT}")
    return int(text)


def _run(args: argparse.Namespace) -> int:
    values = values_of(args)
    name, svg = text_name(args.design.name), read_file(args.design)
    design = read_design(svg, Settings(**values))
    table = LightTable(name, svg, design, values, _first_window(design, args.at))
    table.look({"window": ",".join(map(str, table.first_window))})  # what the job asks in vain is told here
    with _served(table, args.port) as server:
        with printing():
            print(f"{server.address} shows {printable(name)}; Ctrl+C ends it")
        if args.open:  # beside the server, since some browsers are waited for
            Thread(target=show, args=(server.address_to_open,), daemon=True).start()
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            return SAFE  # the way to end it
    return SAFE


def _first_window(design: Design, place: Point | None) -> Bounds:
    left, top, right, bottom = window = first_window(design, place)
    if right < 0 or bottom < 0 or left > design.width_mm or top > design.height_mm:
        page = f"{format_mm(design.width_mm)} × {format_mm(design.height_mm)}"
        raise PlaceError(f"--at is far off the page of {page}: places count from its top left, as in warnings")
    return window


def show(address: str) -> None:
    """Open the page in this machine's browser, or say that there is none."""
    if not webbrowser.open(address):
        print("vectorsep: no browser was found here: open the address in one yourself", file=sys.stderr)


def _served(table: LightTable, port: int) -> TuneServer:
    try:
        return TuneServer(table, port)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise PortError(f"port {port}: {reason}; give another with --port, or leave it out") from error


COMMAND = Command("tune", "show the plates' edges in the browser while distances are moved", _add_arguments, _run)
