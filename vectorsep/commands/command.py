"""What every command is to the command line: a name, what it is for, its arguments, what it runs."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Command:
    """One command. `run` returns an exit code, and raises VectorsepError for what the user can mend."""

    name: str
    meaning: str
    add_arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]
