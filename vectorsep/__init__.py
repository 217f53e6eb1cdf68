"""Registered, dye-safe screen-printing plates from flat spot-colour SVG art."""

from vectorsep.api import check_stack, read_design
from vectorsep.errors import ArtworkError, FolderError, SettingsError, VectorsepError
from vectorsep.model import Design, Finding, InkArea, Notice, Plate
from vectorsep.pipeline import separate
from vectorsep.plates import make_plates
from vectorsep.settings import InkSetting, ReadOptions, Settings

__all__ = [
    "ArtworkError",
    "Design",
    "Finding",
    "FolderError",
    "InkArea",
    "InkSetting",
    "Notice",
    "Plate",
    "ReadOptions",
    "Settings",
    "SettingsError",
    "VectorsepError",
    "check_stack",
    "make_plates",
    "read_design",
    "separate",
]
