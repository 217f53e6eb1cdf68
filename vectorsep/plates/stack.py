"""Ink areas to plates: the blocker first, white on it, colours on the white, light to dark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from vectorsep.geometry.boolean import intersection, joined_coverage
from vectorsep.geometry.offset import inset_at_least, thinned
from vectorsep.geometry.refit import FILM_GUARD_MM
from vectorsep.geometry.region import EMPTY, on_grid
from vectorsep.model import Design, InkArea, Plate, Region, Role, Stack
from vectorsep.plates.blocker import shape_blocker
from vectorsep.plates.roles import Roles, assign_roles
from vectorsep.plates.savings import possible_savings
from vectorsep.plates.telling import stack_notices
from vectorsep.plates.trap import trapped_areas
from vectorsep.plates.underbase import shape_white
from vectorsep.settings import Settings

BLOCKER_HEX = {"black": "#1c1c1e", "grey": "#7d7f82"}
"""How a printed blocker looks, for proofs (from memory of cured carbon bases; no colour is promised)."""
WHITE_NAME, WHITE_HEX = "white", "#ffffff"
THINNING_MM = 0.0005
"""Plates lose the vertices that lie nearer than this to a line through their neighbours: a third or more of them,
left by offsets and overlays, and no film shows it."""


def make_stack(design: Design, settings: Settings) -> Stack:
    """Turn ink areas into plates in print order, every upper plate cut to where it cannot reach cloth.

    Empty plates are left out. Raises SettingsError when the job names an ink that the art does not have.
    """
    roles = assign_roles(design, settings)
    silhouette = _covered(design.inks)
    exposed_black = roles.black.area if roles.black else EMPTY

    blocker = shape_blocker(silhouette, exposed_black, settings)
    keep_in = upper_room(blocker.area, settings)
    white = shape_white(roles, keep_in, settings)
    colours = _colour_plates(roles, keep_in, settings)

    blocker_hex = BLOCKER_HEX[settings.blocker]
    plates = [
        _plate("blocker", settings.blocker_name, blocker_hex, blocker.area),
        _plate("white", WHITE_NAME, WHITE_HEX, white.area),
        *colours,
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
    return inset_at_least(blocker, settings.clearance_mm + FILM_GUARD_MM + 2 * THINNING_MM)


def _colour_plates(roles: Roles, keep_in: Region, settings: Settings) -> Iterator[Plate]:
    """Traps go from light to dark over all inks with an edge to hide; highlight white prints last all the same."""
    taken = {WHITE_NAME, settings.blocker_name}
    trapping = (*roles.highlights, *roles.colours)
    areas = trapped_areas(trapping, roles.black, settings)
    trapped = {ink.name: area for ink, area in zip(trapping, areas, strict=True)}
    for ink in roles.colours:
        name = f"{ink.name} colour" if ink.name in taken else ink.name
        yield _plate("colour", name, ink.hex, intersection(trapped[ink.name], keep_in))
    for ink in roles.highlights:
        yield _plate("colour", f"highlight {ink.name}", ink.hex, intersection(trapped[ink.name], keep_in))


def _covered(inks: Iterable[InkArea]) -> Region:
    return joined_coverage([ink.area for ink in inks])


def _plate(role: Role, ink: str, hex_: str, area: Region) -> Plate:
    return Plate(role, ink, hex_, on_grid(thinned(area, THINNING_MM)))
