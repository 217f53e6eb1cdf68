"""Tuning by eye: the plates of a part of the design, drawn anew in a browser whenever a distance is moved."""

from vectorsep.tune.light_table import LightTable
from vectorsep.tune.server import TuneServer
from vectorsep.tune.view import View, view_of

__all__ = ["LightTable", "TuneServer", "View", "view_of"]
