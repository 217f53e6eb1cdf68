"""The films' page: room for ink, film sizes, what does not fit."""

import pytest
from shapely import box

from vectorsep.errors import SettingsError
from vectorsep.films.sheet import INK_ROOM_MM, MARK_BAND_MM, lay_out_sheet
from vectorsep.model import Design, InkArea, Plate
from vectorsep.press_settings import FilmSetting
from vectorsep.settings import Settings

PLATES = [
    Plate("blocker", "blocker black", "#000000", box(9, 9, 91, 71)),
    Plate("colour", "red", "#ff0000", box(10, 10, 90, 70)),
]


def lay_out(design, settings):
    return lay_out_sheet(design, PLATES, settings)


def design():
    return Design(100.0, 80.0, (InkArea("red", "#ff0000", box(10, 10, 90, 70)),))


def test_ink_of_every_plate_has_room():
    sheet = lay_out(design(), Settings(spread_mm=0.4))
    assert sheet.ink_margin_mm >= 0.4 + INK_ROOM_MM
    assert sheet.width_mm == 100 + 2 * (sheet.ink_margin_mm + MARK_BAND_MM)


def test_a_film_size_puts_the_art_in_its_middle():
    settings = Settings(film=FilmSetting(width_mm=300.0, height_mm=250.0, mirror=True))
    sheet = lay_out(design(), settings)
    assert (sheet.width_mm, sheet.height_mm) == (300.0, 250.0)
    assert (sheet.margin_x_mm, sheet.margin_y_mm) == (100.0, 85.0)
    assert sheet.mirrored


def test_wider_margins_on_request_and_never_narrower():
    assert lay_out(design(), Settings(film=FilmSetting(margin_mm=60.0))).margin_x_mm == 60.0
    least = lay_out(design(), Settings())
    assert lay_out(design(), Settings(film=FilmSetting(margin_mm=1.0))) == least


def test_art_that_does_not_fit_is_told_on_both_sides_at_once():
    with pytest.raises(SettingsError) as caught:
        lay_out(design(), Settings(film=FilmSetting(width_mm=110.0, height_mm=90.0)))
    assert [problem.rpartition("@ ")[2] for problem in caught.value.problems] == ["film.width", "film.height"]
    assert "140 mm" in caught.value.problems[0]
