"""Ink areas to plates: the blocker first, white on it, colours on the white, light to dark."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from vectorsep.geometry.boolean import intersection, joined_coverage
from vectorsep.geometry.finish import THINNING_MM, finished
from vectorsep.geometry.offset import inset_at_least
from vectorsep.geometry.refit import FILM_GUARD_MM
from vectorsep.geometry.region import EMPTY
from vectorsep.model import Design, Plate, Region, Stack
from vectorsep.plates.blocker import shape_blocker
from vectorsep.plates.roles import Roles, assign_roles
from vectorsep.plates.savings import possible_savings
from vectorsep.plates.telling import stack_notices
from vectorsep.plates.trap import trapped_areas
from vectorsep.plates.underbase import shape_white
from vectorsep.remember import remembered
from vectorsep.settings import Settings

BLOCKER_HEX = {"black": "#1c1c1e", "grey": "#7d7f82"}
"""How a printed blocker looks, for proofs (from memory of cured carbon bases; no colour is promised)."""
WHITE_NAME, WHITE_HEX = "white", "#ffffff"


def make_stack(design: Design, settings: Settings) -> Stack:
    """Turn ink areas into plates in print order, every upper plate cut to where it cannot reach cloth.

    Empty plates are left out. Raises SettingsError when the job names an ink that the art does not have.
    """
    roles = assign_roles(design, settings)
    silhouette = _covered(tuple(ink.area for ink in design.inks))
    exposed_black = roles.black.area if roles.black else EMPTY

    with ThreadPoolExecutor(1) as aside:  # traps need no blocker, and the engine works outside the interpreter's lock
        trapping = aside.submit(trapped_areas, roles.trapping, roles.black, settings)
        blocker = shape_blocker(silhouette, exposed_black, settings)
        keep_in = upper_room(blocker.area, settings)
        colours = aside.submit(lambda: _colour_plates(roles, trapping.result(), keep_in, settings))
        white = shape_white(roles, keep_in, settings)

    blocker_hex = BLOCKER_HEX[settings.blocker]
    plates = [
        Plate("blocker", settings.blocker_name, blocker_hex, blocker.area),
        Plate("white", WHITE_NAME, WHITE_HEX, finished(white.area)),
        *colours.result(),
    ]
    return Stack(
        plates=tuple(plate for plate in plates if not plate.area.is_empty),
        rim_mm2=blocker.rim_mm2,
        exposed_black=exposed_black,
        savings=possible_savings(design, roles, settings),
        notices=stack_notices(roles, blocker, white, keep_in, blocker_hex, settings),
    )


def make_plates(design: Design, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `make_stack`, in print order: blocker, white, colours light to dark, highlight white last."""
    return make_stack(design, settings).plates


def upper_room(blocker: Region, settings: Settings) -> Region:
    """Where upper ink may lie: inside the blocker by the clearance, and by what thinning and films may lose of it."""
    return _inside(blocker, settings.clearance_mm + FILM_GUARD_MM + 2 * THINNING_MM)


def _colour_plates(roles: Roles, trapped: tuple[Region, ...], keep_in: Region, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `roles.trapping`, but that highlight white prints last."""
    taken = {WHITE_NAME, settings.blocker_name}
    areas = dict(zip([ink.name for ink in roles.trapping], _cut_to(trapped, keep_in), strict=True))
    colours = [
        Plate("colour", f"{ink.name} colour" if ink.name in taken else ink.name, ink.hex, areas[ink.name])
        for ink in roles.colours
    ]
    highlights = [Plate("colour", f"highlight {ink.name}", ink.hex, areas[ink.name]) for ink in roles.highlights]
    return (*colours, *highlights)


@remembered
def _covered(areas: tuple[Region, ...]) -> Region:
    return joined_coverage(areas)


@remembered
def _inside(blocker: Region, distance_mm: float) -> Region:
    return inset_at_least(blocker, distance_mm)


@remembered
def _cut_to(areas: tuple[Region, ...], keep_in: Region) -> tuple[Region, ...]:
    return tuple(finished(intersection(area, keep_in)) for area in areas)
