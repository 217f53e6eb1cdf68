"""Ink areas to plates: the blocker first, white on it, colours on the white."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from concurrent.futures import Future
from dataclasses import dataclass, replace
from itertools import chain, count

from vectorsep.errors import SettingsError
from vectorsep.geometry.boolean import covered
from vectorsep.geometry.finish import finished
from vectorsep.model import Design, Plate, Region, Stack
from vectorsep.plates.blocker import BlockerShape, shape_blocker
from vectorsep.plates.overprinted import print_over_specks
from vectorsep.plates.rim import blocker_hex
from vectorsep.plates.roles import WHITE_HEX, WHITE_NAME, Roles, assign_roles
from vectorsep.plates.room import UpperRoom, upper_room
from vectorsep.plates.savings import possible_savings
from vectorsep.plates.telling import stack_notices
from vectorsep.plates.trap import pair_problems, trapped_areas
from vectorsep.plates.underbase import WhiteShape, shape_white
from vectorsep.remember import remembered
from vectorsep.settings import Settings
from vectorsep.threads import one_thread_aside


def make_stack(design: Design, settings: Settings) -> Stack:
    """Turn ink areas into plates in print order, every upper plate cut to where it cannot reach cloth.

    Empty plates are left out. Raises SettingsError, before any plate is shaped, with every ink that the job names and
    the art does not have.
    """
    shaped = _shaped(design, settings)
    return Stack(
        plates=shaped.plates,
        rim_mm2=shaped.blocker.rim_mm2,
        savings=possible_savings(design, shaped.roles, settings),
        notices=stack_notices(shaped.roles, shaped.blocker, shaped.white, shaped.room.receding, settings),
    )


def make_plates(design: Design, settings: Settings) -> tuple[Plate, ...]:
    """The plates of `make_stack` alone, in print order: blocker, white, colours, highlight white last."""
    return _shaped(design, settings).plates


@dataclass(frozen=True, slots=True)
class _Shaped:
    """The plates, and what is to be told of how they came to be."""

    plates: tuple[Plate, ...]
    roles: Roles
    blocker: BlockerShape
    white: WhiteShape
    room: UpperRoom


def _shaped(design: Design, settings: Settings) -> _Shaped:
    roles = sound_roles(design, settings)
    silhouette = covered(tuple(ink.area for ink in design.inks))

    with one_thread_aside() as aside:  # traps need no blocker, and the engine works outside the interpreter's lock
        trapping = aside.submit(trapped_areas, roles, settings)
        blocker = shape_blocker(silhouette, roles, settings)
        room = upper_room(silhouette, blocker.area, settings)
        cutting = aside.submit(_cut_when_trapped, trapping, room)  # queued behind the traps, in the same one thread
        white = shape_white(roles, room, settings)

    plates = [
        Plate("blocker", settings.blocker_name, blocker_hex(settings), blocker.area),
        Plate("white", WHITE_NAME, WHITE_HEX, white.area),
        *_colour_plates(roles, cutting.result()),
    ]
    printed = tuple(plate for plate in _told_apart(plates) if not plate.area.is_empty)
    return _Shaped(printed, roles, blocker, white, room)


def sound_roles(design: Design, settings: Settings) -> Roles:
    """Who prints what, where all that the job says of the art's inks fits them; specks of a merged black with the inks
    around them. Raises SettingsError otherwise."""
    try:
        roles = assign_roles(design.inks, settings)
    except SettingsError as error:
        names = [ink.name for ink in design.inks]
        raise SettingsError([*error.problems, *pair_problems(names, None, settings)]) from error
    names = [ink.name for ink in (*roles.trapping, *roles.on_blocker)]
    problems = list(pair_problems(names, roles.black.name if roles.black else None, settings))
    if problems:
        raise SettingsError(problems)
    return print_over_specks(roles, settings)


def _cut_when_trapped(trapping: Future[tuple[Region, ...]], room: UpperRoom) -> tuple[Region, ...]:
    """The trapped areas, cut. A task's future exists only once it is queued, so this never comes before the traps: in
    one thread they are done by now, in several they are waited for."""
    return _cut_to(trapping.result(), room)


def _colour_plates(roles: Roles, cut: tuple[Region, ...]) -> tuple[Plate, ...]:
    """The plates of `roles.trapping`, whose areas are given in its order."""
    return tuple(
        Plate("colour", roles.plate_of(ink), ink.hex, area) for ink, area in zip(roles.trapping, cut, strict=True)
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
def _cut_to(areas: tuple[Region, ...], room: UpperRoom) -> tuple[Region, ...]:
    return tuple(finished(room.cut(area)) for area in areas)
