"""Every seed and a short, fixed run of the fuzzer: a result or a clear refusal, and nothing else."""

import random

import pytest
from mutate import SEEDS, mutated

from vectorsep.artwork import read_artwork
from vectorsep.errors import ArtworkError
from vectorsep.settings import ReadOptions

PATHS = sorted(SEEDS.glob("*.svg"))
CORPUS = [path.read_bytes() for path in PATHS]
OPTIONS = [ReadOptions(skip_unprintable=skip, flatten_opacity=mix) for skip in (False, True) for mix in (False, True)]


def read_or_refuse(data, options):
    """The artwork or None; every region must be valid and every refusal must say something."""
    try:
        artwork = read_artwork(data, options)
    except ArtworkError as error:
        assert str(error).strip()
        return None
    assert all(shape.area.is_valid and not shape.area.is_empty for shape in artwork.shapes)
    return artwork


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_seed_is_drawn_or_refused(path):
    for options in OPTIONS:
        read_or_refuse(path.read_bytes(), options)


def test_skipping_never_draws_less_than_nothing_was_refused():
    for data in CORPUS:
        plain, skipped = (read_or_refuse(data, ReadOptions(skip_unprintable=skip)) for skip in (False, True))
        if plain is not None:
            assert skipped is not None
            assert [shape.hex for shape in skipped.shapes] == [shape.hex for shape in plain.shapes]


def test_mutated_seeds_are_drawn_or_refused():
    rng = random.Random(20)
    drawn = sum(
        read_or_refuse(mutated(rng.choice(CORPUS), CORPUS, rng), rng.choice(OPTIONS)) is not None for _ in range(400)
    )
    assert 20 < drawn < 380
