"""From film to run: what the crew does with these films, in order, with the job's own numbers.

Positives, their sides and the check against a steel rule: published glossaries of the trade. An exposure for each mesh,
and marks that are taped only once the print is in register: "Common mistakes", Impressions. The platen's centre line:
a set-up guide, Graphics Pro, January 2023. Less heat, low-cure inks and a thicker blocker through coarse mesh against
stains: suppliers' articles on dye migration. The rest is common practice, no source, and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from vectorsep.films.labels import printed_side
from vectorsep.films.marks import MARK_LINE_MM, rule_mm, upper_to_lower_mm
from vectorsep.separation import Separation
from vectorsep.settings import COARSE_BLOCKER_MESH, Settings
from vectorsep.units import format_mm

OFF_CENTRE_MM = 2.0
"""A shirt's print that far off its middle is not seen (from memory)."""
UNSOURCED = "(common practice, no source)"


@dataclass(frozen=True, slots=True)
class RunStep:
    """One step of the crew: what it is about, and what to do."""

    name: str
    text: str


def run_steps(job: Separation) -> Iterator[RunStep]:
    """The steps of one job, in order."""
    tolerance, several = format_mm(job.settings.registration_mm), len(job.films) > 1
    yield RunStep("Films", _films(job, tolerance))
    yield RunStep(
        "Screens",
        "Each film on the mesh it names, its printed side on the side of the screen that will lie on the cloth, with "
        "that mesh's own exposure. Washed out and dry, hold the screen against light: every line of the film is open, "
        f"and pinholes are stopped out, the blocker's too {UNSOURCED}.",
    )
    yield RunStep(
        "Set-up",
        "The blocker's screen first, its top and bottom cross on the centre line of the platen"
        f"{_off_centre(job)}{_others(job, tolerance)}. In register, tape over crosses, rule and lettering on every "
        "screen.",
    )
    yield RunStep(
        "First prints",
        f"All layers on test cloth, then on the very garment. With a loupe along the edges: {_edges(job)} {UNSOURCED}.",
    )
    yield RunStep(
        "Release",
        "Hold the test print as Cure and hold says, beside a print of the same inks on white cloth. Looked at side by "
        f"side it has not turned towards the garment's colour: released {UNSOURCED}.",
    )
    yield RunStep(
        "It has stained",
        "The run waits. Change one thing, then test and hold anew: less heat (shorter flashes, inks of a lower cure, "
        f"within their makers' sheets); {_stronger(job.settings)}; another garment.",
    )
    yield RunStep(
        "In the run",
        f"Look at {'register and ' * several}edges after every stop, and every ____ prints. Stop when "
        f"{'ink lies past the blocker, white shows where it did not, ' * several}the blocker has a pinhole, or the "
        f"first prints off the dryer stain; keep back what was printed since the last good look {UNSOURCED}.",
    )


def _films(job: Separation, tolerance: str) -> str:
    sheet = job.sheet
    mirrored = (
        " Printed side on the screen, mirrored films print mirrored, as transfers are: for the garment itself set "
        "film.mirror = false, unless whoever outputs them turns them back."
        if sheet.mirrored
        else ""
    )
    together = (
        f" All films laid on each other meet at all four crosses, closer than the press's {tolerance}."
        if job.films[1:]
        else ""
    )
    return (
        f"Print films.pdf at 100 %, never fitted to the page: {sheet.width_mm:.1f} × {sheet.height_mm:.1f} mm each. "
        f"Every film says set {sheet.set_code}: one that says another is of other plates, and goes out. "
        f"{printed_side(sheet)}{mirrored} By a steel rule, the rule on each film is "
        f"{rule_mm(sheet):g} mm long, and the upper and the lower cross stand {upper_to_lower_mm(sheet):.1f} mm apart: "
        f"a printer's feed slips one way only.{together}"
    )


def _others(job: Separation, tolerance: str) -> str:
    """How the screens after the blocker's come to lie, if there are any."""
    if not job.films[1:]:
        return ""
    lines = float(f"{job.settings.registration_mm / MARK_LINE_MM:.1g}")
    return (
        "; each other screen by all four crosses to the blocker's, for one does not show a turn. A cross is drawn "
        f"{format_mm(MARK_LINE_MM)} thick: the tolerance of {tolerance} is about {lines:g} of that"
    )


def _edges(job: Separation) -> str:
    """What the edges of a good print look like."""
    if not job.films[1:]:
        return "open where the film is white, closed where it is black"
    return (
        "blocker all around every ink above it, no ink on the cloth, no white but where the design is white or Out of "
        "register shows some"
    )


def _off_centre(job: Separation) -> str:
    """Where the ink's middle is not the page's, by whose middle the crosses stand."""
    left, _, right, _ = job.films[0].plate.area.bounds
    off_mm = (left + right - job.design.width_mm) / 2
    if abs(off_mm) < OFF_CENTRE_MM:
        return ""
    side = "right" if (off_mm > 0) != job.sheet.mirrored else "left"
    return f" (the ink's own middle prints {abs(off_mm):.0f} mm to the {side} of it{', mirrored' * job.sheet.mirrored})"


def _stronger(settings: Settings) -> str:
    """What makes this stack hold back more."""
    finer = settings.blocker_mesh_per_inch > COARSE_BLOCKER_MESH
    instead = f"{COARSE_BLOCKER_MESH} threads/inch in place of {settings.blocker_mesh_per_inch}"
    mesh = f", or {instead} and films for it" if finer else ""
    white = "" if settings.white_under_colours else "; white under the colours (white.under_colours = true)"
    return f"more blocker (a second stroke{mesh}){white}"
