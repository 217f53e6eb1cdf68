"""The heads of a plan in words: after which layers there is a flash, and after which of these a station to cool down.

Told from the stations themselves, not from the settings that they came of: the last layer is often flashed otherwise
than the others, and a plan may have no two colours that could print wet on wet.
"""

from __future__ import annotations

from vectorsep.press_model import PressPlan, Station


def told_stations(plan: PressPlan) -> str:
    """What follows the layers: `a flash after each layer and a station to cool down after each flash but the last`."""
    flashes, cooled = (sum(station.kind == kind for station in plan.stations) for kind in ("flash", "cool-down"))
    if not cooled:
        return _told_flashes(plan)
    but_last = " but the last" if cooled < flashes else ""
    return f"{_told_flashes(plan)} and a station to cool down after each flash{but_last}"


def _told_flashes(plan: PressPlan) -> str:
    if plan.prints_wet:
        base = " and ".join(station.plate.role for station in plan.stations if _is_base_screen(plan, station))
        before_white = " but for a flash before the highlight white" if plan.highlight_on == "flashed" else ""
        return f"a flash after {base}, the colours wet on wet{before_white}"
    if not any(plan.flashed):
        return "no flash"
    which = "each layer" if plan.flashed[1:] else "the only layer"
    return f"a flash after {which}{'' if plan.flashed[-1] else ' but the last'}"


def _is_base_screen(plan: PressPlan, station: Station) -> bool:
    return station.kind == "screen" and station.plate.role != "colour" and plan.is_flashed(station.plate)
