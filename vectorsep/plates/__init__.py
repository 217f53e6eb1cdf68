"""Third stage: ink areas become plates, in print order."""

from vectorsep.plates.stack import make_plates

__all__ = ["make_plates"]
