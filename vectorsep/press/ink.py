"""Ink by screen: mesh, theoretical volume, and what a print and a run take.

Volume on a print = plate area x theoretical ink volume (open area x fabric thickness) x transfer share.
"""

from __future__ import annotations

from vectorsep.mesh import common_mesh, threads_per_inch
from vectorsep.model import Plate
from vectorsep.press_model import ScreenInk
from vectorsep.settings import Settings

MM2_PER_M2 = 1e6


def screen_ink(plate: Plate, settings: Settings) -> ScreenInk:
    """The mesh and ink of one screen; volumes in cm3 of wet ink."""
    count = threads_per_inch(plate, settings)
    volume_cm3_m2 = common_mesh(count).ink_volume_cm3_m2
    print_cm3 = plate.area.area / MM2_PER_M2 * volume_cm3_m2 * settings.press.transfer
    run = settings.press.run
    run_cm3 = None if run is None else print_cm3 * run * (1 + settings.press.spoilage)
    return ScreenInk(plate, count, volume_cm3_m2, print_cm3, run_cm3)
