"""Where lettering stands on a film: in the corners between registration marks, each plate's in a place of its own.

A set lies on one page as well, as separations: lettering of two plates at one place could not be read there. So every
plate has a cell, which follows from the film's page, the number of plates and the plate's place in the print order.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from vectorsep.films.lettering import as_drawn, letters_in
from vectorsep.model import Sheet
from vectorsep.paper.wording import shortened

CAPITAL_MM = 2.1
"""Height of capitals. In lower ones the gaps inside a letter, two of its six units less the line, run under 0.4 mm and
fill in; longer names are shortened instead."""
ROW_MM = 1.7 * CAPITAL_MM
"""Base line to base line."""
DESCENDER_MM = CAPITAL_MM / 3
EDGE_MM = 2.0
"""Nothing lies nearer to the film's edge: cutters wander."""
BESIDE_MARK_MM = 7.0
"""From a registration mark's centre to lettering: the mark's arm, and two millimetres."""
BELOW_ZONE_MM = 3.6
"""From the ink zone to the lettering below it: the rule and its ticks lie between."""
GUTTER_MM = 3.0
"""Between columns of cells."""
WHOLE_LETTERS = 28
"""What a plate's lettering takes, as a rule: order, an ink's name of a dozen letters, mesh."""
MOST_ROWS = 3
"""Rows of one cell: one each for order, ink and mesh."""


@dataclass(frozen=True, slots=True)
class Box:
    """Room for rows of lettering, in the design's coordinates (mm)."""

    left_mm: float
    top_mm: float
    width_mm: float
    rows: int

    def base_mm(self, row: int) -> float:
        """The base line of a row, counted from 0."""
        return self.top_mm + CAPITAL_MM + row * ROW_MM


def corner(sheet: Sheet, *, right: bool, bottom: bool) -> Box:
    """The part of the top or bottom band that lies between a mark and the film's side."""
    width = sheet.width_mm / 2 - EDGE_MM - BESIDE_MARK_MM
    left = sheet.design_width_mm / 2 + BESIDE_MARK_MM if right else -sheet.margin_x_mm + EDGE_MM
    band = sheet.margin_y_mm - sheet.ink_margin_mm - EDGE_MM
    if bottom:
        top, high = sheet.design_height_mm + sheet.ink_margin_mm + BELOW_ZONE_MM, band - BELOW_ZONE_MM
    else:
        top, high = -sheet.margin_y_mm + EDGE_MM, band
    return Box(left, top, width, max(1, 1 + int((high - CAPITAL_MM - DESCENDER_MM) // ROW_MM)))


def plate_cell(sheet: Sheet, order: int, count: int, letters: int = WHOLE_LETTERS) -> Box:
    """The cell of the plate that prints as number `order`, from 1, of so many; the longest lettering of theirs has so
    many `letters`.

    Cells fill the top right corner, and the bottom right one where the plates are many for the film: the first of
    several divisions that leaves each plate room for all it says, else the one that leaves the most.
    """
    top, bottom = (corner(sheet, right=True, bottom=at_bottom) for at_bottom in (False, True))
    divisions = [
        cells
        for corners, rows in product(((top,), (top, bottom)), range(1, MOST_ROWS + 1))
        if (cells := tuple(_cells(corners, rows, count)))
    ]
    roomy = (cells for cells in divisions if _room(cells[0]) >= letters)
    return next(roomy, max(divisions, key=lambda cells: _room(cells[0])))[order - 1]


def _room(cell: Box) -> int:
    """Letters that a cell holds."""
    return cell.rows * letters_in(cell.width_mm, CAPITAL_MM)


def _cells(corners: Sequence[Box], rows: int, count: int) -> Iterator[Box]:
    """At least as many cells of so many rows as said, all of one width, as wide as can be; none where none fits."""
    in_column = sum(box.rows // rows for box in corners)
    columns = math.ceil(count / in_column) if in_column else 0
    for box, column in product(corners, range(columns)):
        width = (box.width_mm - (columns - 1) * GUTTER_MM) / columns
        for nth in range(box.rows // rows):
            yield Box(box.left_mm + column * (width + GUTTER_MM), box.top_mm + nth * rows * ROW_MM, width, rows)


def rows_of(parts: tuple[str, str, str], box: Box) -> tuple[str, ...]:
    """Order, ink and mesh in as few rows as hold them, none wider than the box.

    Where there is not room for all, the ink's name loses its middle, then goes, then the mesh's unit: a film whose mesh
    or order cannot be read is put on the wrong screen, and the ink is on the report too.
    """
    order, name, mesh = map(as_drawn, parts)
    letters = letters_in(box.width_mm, CAPITAL_MM)
    shorter = (f"{order} {shortened(name, length)} {mesh}" for length in range(len(name), 0, -1))
    for text in (*shorter, f"{order} {mesh}", f"{order} {mesh.partition('/')[0]}", order):
        rows = textwrap.wrap(text, max(1, letters), break_long_words=False, break_on_hyphens=False)
        if len(rows) <= box.rows and max(map(len, rows)) <= letters:
            return tuple(rows)
    return (shortened(order, letters),)
