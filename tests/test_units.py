"""Lengths at the program's edges, against CSS Values and Units 3, section 6.2."""

import pytest

from vectorsep.units import LengthError, counted, format_mm, parse_length_mm


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (0.4, 0.4),
        ("0.4", 0.4),
        ("0.4mm", 0.4),
        (" .4 MM ", 0.4),
        ("1in", 25.4),
        ("72pt", 25.4),
        ("6pc", 25.4),
        ("96px", 25.4),
        ("101.6Q", 25.4),
        ("2.54cm", 25.4),
        ("1pt", 0.352778),
        ("1e-1mm", 0.1),
    ],
)
def test_lengths_in_css_units(written, mm):
    assert parse_length_mm(written) == pytest.approx(mm, abs=1e-6)


@pytest.mark.parametrize(
    "written", ["", "mm", "1 furlong", "1,5mm", "nan", "inf", "1e999", None, True, [1], "0.4mm;", 10**400]
)
def test_what_is_no_length_is_refused_with_its_text(written):
    with pytest.raises(LengthError, match=r"length|unit"):
        parse_length_mm(written)


def test_lengths_are_written_with_their_unit():
    assert format_mm(0.25) == "0.25 mm"
    assert format_mm(0.0) == "0 mm"
    assert format_mm(10.0) == "10 mm"


def test_one_is_no_plural():
    assert [counted(n, "screen") for n in (0, 1, 2)] == ["0 screens", "1 screen", "2 screens"]
    assert counted(2, "patch", "patches") == "2 patches"
