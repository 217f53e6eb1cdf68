"""The stacking report as a page: the finished job for people, self-contained, names escaped, nothing in it runs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from vectorsep.colour import lab_of
from vectorsep.films.cautions import CAUTIONS, SAFETY
from vectorsep.films.closeup import receding_closeups, register_closeups, remark_closeups
from vectorsep.films.cross_section import draw_section
from vectorsep.films.exploded import draw_exploded
from vectorsep.films.hatches import Hatch, hatch_of
from vectorsep.films.proof import all_but_white_path, shown_bare, sinks_when_bare, white_path
from vectorsep.films.run_steps import run_steps
from vectorsep.films.stations import told_stations
from vectorsep.films.tally import warnings_by_kind
from vectorsep.geometry.region import gather
from vectorsep.mesh import threads_per_inch, told_mesh, told_per_cm
from vectorsep.model import Film, Plate, Point
from vectorsep.paper.pages import page_environment
from vectorsep.paper.remarks import Remark, listed
from vectorsep.paper.wording import told_cm2, told_mm
from vectorsep.separation import Separation

REPORT_PAGE = "stacking-report.html"
LEFT_OUT = "left-out"
"""The notices of art that is not in the print: all of them stand on the first page, for that print is not the art."""
DETAIL_CODES = ("small-island", "thin-line", "narrow-gap", "pinhole")
"""The findings that compare the art with what a plate holds."""
PLATE_WIDTH_MM = 82.0
"""Printed width of a plate's picture, two side by side; the height follows, but for PLATE_HEIGHT_MM."""
PLATE_HEIGHT_MM = 105.0
DARK_LIGHTNESS, EDGE_OF_DARK_HEX = 40.0, "#999"
"""Inks darker than this (CIELAB L*, by eye) have their edge drawn in grey close up, as far from black as from white."""
WHOLE_PRESS_SHEET = 14
"""Screens whose press sheet fits on a page of A4 or Letter: it stays whole, for the crew to take along."""
PRINT_WIDTH_MM, PRINT_HEIGHT_MM = 66.0, 84.0
"""Printed width of the print, beside the stack drawn apart."""


@dataclass(frozen=True, slots=True)
class Row:
    """One plate as the report's tables and pictures show it."""

    order: int
    film: Film
    hatch: Hatch
    path: str
    edge_hex: str
    """What its edge is drawn with on other plates."""
    bare_hex: str
    """What it shows where no white is beneath."""
    mesh_per_inch: int
    mesh_per_cm: int
    area_cm2: str
    distance: str | None
    holds: bool | None
    at_mm: Point | None

    @property
    def mesh(self) -> str:
        """In both units."""
        return told_mesh(self.mesh_per_inch)


def write_report(job: Separation) -> bytes:
    """Write the report page (HTML, UTF-8). Nothing in it loads from elsewhere and nothing in it runs."""
    rows = tuple(_rows(job))
    notices = (*job.design.notices, *job.stack.notices)
    left_out = tuple(notice for notice in notices if notice.code == LEFT_OUT)
    remarks: tuple[Remark, ...]
    remarks = (*job.check.findings, *(notice for notice in notices if notice.code != LEFT_OUT))
    page = (
        page_environment("vectorsep.films")
        .get_template("report.html.j2")
        .render(
            job=job,
            rows=rows,
            white=white_path(job) if sinks_when_bare(job) else "",
            all_but_white=all_but_white_path(job),
            tightest=job.check.tightest,
            left_out=left_out,
            remarks=listed(remarks),
            detail_codes=DETAIL_CODES,
            whole_press_sheet=WHOLE_PRESS_SHEET,
            view=_view(job),
            plate_width_mm=_fitting_width(job, PLATE_WIDTH_MM, PLATE_HEIGHT_MM),
            print_width_mm=_fitting_width(job, PRINT_WIDTH_MM, PRINT_HEIGHT_MM),
            exploded=draw_exploded(job.films, job.sheet),
            section=draw_section(job.check),
            warnings=warnings_by_kind(remarks),
            closeups=(*receding_closeups(job.design, job.films, notices), *remark_closeups(remarks)),
            register=register_closeups(job.check),
            run_steps=tuple(run_steps(job)),
            flashes=told_stations(job.press.plan),
            printed=_printed_size(job),
            cautions=CAUTIONS,
            safety=SAFETY,
        )
    )
    return (page + "\n").encode()


def _rows(job: Separation) -> Iterator[Row]:
    for i, film in enumerate(job.films):
        clearance = job.check.clearances[i] if i < len(job.check.clearances) else None
        distance_mm = clearance.distance_mm if clearance else None
        mesh_per_inch = threads_per_inch(film.plate, job.settings)
        yield Row(
            order=i + 1,
            film=film,
            hatch=hatch_of(i + 1, film.plate),
            path=" ".join(film.paths),
            edge_hex=_edge_hex(film.plate),
            bare_hex=shown_bare(film.plate, job),
            mesh_per_inch=mesh_per_inch,
            mesh_per_cm=told_per_cm(mesh_per_inch),
            area_cm2=told_cm2(film.plate.area.area),
            distance=None if distance_mm is None else told_mm(distance_mm),
            holds=None if distance_mm is None else distance_mm >= job.settings.registration_mm,
            at_mm=clearance.at_mm if clearance else None,
        )


def _edge_hex(plate: Plate) -> str:
    """The blocker's in white, which no ink's edge has: white beside an ink is what spoils a print. Others' in black,
    but on a dark ink upon the blocker that would not be seen."""
    if plate.role == "blocker":
        return "#fff"
    return EDGE_OF_DARK_HEX if lab_of(plate.hex).lightness < DARK_LIGHTNESS else "#111"


def _view(job: Separation) -> str:
    left, top, right, bottom = job.sheet.ink_zone_mm
    return f"{left:g} {top:g} {right - left:.4f} {bottom - top:.4f}"


def _printed_size(job: Separation) -> str:
    """Of all ink as it will lie, the blocker's rim with it."""
    left, top, right, bottom = gather(film.plate.area for film in job.films).bounds
    return f"{right - left:.1f} × {bottom - top:.1f} mm"


def _fitting_width(job: Separation, width_mm: float, height_mm: float) -> float:
    """Printed width of a picture of the ink zone that exceeds neither a width nor a height."""
    left, top, right, bottom = job.sheet.ink_zone_mm
    return round(min(width_mm, height_mm * (right - left) / (bottom - top)), 2)
