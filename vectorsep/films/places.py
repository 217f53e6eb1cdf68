"""Where lettering stands on a film: in the corners between registration marks, each plate's in a place of its own.

A set lies on one page as well, as separations: lettering of two plates at one place could not be read there. So every
plate has a place, which follows from the film's page and from what all films of the set say. Nothing of what a film
says of its own plate is ever left out: a set that has no room for it takes larger films.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product, takewhile

from vectorsep.films.lettering import letters_in
from vectorsep.model import Sheet
from vectorsep.paper.wording import short_lines, wrapped
from vectorsep.remember import remembered_for

CAPITAL_MM = 2.1
"""Height of capitals. In lower ones the gaps inside a letter, two of its six units less the line, run under 0.4 mm and
fill in; longer lettering takes more rows instead."""
ROW_MM = 1.7 * CAPITAL_MM
"""Base line to base line."""
DESCENDER_MM = CAPITAL_MM / 3
EDGE_MM = 2.0
"""Nothing lies nearer to the film's edge: cutters wander."""
BESIDE_MARK_MM = 7.0
"""From a registration mark's centre to lettering: the mark's arm, and two millimetres."""
BELOW_ZONE_MM = 3.6
"""From the ink zone to the lettering below it: the rule and its ticks lie between."""
NAME_ROWS = 1
"""Rows that the job's name always has."""
RULE_ROWS = 1
"""Rows of the bottom left corner that the rule's own lettering takes."""
GUTTER_MM = 3.0
"""Between columns of lettering."""
WHOLE_WORD = 16
"""Words of no more letters are never broken: the longest of a colour's plain name has nine."""


@dataclass(frozen=True, slots=True)
class Box:
    """Room for rows of lettering, in the design's coordinates (mm)."""

    left_mm: float
    top_mm: float
    width_mm: float
    rows: int

    @property
    def letters(self) -> int:
        """How many letters a row holds."""
        return letters_in(self.width_mm, CAPITAL_MM)

    def base_mm(self, row: int) -> float:
        """The base line of a row, counted from 0."""
        return self.top_mm + CAPITAL_MM + row * ROW_MM

    def below(self, rows: int) -> Box:
        """What is left of it below so many rows; less than nothing where it has not that many."""
        return Box(self.left_mm, self.top_mm + rows * ROW_MM, self.width_mm, self.rows - rows)


@dataclass(frozen=True, slots=True)
class Labels:
    """What the films of a set say, in letters that have a drawing."""

    job_name: str
    reading: tuple[str, ...]
    """Which set it is of, and of the film's side."""
    plates: tuple[str, ...]
    """Of each film's own plate, in print order: its order, ink and mesh."""
    in_both_units: tuple[str, ...]
    """The same with the mesh by the inch and by the centimetre, where there is room for that."""


@dataclass(frozen=True, slots=True)
class Place:
    """Rows of lettering, and the box that has them as its first."""

    box: Box
    rows: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """The lettering of a set: what all its films say, and what each says of its own plate, in print order."""

    of_set: Place
    plates: tuple[Place, ...]


@remembered_for(1)  # all films of a set ask for the same
def lay_out_labels(sheet: Sheet, labels: Labels) -> Layout | None:
    """Lettering in the corners of a film; None where they have no room for all that must be whole.

    Whole are what each film says of its own plate, of its set and of its side. Plates fill the top right corner, as
    many corners more as they need, and last what the top left one has below the rows of the whole set. The job's name
    takes at least a row, and the page's size gives way first; but the mesh is told in both units only where that takes
    nothing away from either.
    """
    top_left = corner(sheet, right=False, bottom=False)
    reading = _together(labels.reading, top_left.letters)
    set_rows = NAME_ROWS + len(reading)
    if top_left.rows < set_rows or top_left.letters < longest_word(labels.reading):
        return None
    boxes = (
        corner(sheet, right=True, bottom=False),
        corner(sheet, right=True, bottom=True),
        corner(sheet, right=False, bottom=True).below(RULE_ROWS),
        top_left.below(set_rows),
    )
    some, all_ = range(1, len(boxes)), range(1, len(boxes) + 1)
    for texts, corners in (*product([labels.in_both_units], some), *product([labels.plates], all_)):
        if plates := _filled_by_columns(boxes[:corners], texts):
            free = (set_rows if corners == len(boxes) else top_left.rows) - len(reading)
            name_and_size = _name_and_size(sheet, labels.job_name, top_left.letters, free)
            return Layout(Place(top_left, (*name_and_size, *reading)), plates)
    return None


