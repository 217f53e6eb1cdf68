"""The program: `vectorsep`, or `python -m vectorsep`."""

import gc
import sys
from collections.abc import Sequence

from vectorsep.exits import INTERRUPTED


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code, however early it is interrupted: its modules are loaded in here."""
    try:
        from vectorsep.cli import main as run  # noqa: PLC0415

        gc.freeze()  # what was loaded stays: each search for garbage would go through all of it
        return run(argv)
    except KeyboardInterrupt:
        print("vectorsep: stopped", file=sys.stderr)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
