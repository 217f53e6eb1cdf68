"""A film, read back: everything painted in or near the ink zone is ink, whoever put it there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import compress

from vectorsep.geometry.affine import Affine
from vectorsep.geometry.boolean import union
from vectorsep.geometry.offset import inset
from vectorsep.geometry.region import inner_point, rectangle, touch_each
from vectorsep.model import Artwork, Finding, PaintedShape, Plate, Region, Role, Sheet
from vectorsep.remember import remembered_for
from vectorsep.units import format_mm2

PAGE_TOLERANCE_MM = 0.01
"""A film's page may differ from the sheet by this much: the last decimal of a length in inches or points."""
OF_NO_SIZE = "size-unconfirmed"
"""What the reader tells of a page in pixels. Programs take these for a 96th, a 90th or a 72nd of an inch (SVG 1.1, 7.2,
left it to them; which take what, from memory): a set that prints at three quarters has as much of its clearance."""
MARK_PEN_MM = 0.8
"""Marks and lettering are drawn with pens of half of this, and lines that meet at a sharp angle make thicker
spots; what is thicker than this and lies in the margin is ink astray."""
MARKS_OF_A_JOB = 64
"""Shapes in the margin that are remembered: most are the same on all films of a job."""
SOLID = "#000000"
"""What a film recorder burns solid. Any other paint comes out as dots, or as nothing, or hides what lies under it."""
CLEAR = "#ffffff"
"""What drawing programs paint a page with, and what it hides on films."""


@dataclass(frozen=True, slots=True)
class FilmAreas:
    """What a film draws, in the design's coordinates, each shape on its side of the ink zone's edge."""

    artwork: Artwork
    sheet: Sheet
    painted: list[Region]
    """An area for each shape of the artwork."""
    inked: list[Region]
    """Those that reach into the ink zone."""
    astray: list[Region]
    """Those that lie wholly outside, marks and lettering above all."""

    def margin(self) -> Region:
        """What the film draws wholly outside the ink zone."""
        return union(self.astray)

    def lines_in_margin(self) -> Region:
        """Of that, all but the ink astray that `plate_of_film` tells of: shapes too thin for it, however wide
        together."""
        return union(area for area in self.astray if not _is_thick(area))


def film_areas(artwork: Artwork, sheet: Sheet) -> FilmAreas:
    """The areas of a film that was read as an artwork."""
    painted = on_design(artwork, sheet)
    return FilmAreas(artwork, sheet, painted, *by_zone(painted, sheet))


def plate_of_film(areas: FilmAreas, role: Role, ink: str, hex_: str) -> tuple[Plate, tuple[Finding, ...]]:
    """The plate that a film really carries, in the design's coordinates, and what is wrong with the film as such.

    Marks lie wholly outside the ink zone; any shape that reaches into the zone counts as ink, all of it. Unsafe are:
    a film on another page than the sheet, which does not register, as no distance on it can show, or on one whose size
    is not told in units of paper; paint that is not solid black; and ink in the margin, where no blocker is.
    """
    findings = (
        *_page_findings(areas.artwork, areas.sheet, ink),
        *_paint_findings(areas.artwork.shapes, areas.painted, ink),
        *_margin_findings(areas.astray, ink),
    )
    return Plate(role, ink, hex_, union(areas.inked)), findings


def by_zone(painted: Sequence[Region], sheet: Sheet) -> tuple[list[Region], list[Region]]:
    """The areas that reach into the ink zone, and the others."""
    inside = touch_each(painted, rectangle(*sheet.ink_zone_mm))
    return list(compress(painted, inside)), list(compress(painted, ~inside))


def on_design(artwork: Artwork, sheet: Sheet) -> list[Region]:
    """A film's areas in the design's coordinates."""
    return design_map(sheet).map_each([shape.area for shape in artwork.shapes])


def design_map(sheet: Sheet) -> Affine:
    """From a film's page to the design's coordinates."""
    if sheet.mirrored:
        return Affine(a=-1.0, e=sheet.design_width_mm + sheet.margin_x_mm, f=-sheet.margin_y_mm)
    return Affine.translation(-sheet.margin_x_mm, -sheet.margin_y_mm)


def _page_findings(artwork: Artwork, sheet: Sheet, ink: str) -> Iterator[Finding]:
    off_mm = max(abs(artwork.width_mm - sheet.width_mm), abs(artwork.height_mm - sheet.height_mm))
    if not off_mm <= PAGE_TOLERANCE_MM:
        message = (
            f"the film's page is {artwork.width_mm:.2f} × {artwork.height_mm:.2f} mm, but the set's is "
            f"{sheet.width_mm:.2f} × {sheet.height_mm:.2f} mm: it cannot register; restore the page size"
        )
        yield Finding("page-differs", "unsafe", ink, message)
    elif any(notice.code == OF_NO_SIZE for notice in artwork.notices):
        message = "how large this film prints depends on who opens it: write the width and height of its page in mm"
        yield Finding("page-in-pixels", "unsafe", ink, message)


def _paint_findings(shapes: tuple[PaintedShape, ...], painted: list[Region], ink: str) -> Iterator[Finding]:
    """One finding a paint, at the first shape that has it: drawing programs repaint a whole film at once."""
    paints = [(shape.hex, shape.opacity) for shape in shapes]
    for paint in sorted(set(paints) - {(SOLID, 1.0)}):
        first, count = paints.index(paint), paints.count(paint)
        what = f"{shapes[first].place} is" if count == 1 else f"{shapes[first].place} and {count - 1} more are"
        it, covers, is_own = ("it", "it covers", "it is") if count == 1 else ("them", "they cover", "they are")
        remedy = f"make {it} {SOLID} or remove {it}"
        if paint[0] == CLEAR:  # a page painted white by a drawing program, made black, would print all over
            remedy = f"remove {it}, and cut out what {covers}, or make {it} {SOLID} if {is_own} this film's own ink"
        message = f"{what} painted {paint[0]}, not solid black: {remedy}"
        yield Finding("not-solid", "unsafe", ink, message, inner_point(painted[first]))


def _margin_findings(astray: list[Region], ink: str) -> Iterator[Finding]:
    """At most one finding: a drawing program that breaks paths apart fills every letter of a film's own."""
    thick = [area for area in astray if _is_thick(area)]
    if not thick:
        return
    size = format_mm2(sum(area.area for area in thick))
    message = f"{size} of ink lies in the margin and would print on cloth: remove it"
    if len(thick) > 1:
        message = (
            f"{size} of ink in {len(thick)} pieces lies in the margin and would print on cloth, the largest here: "
            "remove it, or put the film's own lettering and marks back"
        )
    yield Finding("ink-in-margin", "unsafe", ink, message, inner_point(max(thick, key=lambda area: area.area)))


@remembered_for(MARKS_OF_A_JOB)
def _is_thick(area: Region) -> bool:
    return not inset(area, MARK_PEN_MM / 2).is_empty
