"""Where upper ink may lie, so that no slip of register takes it past the blocker."""

from __future__ import annotations

from dataclasses import dataclass

from vectorsep.geometry.boolean import cut_where, difference, intersection
from vectorsep.geometry.finish import THINNING_MM
from vectorsep.geometry.offset import inset_at_least
from vectorsep.geometry.refit import FILM_GUARD_MM
from vectorsep.geometry.region import gather
from vectorsep.model import Region
from vectorsep.remember import remembered
from vectorsep.settings import Settings


@dataclass(frozen=True, slots=True, eq=False)
class UpperRoom:
    """The room for upper ink, and the art that lies outside it, both in mm. Where the blocker stands out far enough
    there is no such art, and nothing needs to be cut."""

    area: Region
    receding: Region

    def of(self, part: Region) -> UpperRoom:
        """The same for a part of the art."""
        return UpperRoom(self.area, intersection(part, self.receding))

    def cut(self, art: Region) -> Region:
        """What of some art lies in the room."""
        return art if self.receding.is_empty else gather(self.parted(art))

    def parted(self, art: Region) -> tuple[Region, Region]:
        """The same in two: the pieces that lie in the room as they are, and what is left of the others."""
        return cut_where(art, self.area, self.receding)


def upper_room(silhouette: Region, blocker: Region, settings: Settings) -> UpperRoom:
    """Inside the blocker by the clearance, and by what thinning and films may lose of it. `silhouette` is all art."""
    return _room(blocker, room_distance_mm(settings), silhouette)


def room_distance_mm(settings: Settings) -> float:
    """How far the room's edge lies inside the blocker's."""
    return settings.clearance_mm + FILM_GUARD_MM + 2 * THINNING_MM


def room_inside(blocker: Region, distance_mm: float, art: Region) -> UpperRoom:
    """The room so far inside a blocker, for some art. Not remembered: blockers that are only tried would push out what
    is kept of the real one."""
    inside = inset_at_least(blocker, distance_mm)
    return UpperRoom(inside, difference(art, inside))


_room = remembered(room_inside)
