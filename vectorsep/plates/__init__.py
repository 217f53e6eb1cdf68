"""Third stage: ink areas become plates, in print order."""

from vectorsep.plates.blocker import shape_blocker
from vectorsep.plates.roles import assign_roles
from vectorsep.plates.room import UpperRoom, upper_room
from vectorsep.plates.stack import make_plates, make_stack, sound_roles
from vectorsep.plates.trap import trapped_areas
from vectorsep.plates.underbase import shape_white

__all__ = [
    "UpperRoom",
    "assign_roles",
    "make_plates",
    "make_stack",
    "shape_blocker",
    "shape_white",
    "sound_roles",
    "trapped_areas",
    "upper_room",
]
