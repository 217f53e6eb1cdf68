"""Screen mesh arithmetic: pitch, opening, open area, ink volume, finest detail. Facts of the trade, no geometry.

It stands beside the stages, not in one: the check asks what a mesh can hold, the press sheet how much ink it lays.

Sources: w = 10,000 / n - d, A0 = (w / (w + d))^2 and Vth = A0 D as mesh makers publish them ("All things are not as
they appear", Screenweb 2003; Nippon Tokushu Fabric, Screen Specifications).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from vectorsep.model import Plate
from vectorsep.settings import Settings

CM_PER_INCH = 2.54
UM_PER_CM = 10_000.0
UM_PER_MM = 1_000.0

COMMON_THREADS_UM = (
    (34, 100),
    (43, 80),
    (48, 70),
    (54, 64),
    (61, 64),
    (77, 55),
    (90, 48),
    (120, 34),
)
"""Threads per cm and the thread's diameter that a garment shop's mesh of that count usually has (common practice)."""
CATALOGUE_STEP = 5
"""To this catalogues round threads per inch."""
THICKNESS_PER_THREAD = 1.53
"""Fabric thickness over thread diameter: the mean of four published meshes, 90-40, 90-48, 90-54 and 120-40, which
lie between 1.475 and 1.575. Always under 2 ("Mesh matters", Screen Printing magazine, June 2009)."""
LEEWAY = 0.95
"""What is within a twentieth of the width that is its limit passes: no limit is sharper, and plates made to one lie a
little off it."""


@dataclass(frozen=True, slots=True)
class Mesh:
    """A plain-woven mesh as its maker states it before weaving: thread count and thread diameter."""

    threads_per_cm: float
    thread_um: float

    @property
    def pitch_um(self) -> float:
        """From one thread's middle to the next one's."""
        return UM_PER_CM / self.threads_per_cm

    @property
    def opening_um(self) -> float:
        """The free width between two threads. Weaving and tension change it: a maker's own figure rules."""
        return self.pitch_um - self.thread_um

    @property
    def open_area(self) -> float:
        """The share of the mesh that lets ink through, 0 to 1."""
        return open_area(self.opening_um, self.thread_um)

    @property
    def thickness_um(self) -> float:
        """The fabric's thickness, estimated from its thread; a maker's own figure rules."""
        return THICKNESS_PER_THREAD * self.thread_um

    @property
    def ink_volume_cm3_m2(self) -> float:
        """Theoretical ink volume: what the openings hold, in cm3 a square metre (micrometres of wet ink)."""
        return ink_volume_cm3_m2(self.open_area, self.thickness_um)

    @property
    def finest_detail_mm(self) -> float:
        """Two threads and one opening: the thinnest line or dot that is sure to find a thread on either side.

        Often said, not found in print; hence a limit to warn at, with a multiple that the job can set.
        """
        return (2 * self.thread_um + self.opening_um) / UM_PER_MM


def threads_per_inch(plate: Plate, settings: Settings) -> int:
    """The mesh that a plate is burnt on: the ink's own where the job gives one, else that of the plate's role."""
    if plate.role == "blocker":
        return settings.blocker_mesh_per_inch
    if plate.role == "white":
        return settings.white_mesh_per_inch
    return colour_threads_per_inch(plate.hex, settings)


def colour_threads_per_inch(hex_: str, settings: Settings) -> int:
    """The mesh of a colour's plate."""
    own = [ink.mesh_per_inch for ink in settings.inks if ink.hex == hex_ and ink.mesh_per_inch]
    return own[0] if own else settings.colour_mesh_per_inch


def told_per_cm(threads_per_inch: int) -> int:
    """What a shop that counts by the centimetre calls the mesh: 90 where a catalogue says 230 by the inch, which it
    rounds to the nearest 5 (published mesh pages); 91 would be on no shelf."""
    by_catalogue = {CATALOGUE_STEP * round(n * CM_PER_INCH / CATALOGUE_STEP): n for n, _ in COMMON_THREADS_UM}
    return by_catalogue.get(threads_per_inch, round(threads_per_inch / CM_PER_INCH))


def told_mesh(threads_per_inch: int) -> str:
    """A mesh in both units."""
    return f"{threads_per_inch} threads/inch ({told_per_cm(threads_per_inch)}/cm)"


def finest_mm(threads_per_inch: float, settings: Settings) -> float:
    """The finest line or gap that a plate on such a mesh holds, by the job's multiple."""
    return settings.detail_multiple * common_mesh(threads_per_inch).finest_detail_mm


def told_gap_mm(hex_: str, settings: Settings) -> float:
    """The gap of a colour's plate below which it is warned of: by the shop's own figure, or by the mesh."""
    return settings.measured_gap_mm("colour") or finest_mm(colour_threads_per_inch(hex_, settings), settings)


def narrowest_gap_mm(hex_: str, settings: Settings) -> float:
    """The narrowest gap that a colour's plate holds open; by the shop's own figures where these are finer. Wider ones
    may be meant for warnings alone."""
    by_mesh_mm = common_mesh(colour_threads_per_inch(hex_, settings)).finest_detail_mm
    return min(by_mesh_mm, told_gap_mm(hex_, settings))


def common_mesh(threads_per_inch: float) -> Mesh:
    """The mesh that a shop most likely has for a thread count given in threads per inch.

    Between the common meshes the thread takes the share of the pitch that its neighbours in the table suggest.
    """
    threads_per_cm = threads_per_inch / CM_PER_INCH
    return Mesh(threads_per_cm, _thread_share(threads_per_cm) * UM_PER_CM / threads_per_cm)


def dot_mm2(width_mm: float) -> float:
    """The area of a dot as wide as that: the least island or opening, where that is the finest line or gap."""
    return math.pi / 4 * width_mm**2


def open_area(opening_um: float, thread_um: float) -> float:
    """Share of the mesh that is open, from the opening and the thread's diameter."""
    return (opening_um / (opening_um + thread_um)) ** 2


def ink_volume_cm3_m2(open_share: float, thickness_um: float) -> float:
    """Theoretical ink volume from the open share and the fabric's thickness; 1 cm3/m2 is 1 micrometre."""
    return open_share * thickness_um


def _thread_share(threads_per_cm: float) -> float:
    """Thread diameter over pitch, interpolated between the common meshes and constant beyond them."""
    shares = [(count, count * thread_um / UM_PER_CM) for count, thread_um in COMMON_THREADS_UM]
    place = bisect_right([count for count, _ in shares], threads_per_cm)
    if place in (0, len(shares)):
        return shares[max(0, place - 1)][1]
    (coarse, low), (fine, high) = shares[place - 1], shares[place]
    return low + (high - low) * (threads_per_cm - coarse) / (fine - coarse)
