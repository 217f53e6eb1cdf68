"""Registration marks against crosses drawn here, and their places against those that the films' side works out."""

import pytest
import shapely
from shapely import affinity

from vectorsep.check.marks import mark_places, marks_findings
from vectorsep.films.marks import register_centres
from vectorsep.model import Sheet

SHEET = Sheet(60.0, 40.0, 4.0, 20.0, 24.0)
PLACES = ((30, -14), (72, 20), (30, 54), (-12, 20))
"""By hand: half of 60 and 40 mm, and from the page's edge half of 4 + 20 mm or 4 + 24 mm."""


def crosses(*, apart_from=()):
    """A cross of 10 mm with a line of 0.4 mm at each place but those left out."""
    at = [place for place in PLACES if place not in apart_from]
    arms = [
        affinity.translate(shapely.box(*arm), *place)
        for place in at
        for arm in ((-5, -0.2, 5, 0.2), (-0.2, -5, 0.2, 5))
    ]
    return shapely.union_all(arms)


def found(*margins):
    return [
        (finding.code, finding.severity, finding.plate, finding.at_mm)
        for finding in marks_findings([(f"ink {i}", margin) for i, margin in enumerate(margins)], SHEET)
    ]


def test_the_places_are_those_of_the_films():
    assert mark_places(SHEET) == PLACES
    assert mark_places(SHEET) == register_centres(SHEET)


@pytest.mark.parametrize(("way_mm", "told"), [(0.009, False), (0.011, True)])
@pytest.mark.parametrize("direction", [(1, 0), (0, -1)])
def test_marks_moved_past_the_tolerance_differ(way_mm, told, direction):
    step = [way_mm * part for part in direction]
    moved = affinity.translate(crosses(), *step)
    assert found(crosses(), moved, crosses()) == ([("marks-differ", "unsafe", "ink 1", PLACES[0])] if told else [])


@pytest.mark.parametrize("change", [0.02, -0.02], ids=["thicker", "thinner"])
def test_marks_of_another_line_differ(change):
    assert found(crosses(), crosses().buffer(change)) == [("marks-differ", "unsafe", "ink 1", PLACES[0])]


def test_missing_marks_are_told_of_each_film_and_the_next_film_holds_for_the_others():
    bare, odd = crosses(apart_from=PLACES[2:3]), affinity.translate(crosses(), 0.1, 0)
    assert found(bare, crosses(), shapely.MultiPolygon(), odd) == [
        ("marks-missing", "unsafe", "ink 0", PLACES[2]),
        ("marks-missing", "unsafe", "ink 2", PLACES[0]),
        ("marks-differ", "unsafe", "ink 3", PLACES[0]),
    ]


def test_what_lies_away_from_the_marks_may_differ():
    assert found(crosses(), crosses().union(shapely.box(36.5, -20, 50, -18))) == []
