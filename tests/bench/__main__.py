"""`python tests/bench [SUBJECT...]`: measure, and print the table. Exit code 1 when anything falls short."""

import argparse
import sys

from measures import MEASURES
from ratios import table


def main() -> int:
    """Measure what is asked for, each line told as soon as it is known, then the whole table."""
    parser = argparse.ArgumentParser(prog="python tests/bench", description="Ratios of times, each pair by turns.")
    parser.add_argument("subjects", nargs="*", metavar="SUBJECT", help=f"of {', '.join(MEASURES)}; all by default")
    subjects = parser.parse_args().subjects or list(MEASURES)
    if unknown := [subject for subject in subjects if subject not in MEASURES]:
        parser.error(f"no such subject: {', '.join(unknown)}")
    measures = []
    for subject in subjects:
        print(f"measuring {subject} ...", file=sys.stderr)
        for measure in MEASURES[subject]():
            print(f"  {measure.name}: {measure.value} ({measure.reach})", file=sys.stderr, flush=True)
            measures.append(measure)
    print(table(measures))
    return 0 if all(measure.reached for measure in measures) else 1


if __name__ == "__main__":
    sys.exit(main())
