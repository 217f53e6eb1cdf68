"""Ink areas to plates: the blocker first, white on it, colours on the white, light to dark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from itertools import chain, count

from vectorsep.geometry.boolean import joined_coverage
from vectorsep.geometry.finish import finished
from vectorsep.geometry.region import EMPTY
from vectorsep.model import Design, Plate, Region, Stack
from vectorsep.plates.blocker import shape_blocker
from vectorsep.plates.roles import WHITE_HEX, Roles, assign_roles
from vectorsep.plates.room import UpperRoom, upper_room
from vectorsep.plates.savings import possible_savings
from vectorsep.plates.telling import stack_notices
from vectorsep.plates.trap import trapped_areas
from vectorsep.plates.underbase import shape_white
from vectorsep.remember import remembered
from vectorsep.settings import Settings

BLOCKER_HEX = {"black": "#1c1c1e", "grey": "#7d7f82"}
"""How a printed blocker looks, for proofs (from memory of cured carbon bases; no colour is promised)."""
WHITE_NAME = "white"


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
        room = upper_room(silhouette, blocker.area, settings)
        colours = aside.submit(lambda: _colour_plates(roles, trapping.result(), room, settings))
        white = shape_white(roles, room, settings)

    blocker_hex = BLOCKER_HEX[settings.blocker]
    plates = [
        Plate("blocker", settings.blocker_name, blocker_hex, blocker.area),
        Plate("white", WHITE_NAME, WHITE_HEX, finished(white.area)),
        *colours.result(),
    ]
    return Stack(
        plates=tuple(plate for plate in _told_apart(plates) if not plate.area.is_empty),
        rim_mm2=blocker.rim_mm2,
        exposed_black=exposed_black,
        savings=possible_savings(design, roles, settings),
        notices=stack_notices(roles, blocker, white, room.receding, blocker_hex, settings),
    )


def make_plates(design: Design, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `make_stack`, in print order: blocker, white, colours light to dark, highlight white last."""
    return make_stack(design, settings).plates


def _colour_plates(roles: Roles, trapped: tuple[Region, ...], room: UpperRoom, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `roles.trapping`, in its order."""
    names = [ink.name for ink in roles.colours] + [f"highlight {ink.name}" for ink in roles.highlights]
    return tuple(
        Plate("colour", name, ink.hex, area)
        for name, ink, area in zip(names, roles.trapping, _cut_to(trapped, room), strict=True)
    )


def _told_apart(plates: Iterable[Plate]) -> Iterator[Plate]:
    """The plates, each by a name of its own: a colour whose name is taken by a plate before it says what it is."""
    taken: set[str] = set()
    for plate in plates:
        numbered = (f"{plate.ink} colour {number}" for number in count(2))
        name = next(name for name in chain((plate.ink, f"{plate.ink} colour"), numbered) if name not in taken)
        taken.add(name)
        yield replace(plate, ink=name)


@remembered
def _covered(areas: tuple[Region, ...]) -> Region:
    return joined_coverage(areas)


@remembered
def _cut_to(areas: tuple[Region, ...], room: UpperRoom) -> tuple[Region, ...]:
    return tuple(finished(room.cut(area)) for area in areas)
