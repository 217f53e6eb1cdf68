"""Lettering: complete, distinct, on its grid, never silent about what it cannot draw."""

import string

import numpy as np
import pytest

from vectorsep.films.lettering import GLYPHS, letters_in, plain_form, strokes, text_width

WANTED = string.ascii_letters + string.digits + string.punctuation + " °²×µ–…"


def extent(text, capital=6.0):
    points = np.concatenate(strokes(text, 0.0, 0.0, capital))
    return points.min(axis=0), points.max(axis=0)


def test_every_wanted_character_is_drawn():
    assert set(WANTED) <= set(GLYPHS)


def test_no_two_characters_look_the_same():
    dashes = {"–", "—"}
    drawings = [drawing for character, drawing in GLYPHS.items() if character not in dashes]
    assert len(set(drawings)) == len(drawings)


@pytest.mark.parametrize("character", sorted(set(GLYPHS) - {" "}))
def test_drawings_stay_on_the_grid(character):
    low, high = extent(character)
    assert (low >= [0, -6]).all()
    assert (high <= [4, 2]).all()


def test_capitals_stand_on_the_base_line_at_their_height():
    for character in string.ascii_uppercase + string.digits:
        low, high = extent(character, 3.0)
        assert (low[1], high[1]) == (-3.0, 0.0), character


def test_what_has_no_drawing_shows_as_a_box():
    (box,) = strokes("火", 0.0, 0.0, 6.0)
    assert box.tolist() == [[0, -6], [4, -6], [4, 0], [0, 0], [0, -6]]


def test_letters_with_marks_fall_back_to_the_bare_letter():
    assert [s.tolist() for s in strokes("é", 0, 0, 2)] == [s.tolist() for s in strokes("e", 0, 0, 2)]


@pytest.mark.parametrize(
    ("character", "form"),
    [
        *(("ß", "s"), ("ł", "l"), ("Æ", "AE"), ("œ", "oe"), ("ı", "i"), ("Đ", "D"), ("ﬁ", "fi"), ("½", "1/2")),
        *(("①", "1"), ("٣", "3"), ("й", None), ("火", None), ("\u0301", None)),
    ],
)
def test_the_nearest_plain_form_is_that_of_the_character_database(character, form):
    """The names and values are those of the Unicode character database, as printed in its code charts (from memory)."""
    assert plain_form(character) == form


def test_width_is_that_of_the_drawing():
    _, high = extent("HHH", 6.0)
    assert text_width("HHH", 6.0) == high[0]


def test_a_line_holds_as_many_letters_as_are_no_wider():
    for width_mm in (0.1, 1.3, 20.0, 131.0):
        letters = letters_in(width_mm, 2.0)
        assert text_width("x" * letters, 2.0) <= width_mm < text_width("x" * (letters + 1), 2.0)
