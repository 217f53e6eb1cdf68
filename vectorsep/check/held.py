"""Ink on parts of the blocker that its mesh does not hold: they wash out of the screen, and the ink lies on bare cloth.

The finest line of a mesh is a rule of thumb, and lines finer than it are a warning on any plate. Under ink a blocker's
line is no matter of looks: the ink would have to trust in what the same check says is lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from vectorsep.geometry.boolean import intersection
from vectorsep.geometry.region import EMPTY, inner_point
from vectorsep.geometry.thin import thin_parts
from vectorsep.geometry.thinning import coarsened
from vectorsep.mesh import LEEWAY, common_mesh
from vectorsep.model import Clearance, Finding, Plate
from vectorsep.settings import Settings
from vectorsep.units import format_mm, format_mm2

WORTH_TELLING_MM2 = 0.01
"""Less ink than a dot of a tenth of a millimetre prints on no cloth."""


def held_findings(clearances: Sequence[Clearance], blocker: Plate, settings: Settings) -> Iterator[Finding]:
    """One `unsafe` finding for each plate that prints on blocker narrower than the finest line that the blocker's mesh
    holds, or that the shop has measured; no multiple of it counts, which only moves the warnings.

    A disc of that width fits around every point that is half of it away from the blocker's edge, so plates that keep so
    far away need no look.
    """
    finest_mm = settings.measured_line_mm("blocker") or common_mesh(settings.blocker_mesh_per_inch).finest_detail_mm
    width_mm = LEEWAY * finest_mm
    near = [one.plate for one in clearances if one.distance_mm is not None and one.distance_mm < width_mm / 2]
    washed_out = thin_parts(coarsened(blocker.area), width_mm) if near else EMPTY
    for plate in near:
        bare = intersection(plate.area, washed_out)
        if bare.area >= WORTH_TELLING_MM2:
            message = (
                f"{format_mm2(bare.area)} of ink lies on blocker narrower than the {format_mm(round(finest_mm, 3))} "
                f"that its screen of {settings.blocker_mesh_per_inch} threads/inch holds, and on bare cloth where that "
                "washes out; spread the blocker more, or give it a finer mesh"
            )
            yield Finding("blocker-too-thin", "unsafe", plate.ink, message, inner_point(bare))
