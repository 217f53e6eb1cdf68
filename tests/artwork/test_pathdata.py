"""Path data against svgelements (PyPI), a general SVG library, and the fast reader against the careful one."""

import random

import numpy as np
import pytest
import svgelements
from svg import areas_of

from vectorsep.artwork.pathdata import PathError, parse_path, parse_paths
from vectorsep.artwork.pathtokens import ARGUMENTS, careful_rows, fast_rows

NOTATIONS = ("{:d}", "{:.2f}", "-{:.1f}", ".{:d}", "{:d}e-1", "+{:d}")


def random_path(rng):
    """Path data in the odd notations that drawing programs write."""
    text = "M" + number(rng) + "," + number(rng)
    for _ in range(rng.randint(1, 12)):
        letter = rng.choice("MLHVCSQTAZ")
        text += rng.choice([letter, letter.lower()])
        if letter == "A":
            flags = f"{rng.randint(0, 1)}{rng.choice(['', ' ', ','])}{rng.randint(0, 1)} "
            text += f"{rng.randint(1, 50)} {rng.randint(1, 50)} {rng.randint(0, 90)} {flags}{number(rng)} {number(rng)}"
            continue
        for _ in range(ARGUMENTS[letter] * rng.choice([1, 1, 2])):
            value = number(rng)
            glued = text[-1].isalpha() or value[0] in "+-"
            text += ("" if glued else rng.choice([" ", ",", " , "])) + value
    return text


def number(rng):
    notation = rng.choice(NOTATIONS)
    return notation.format(rng.randint(0, 99))


PATHS = [random_path(random.Random(seed)) for seed in range(400)]


@pytest.mark.parametrize("chunk", range(8))
def test_points_along_every_segment_agree(chunk):
    compared = 0
    for text in PATHS[chunk::8]:
        if "T" in text.upper() and "S" in text.upper():
            continue  # svgelements mirrors the wrong handle there
        theirs = [segment for segment in svgelements.Path(text) if not isinstance(segment, svgelements.Move)]
        ours = parse_path(text)[0]
        ends = [(segment.end.x, segment.end.y) for segment in theirs if not isinstance(segment, svgelements.Close)]
        drawn = ours.knots[(ours.steps != 1) & (ours.steps != 4)]
        if ends and len(ends) == len(drawn):
            compared += 1
            assert np.allclose(drawn, ends, atol=1e-9), text
    assert compared > 25


def test_curves_agree_with_svgelements():
    for text in (
        "M0 0C10 0 20 10 20 30S50 9 3 4s1 2 3 4",
        "M1 2Q30 40 50 6T9 9t5-5",
        "M0 0A30 20 30 1 0 40 50a9 4 0 0 1-9-9",
    ):
        outline = parse_path(text)[0]
        curve = np.flatnonzero(outline.curved)
        middles = (outline.knots[curve - 1] + 3 * outline.handles.sum(axis=1) + outline.knots[curve]) / 8
        path = svgelements.Path(text)
        on_path = np.array([path.point(t) for t in np.linspace(0, 1, 6001)])
        for middle in middles:
            assert np.hypot(*(on_path - middle).T).min() < 5e-2


def test_both_readers_of_path_data_agree():
    fast_ones = 0
    for text in PATHS:
        fast, careful = fast_rows(text), careful_rows(text)
        if fast is not None:
            fast_ones += 1
            width = fast[0].numbers.shape[1]
            assert (fast[0].command == careful.command).all()
            assert (fast[0].relative == careful.relative).all()
            assert (fast[0].numbers == careful.numbers[:, :width]).all()
    assert fast_ones > 200


def test_reading_together_gives_what_reading_alone_gives():
    plain = [text for text in PATHS if parse_path(text)[1] is None]
    together = parse_paths(plain)
    assert len(together) > 100
    for text, outline in together.items():
        alone = parse_path(text)[0]
        assert (outline.knots == alone.knots).all() or np.allclose(outline.knots, alone.knots, atol=1e-9)
        assert (outline.steps == alone.steps).all()
        assert (outline.closed == alone.closed).all()


@pytest.mark.parametrize(
    ("text", "knots"),
    [
        ("M1,2-3.5.5.25-.1", [(1, 2), (-3.5, 0.5), (0.25, -0.1)]),
        ("m1 1 2 2zl3 3", [(1, 1), (3, 3), (1, 1), (4, 4)]),
        ("M5 5zm1 1h3", [(5, 5), (6, 6), (9, 6)]),
        ("M0 0 1e1.5+2-3", [(0, 0), (10, 0.5), (2, -3)]),
        ("M0 0h1 2 3v4", [(0, 0), (1, 0), (3, 0), (6, 0), (6, 4)]),
        ("M 0 0 L 1 1 M 2 2 M 3 3 L 4 4", [(0, 0), (1, 1), (3, 3), (4, 4)]),
    ],
)
def test_knots_by_hand(text, knots):
    assert parse_path(text)[0].knots.tolist() == [list(map(float, knot)) for knot in knots]


@pytest.mark.parametrize(
    ("text", "read"),
    [("M0 0L5 5L6", 2), ("M0 0L5 5 6 6 7,", 3), ("M0 0L5 5,,6 6", 2), ("M0 0H5 x", 2), ("M0 0H5A1 1 0 2 0 5 5", 2),
     ("M0 0H5L1 1e999", 2)],
)  # fmt: skip
def test_an_error_ends_the_path(text, read):
    outline, fault = parse_path(text)
    assert len(outline.knots) == read
    assert fault


@pytest.mark.parametrize(
    "text", ["L5 5", "M", "M5", "M5 5L", "5 5", "M0 0 L x", "hello", "M1e999 0L5 5", "M0 0\N{FULLWIDTH DIGIT ONE}"]
)
def test_paths_without_a_readable_segment_are_refused(text):
    with pytest.raises(PathError):
        parse_path(text)


def test_numbers_are_read_to_the_nearest_double():
    # Oracle: Python's float(), which rounds correctly.
    rng = np.random.default_rng(7)
    written = [f"{rng.choice(['', '-', '+'])}{rng.uniform(0, 10.0 ** rng.integers(-3, 6)):.{places}f}"
               for places in range(14) for _ in range(60)]  # fmt: skip
    written += [text.replace("0.", ".") for text in written if text.lstrip("+-").startswith("0.")]
    written += ["-0.0", "9007199254740993", "0.1234567890123456789", "123456789012345678901234567890", "00012.50"]
    for some in (written[:-4], written):  # short numbers alone, and with such as need more digits than a double has
        pairs = some[: len(some) // 2 * 2]
        expected = np.array([float(text) for text in pairs]).reshape(-1, 2)
        knots = parse_path("M " + " ".join(pairs))[0].knots
        assert (knots == expected).all()


def test_paths_with_spaces_around_are_read_together(monkeypatch):
    """Many drawing programs write one behind the last letter."""

    def one_by_one(text):
        raise AssertionError(f"read alone: {text!r}")

    monkeypatch.setattr("vectorsep.artwork.outlines.parse_path", one_by_one)
    paths = "".join(f'<path d="{before}M{i} 0h9v9z{after}"/>' for i, (before, after) in enumerate(SPACES))
    assert [area for _, area in areas_of(paths)] == pytest.approx([40.5] * len(SPACES))


SPACES = (("", ""), ("", " "), ("  ", ""), ("\n\t", "\n"), ("", "&#10; "))