def run_on(sheet: Sheet, labels: Labels) -> Layout:
    """The same for a film that was laid out for other labels: all in rows on end, past the room that there is."""
    box = corner(sheet, right=False, bottom=False)
    of_set = Place(box, (labels.job_name, *labels.reading))
    own = box.below(len(of_set.rows))
    return Layout(of_set, tuple(Place(own.below(nth), (text,)) for nth, text in enumerate(labels.plates)))


def _together(texts: Iterable[str], letters: int) -> list[str]:
    """Short texts in as few rows as they take, each whole in one if a row holds it."""
    rows: list[str] = []
    for text in texts:
        if rows and len(f"{rows[-1]}, {text}") <= letters:
            rows[-1] = f"{rows[-1]}, {text}"
        else:
            rows += wrapped(text, letters)
    return rows


def _name_and_size(sheet: Sheet, job_name: str, letters: int, rows: int) -> list[str]:
    """The job's name, shortened to so many rows, and the page's size, if what is left of them holds it whole."""
    size = wrapped(f"page {sheet.design_width_mm:.1f} × {sheet.design_height_mm:.1f} mm", letters)
    name = short_lines(job_name, letters, rows)
    return name + size if len(name) + len(size) <= rows else name


def corner(sheet: Sheet, *, right: bool, bottom: bool) -> Box:
    """The part of the top or bottom band that lies between a mark and the film's side."""
    width = sheet.width_mm / 2 - EDGE_MM - BESIDE_MARK_MM
    left = sheet.design_width_mm / 2 + BESIDE_MARK_MM if right else -sheet.margin_x_mm + EDGE_MM
    band = sheet.margin_y_mm - sheet.ink_margin_mm - EDGE_MM
    beside_mark_mm = BESIDE_MARK_MM - sheet.design_height_mm / 2 - sheet.ink_margin_mm  # above 0 on art that is a strip
    if bottom:
        from_zone = max(BELOW_ZONE_MM, beside_mark_mm)
        top, high = sheet.design_height_mm + sheet.ink_margin_mm + from_zone, band - from_zone
    else:
        top, high = -sheet.margin_y_mm + EDGE_MM, band - max(0.0, beside_mark_mm)
    return Box(left, top, width, max(1, 1 + int((high - CAPITAL_MM - DESCENDER_MM) // ROW_MM)))


def _filled_by_columns(boxes: Sequence[Box], texts: Sequence[str]) -> tuple[Place, ...]:
    """The texts in boxes of as few columns as hold them, each as wide as their longest word; nothing where none do."""
    least = longest_word(texts)
    in_columns = ([column for box in boxes for column in _columns(box, count)] for count in range(1, len(texts) + 1))
    wide_enough = takewhile(lambda columns: columns[0].letters >= least, in_columns)
    tries = (_filled(columns, texts) for columns in wide_enough if sum(box.rows for box in columns) >= len(texts))
    return next(filter(None, tries), ())


def _filled(columns: Sequence[Box], texts: Sequence[str]) -> tuple[Place, ...]:
    """Each text in the first column that has room for its rows; nothing where one finds none."""
    free, letters = list(columns), columns[0].letters
    places = []
    for text in texts:
        rows = tuple(wrapped(text, letters))
        nth = next((i for i, column in enumerate(free) if column.rows >= len(rows)), None)
        if nth is None:
            return ()
        places.append(Place(free[nth], rows))
        free[nth] = free[nth].below(len(rows))
    return tuple(places)


def _columns(box: Box, count: int) -> list[Box]:
    width = (box.width_mm - (count - 1) * GUTTER_MM) / count
    return [Box(box.left_mm + nth * (width + GUTTER_MM), box.top_mm, width, box.rows) for nth in range(count)]


def longest_word(texts: Iterable[str]) -> int:
    """Letters that a line must hold, so that no word of usual length breaks."""
    return min(WHOLE_WORD, max((len(word) for text in texts for word in text.split()), default=0))
