"""Registration marks: the press lays plate on plate by them, so no distance between plates holds where they differ.

Where a mark stands follows from the sheet; what it looks like, from the films themselves: those of the first film that
has them all, which is the blocker's, hold for the others. Whatever else lies in a margin would print on bare cloth.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.geometry.boolean import difference, intersection, union
from vectorsep.geometry.measure import strips
from vectorsep.geometry.offset import grow
from vectorsep.geometry.region import rectangle, touches
from vectorsep.model import Finding, Point, Region, Sheet
from vectorsep.units import format_mm

MARK_TOLERANCE_MM = 0.01
"""A mark's edge may lie this far from that of the first film: a drawing program's rounding, as of the page's size."""
MARK_REACH_MM = 6.0
"""What lies within this of a mark's place, along both axes, belongs to the mark; labels, which differ, lie farther."""
MARK_CORE_MM = 1.5
"""Nothing within this of a mark's place: there is no mark. Even a mark that was moved has an arm here, as a rule."""


def marks_findings(margins: Sequence[tuple[str, Region]], sheet: Sheet) -> Iterator[Finding]:
    """Findings, all `unsafe`, for films whose registration marks are not those of the others.

    `margins` holds, in print order, each film's ink and what it draws in the margin (mm, the design's coordinates).
    At most one `marks-missing` or `marks-differ` a film, at the first mark that is at fault.
    """
    places = mark_places(sheet)
    complete = []
    for ink, margin in margins:
        bare = [place for place in places if not touches(margin, _around(place, MARK_CORE_MM))]
        if bare:
            are = "is" if len(bare) == 1 else "are"
            message = f"{len(bare)} of the {len(places)} registration marks {are} not on this film: restore them"
            yield Finding("marks-missing", "unsafe", ink, message, bare[0])
        else:
            complete.append((ink, margin))
    for ink, margin in complete[1:]:
        yield from _differing(ink, margin, complete[0], places)


def margin_findings(lines: Region, meant: Region, ink: str, sheet: Sheet) -> Iterator[Finding]:
    """At most one `unsafe` finding, for lines in a film's margin that are none of what is meant to be there.

    Both regions are in mm, in the design's coordinates; `lines` is all that the margin holds but ink astray, which is
    told with the film's ink. At the places of registration marks `marks_findings` looks.
    """
    stray = strips(stray_lines(lines, meant, sheet))
    if stray:
        first = stray[0]
        size = f"{format_mm(round(first.length_mm, 1))} long and about {format_mm(round(first.width_mm, 2))} wide"
        if len(stray) == 1:
            message = f"a line {size} in the margin is none of this film's marks and would print on cloth: remove it"
        else:
            message = (
                f"{len(stray)} lines in the margin, the longest {size}, are none of this film's marks and would print "
                f"on cloth: remove them, or move the film's own back{_or_put_back(sheet)}"
            )
        yield Finding("ink-in-margin", "unsafe", ink, message, first.at_mm)


def _or_put_back(sheet: Sheet) -> str:
    """A film of another making differs by its code, which is several lines."""
    return f"; if the film says another set than {sheet.set_code}, put back this set's own" if sheet.set_code else ""


def stray_lines(margin: Region, meant: Region, sheet: Sheet) -> Region:
    """What lies in a margin and is not meant to, away from the places of registration marks."""
    marks = union(_around(place, MARK_REACH_MM) for place in mark_places(sheet))
    return difference(difference(margin, grow(meant, MARK_TOLERANCE_MM)), marks)


def mark_places(sheet: Sheet) -> tuple[Point, ...]:
    """Where registration marks stand (mm): amid the margin's free band on each side, on the page's centre lines.

    Reckoned here and not asked of what draws them, so that a check finds it when that goes wrong.
    """
    x, y = sheet.design_width_mm / 2, sheet.design_height_mm / 2
    to_side = x + (sheet.ink_margin_mm + sheet.margin_x_mm) / 2
    to_end = y + (sheet.ink_margin_mm + sheet.margin_y_mm) / 2
    return ((x, y - to_end), (x + to_side, y), (x, y + to_end), (x - to_side, y))


def _differing(ink: str, margin: Region, first: tuple[str, Region], places: Sequence[Point]) -> Iterator[Finding]:
    first_ink, first_margin = first
    apart = [place for place in places if not _alike(margin, first_margin, place)]
    if apart:
        differ = "differs" if len(apart) == 1 else "differ"
        message = (
            f"{len(apart)} of the {len(places)} registration marks {differ} from those of {first_ink} by more than "
            f"{format_mm(MARK_TOLERANCE_MM)}, so the two do not register: restore them"
        )
        yield Finding("marks-differ", "unsafe", ink, message, apart[0])


def _alike(one: Region, other: Region, place: Point) -> bool:
    """Whether each mark lies within the tolerance of the other. What grows reaches farther out than what is to lie in
    it, so that the cut hides nothing."""
    mark, wider = _around(place, MARK_REACH_MM), _around(place, MARK_REACH_MM + 2 * MARK_TOLERANCE_MM)
    one, other = (intersection(margin, wider) for margin in (one, other))
    return one == other or all(
        difference(intersection(drawn, mark), grow(meant, MARK_TOLERANCE_MM)).is_empty
        for drawn, meant in ((one, other), (other, one))
    )


def _around(place: Point, reach_mm: float) -> Region:
    x, y = place
    return rectangle(x - reach_mm, y - reach_mm, x + reach_mm, y + reach_mm)
