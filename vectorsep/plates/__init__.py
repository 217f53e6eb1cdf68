"""Third stage: ink areas become plates, in print order."""

from vectorsep.plates.stack import make_plates, make_stack

__all__ = ["make_plates", "make_stack"]
