"""What every command is to the command line: a name, its arguments, what it runs, how it ends."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

SAFE, UNSAFE, BAD_INPUT, DEFECT = 0, 1, 2, 3
"""Exit codes: all is safe; written but unsafe; bad input or settings; a defect of this program."""
INTERRUPTED, PIPE_CLOSED = 130, 141
"""What a shell expects of a command stopped by the user, and of one whose reader has gone."""


@dataclass(frozen=True, slots=True)
class Command:
    """One command. `run` returns an exit code, and raises VectorsepError for what the user can mend."""

    name: str
    meaning: str
    add_arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
