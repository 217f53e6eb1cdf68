"""stacking-report.html: the finished job for people, self-contained, every name escaped."""

from __future__ import annotations

import jinja2

from vectorsep.films.manifest import floored
from vectorsep.films.pathdata import path_data, polygon_outline
from vectorsep.geometry.region import polygons
from vectorsep.mesh import threads_per_inch
from vectorsep.model import Film, Region
from vectorsep.separation import Separation


def write_report(job: Separation) -> bytes:
    """Write the report page (HTML, UTF-8). Nothing in it loads from elsewhere and nothing in it runs."""
    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("vectorsep.films"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page = environment.get_template("report.html.j2").render(
        job=job,
        rows=[_row(job, i, film) for i, film in enumerate(job.films)],
        notices=(*job.design.notices, *job.stack.notices),
        view=_view(job),
    )
    return (page + "\n").encode()


def _view(job: Separation) -> str:
    room = job.sheet.ink_margin_mm
    return f"{-room:g} {-room:g} {job.design.width_mm + 2 * room:.4f} {job.design.height_mm + 2 * room:.4f}"


def _row(job: Separation, i: int, film: Film) -> dict[str, object]:
    clearance = job.check.clearances[i] if i < len(job.check.clearances) else None
    distance_mm = clearance.distance_mm if clearance else None
    return {
        "order": i + 1,
        "film": film,
        "mesh": threads_per_inch(film.plate, job.settings),
        "path": region_path(film.plate.area),
        "distance": None if distance_mm is None else f"{floored(distance_mm):.4f}",
        "holds": None if distance_mm is None else distance_mm >= job.settings.registration_mm,
        "at_mm": clearance.at_mm if clearance else None,
    }


def region_path(region: Region) -> str:
    """A whole region as the path data of one even-odd path."""
    return " ".join(path_data(polygon_outline(polygon)) for polygon in polygons(region))
