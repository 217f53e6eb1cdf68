"""A mutation fuzzer over the reader: `python tests/fuzz/mutate.py --minutes 30 --out found`.

It splices, repeats, drops and perturbs the constructs of all seeds, and reads the outcome under a time limit. Anything
but a result or an ArtworkError is a find: the file is kept in the folder given, with the error's name.
"""

from __future__ import annotations

import argparse
import random
import re
import signal
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

SEEDS = Path(__file__).parents[2] / "seeds"
SECONDS = 5
"""A hostile file must be told off within this time of the processor."""
NUMBER = re.compile(rb"[-+]?\d*\.?\d+(?:[eE][-+]?\d+)?")
TAG = re.compile(rb"<[a-zA-Z][^<>]*/?>")
ATTRIBUTE = re.compile(rb"""\s[\w:-]+\s*=\s*"[^"]*\"""")
ODD_NUMBERS = (
    b"0 -0 1 -1 0.5 1e-9 1e9 -1e9 1e30 1e300 1e400 nan inf 99999999999 1e-320 .5.5 1. - 1e 0x1 100% 3em 2mm"
).split()
ODD_WORDS = (
    b"none inherit initial auto currentColor context-fill url(#a) url(#missing) url() evenodd #12 rgb(1,2) red "
    b"!important non-scaling-stroke fill-box objectBoundingBox userSpaceOnUse auto-start-reverse hidden visible "
    b"scale(0) matrix(1) z"
).split()


class Slow(Exception):
    """Raised by the alarm."""


def _alarm(*_: object) -> None:
    raise Slow


def mutated(data: bytes, others: list[bytes], rng: random.Random) -> bytes:
    """One to five random changes."""
    for _ in range(rng.randint(1, 5)):
        data = rng.choice(CHANGES)(data, others, rng)
    return data[:200_000]


def _number(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    return _replaced(data, NUMBER, rng.choice(ODD_NUMBERS), rng)


def _word(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    return _replaced(data, re.compile(rb'(?<=")[^"]*(?=")'), rng.choice(ODD_WORDS), rng)


def _splice_tag(data: bytes, others: list[bytes], rng: random.Random) -> bytes:
    tags = TAG.findall(rng.choice(others))
    return _replaced(data, TAG, rng.choice(tags), rng) if tags else data


def _insert_element(data: bytes, others: list[bytes], rng: random.Random) -> bytes:
    whole = [tag for tag in TAG.findall(rng.choice(others)) if tag.endswith(b"/>")]
    places = [match.end() for match in TAG.finditer(data)]
    if not whole or not places:
        return data
    at = rng.choice(places)
    return data[:at] + rng.choice(whole) * rng.choice([1, 1, 1, 2, 40]) + data[at:]


def _splice_attribute(data: bytes, others: list[bytes], rng: random.Random) -> bytes:
    given = ATTRIBUTE.findall(rng.choice(others))
    return _replaced(data, ATTRIBUTE, rng.choice(given), rng) if given else data


def _drop(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    return _replaced(data, rng.choice([TAG, ATTRIBUTE, NUMBER]), b" ", rng)


def _repeat(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    a, b = sorted(rng.randrange(len(data) + 1) for _ in range(2))
    return data[:b] + data[a:b] * rng.choice([1, 2, 5]) + data[b:]


def _flip(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    changed = bytearray(data or b" ")
    for _ in range(rng.randint(1, 4)):
        changed[rng.randrange(len(changed))] = rng.randrange(256)
    return bytes(changed)


def _truncate(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data) + 1)]


def _rename_id(data: bytes, _: list[bytes], rng: random.Random) -> bytes:
    names = re.findall(rb'(?<=id=")[^"]+', data)
    return _replaced(data, re.compile(rb"(?<=#)\w+"), rng.choice(names), rng) if names else data


def _replaced(data: bytes, pattern: re.Pattern[bytes], new: bytes, rng: random.Random) -> bytes:
    matches = list(pattern.finditer(data))
    if not matches:
        return data
    match = rng.choice(matches)
    return data[: match.start()] + new + data[match.end() :]


CHANGES = (
    _number, _number, _word, _splice_tag, _insert_element, _insert_element, _splice_attribute, _splice_attribute,
    _drop, _repeat, _flip, _truncate, _rename_id,
)  # fmt: skip


def outcome(data: bytes, options: ReadOptions) -> str:
    """`drawn`, `refused`, or the name of what went wrong."""
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        artwork = read_artwork(data, options)
        sound = all(shape.area.is_valid and not shape.area.is_empty for shape in artwork.shapes)
    except ArtworkError:
        return "refused"
    except Slow:
        return "slow"
    except Exception as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        return f"{type(error).__name__}-{Path(frame.filename).stem}-{frame.lineno}"
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    return "drawn" if sound else "invalid-region"


def main() -> None:
    """Fuzz for a while, print counts, keep one file for each kind of find."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=30)
    parser.add_argument("--out", type=Path, default=Path("found"))
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    signal.signal(signal.SIGPROF, _alarm)
    warnings.simplefilter("error")
    corpus = [path.read_bytes() for path in sorted(SEEDS.glob("*.svg"))]
    rng, counts = random.Random(arguments.seed), Counter()
    end = time.monotonic() + 60 * arguments.minutes
    while time.monotonic() < end:
        data = mutated(rng.choice(corpus), corpus, rng)
        flags = rng.randrange(4)
        kind = outcome(data, ReadOptions(skip_unprintable=bool(flags & 1), flatten_opacity=bool(flags & 2)))
        counts[kind] += 1
        if kind not in ("drawn", "refused") and counts[kind] <= 3:
            (arguments.out / f"{kind}-{flags}-{counts[kind]}.svg").write_bytes(data)
            print(kind, sum(counts.values()), flush=True)
    print(sum(counts.values()), "files:", dict(counts.most_common()))


if __name__ == "__main__":
    main()
