"""The command line: arguments in, exit codes out (`exits.py`). Each command is a module of `vectorsep.commands`."""

from __future__ import annotations

import argparse
import io
import re
import sys
from collections.abc import Callable, Sequence
from importlib.metadata import version

from vectorsep.commands import COMMANDS
from vectorsep.commands.telling import printable, printing
from vectorsep.errors import VectorsepError, lacks_memory, unforeseen
from vectorsep.exits import BAD_INPUT, DEFECT, PIPE_CLOSED

NEGATIVE, FLAG = re.compile(r"-\.?\d"), re.compile(r"--\w")
"""How a negative number begins, and no flag; how flags begin that take a value."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Errors are one clear message, never a traceback; an interrupt is raised
    on, for whoever loaded this to take."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal that lacks a letter is no defect
    try:
        return _run(argv)
    except VectorsepError as error:
        print("\n".join(map(printable, f"vectorsep: {error}".split("\n"))), file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        return PIPE_CLOSED  # nobody reads on, and nobody needs to be told
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        print(f"vectorsep: {place}{(error.strerror or str(error)).lower()}", file=sys.stderr)
        return BAD_INPUT
    except Exception as error:
        print(f"vectorsep: {unforeseen(error)}", file=sys.stderr)
        return BAD_INPUT if lacks_memory(error) else DEFECT


def _run(argv: Sequence[str] | None) -> int:
    with printing():  # what the parser prints, such as help
        args = _parser().parse_args(_negatives_attached(sys.argv[1:] if argv is None else argv))
    run: Callable[[argparse.Namespace], int] = args.run
    return run(args)


def _negatives_attached(argv: Sequence[str]) -> list[str]:
    """The arguments, with what begins as a negative number does put to the flag before it: `--choke=-1mm`. Apart, the
    parser takes it for a flag that it does not know, and says that a value is missing."""
    attached: list[str] = []
    for argument in argv:
        if NEGATIVE.match(argument) and attached and FLAG.match(attached[-1]):
            attached[-1] += f"={argument}"
        else:
            attached.append(argument)
    return attached


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="vectorsep", description="Dye-safe screen-printing plates from flat spot-colour SVG art."
    )
    parser.add_argument("--version", action="version", version=f"vectorsep {version('vectorsep')}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for command in COMMANDS:
        arguments = commands.add_parser(command.name, help=command.meaning)
        arguments.set_defaults(run=command.run)
        command.add_arguments(arguments)
    return parser
