"""Fine detail: what a plate's mesh cannot hold. Thin lines wash out, narrow gaps fill in, small islands fall off.

The limit is two threads and one opening of the plate's mesh, times the job's multiple: a rule that is often said but
was not found in print, hence warnings, and limits that a shop which has measured its own can set instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import compress

from vectorsep.geometry.measure import Strip
from vectorsep.geometry.region import gather, inner_point, polygons
from vectorsep.geometry.thin import facing_at, in_holes, narrow_gaps, thin_places
from vectorsep.geometry.thinning import coarsened
from vectorsep.mesh import LEEWAY, dot_mm2, finest_mm, threads_per_inch
from vectorsep.model import Finding, Plate, Region
from vectorsep.settings import Settings
from vectorsep.units import LEAST_TOLD_MM2, counted, format_mm, format_mm2

DUST_MM2 = 1e-4
"""Nothing smaller is on a film: it is one dot of a recorder of 2,540 dpi. Rounding leaves such pieces where an outline
comes near itself."""


@dataclass(frozen=True, slots=True)
class Limits:
    """The finest that a plate holds."""

    line_mm: float
    gap_mm: float
    island_mm2: float


def limits_of(plate: Plate, settings: Settings) -> Limits:
    """A plate's limits: the shop's own where it has set them, else by the mesh.

    The least white line and the least blocker gap of the job are such settings: plates are made to them.
    """
    by_mesh_mm = finest_mm(threads_per_inch(plate, settings), settings)
    line_mm = settings.min_line_mm if plate.role == "white" else by_mesh_mm
    gap_mm = settings.min_gap_mm if plate.role == "blocker" else by_mesh_mm
    return Limits(
        settings.measured_line_mm(plate.role) or line_mm,
        settings.measured_gap_mm(plate.role) or gap_mm,
        settings.detail_island_mm2 or dot_mm2(line_mm),
    )


def detail_findings(plates: Sequence[Plate], settings: Settings) -> Iterator[Finding]:
    """Warnings for each plate, given in print order: islands, lines and gaps finer than its limits, the worst first.
    Pinholes are told all at once.

    What of a gap in a colour another prints over is none: whether it fills or not, nobody sees it.
    """
    for nth, plate in enumerate(plates):
        limits, area = limits_of(plate, settings), coarsened(plate.area)
        islands, body = _by_size(area, limits.island_mm2 * LEEWAY**2)
        line_mm, gap_mm = limits.line_mm * LEEWAY, limits.gap_mm * LEEWAY
        facing = facing_at(area, max(line_mm, gap_mm))
        hidden_by = [over.area for over in plates[nth + 1 :]] if plate.role == "colour" else []
        lines, free = thin_places(body, line_mm, facing), narrow_gaps(area, gap_mm, facing, hidden_by)
        is_pinhole = in_holes(free, area, dot_mm2(limits.gap_mm))
        gaps = compress(free, ~is_pinhole)
        yield from (_island(plate, island, limits.island_mm2) for island in islands)
        yield from (_narrow(plate, "thin-line", "line", line, limits.line_mm) for line in lines)
        yield from (_narrow(plate, "narrow-gap", "gap", gap, limits.gap_mm) for gap in gaps)
        yield from _gathered(plate, list(compress(free, is_pinhole)), limits.gap_mm)


def _by_size(area: Region, least_mm2: float) -> tuple[list[Region], Region]:
    """The pieces smaller than the least area, smallest first, and the rest, without dust."""
    pieces = sorted((piece for piece in polygons(area) if piece.area >= DUST_MM2), key=lambda piece: piece.area)
    small = [piece for piece in pieces if piece.area < least_mm2]
    return list(small), gather(pieces[len(small) :])


def _island(plate: Plate, island: Region, least_mm2: float) -> Finding:
    least = f"{round(least_mm2, 2 if least_mm2 >= 0.1 else 4):g} mm²"
    area = format_mm2(island.area) if least_mm2 >= LEAST_TOLD_MM2 else f"{float(f'{island.area:.2g}'):g} mm²"
    message = f"island of {area}, smaller than the {least} that this plate holds"
    return Finding("small-island", "warning", plate.ink, message, inner_point(island))


def _narrow(plate: Plate, code: str, what: str, strip: Strip, least_mm: float) -> Finding:
    long, wide = format_mm(round(strip.length_mm, 2)), format_mm(round(strip.width_mm, 2))
    least = format_mm(round(least_mm, 3))
    message = f"{what} {long} long and about {wide} wide, narrower than the {least} that this plate holds"
    return Finding(code, "warning", plate.ink, message, strip.at_mm)


def _gathered(plate: Plate, pinholes: Sequence[Strip], least_mm: float) -> Iterator[Finding]:
    """One warning for all openings smaller than a dot of the narrowest gap: they come by dozens, and one is little."""
    if not pinholes:
        return
    longest, widest_mm = pinholes[0], max(pinhole.width_mm for pinhole in pinholes)
    long, wide = format_mm(round(longest.length_mm, 2)), format_mm(round(widest_mm, 3))
    up_to, they = ("", "it fills") if len(pinholes) == 1 else (" up to", "the longest of them here, they fill")
    message = (
        f"{counted(len(pinholes), 'pinhole')}{up_to} {long} long and about {wide} wide, narrower than the "
        f"{format_mm(round(least_mm, 3))} that this plate holds open; {they} with ink"
    )
    yield Finding("pinhole", "warning", plate.ink, message, longest.at_mm, places=len(pinholes))
