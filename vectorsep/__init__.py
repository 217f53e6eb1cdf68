"""Registered, dye-safe screen-printing plates from flat spot-colour SVG art.

The public names are loaded when they are first asked for (PEP 562): the command comes by here before it can take an
interrupt, and all modules together take half a second.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from vectorsep.api import check_stack, read_design
    from vectorsep.errors import ArtworkError, FolderError, SettingsError, VectorsepError
    from vectorsep.model import Design, Finding, InkArea, Notice, Plate
    from vectorsep.pipeline import separate
    from vectorsep.plates import make_plates
    from vectorsep.settings import InkSetting, ReadOptions, Settings
else:
    from importlib import import_module

    _HOMES = ("api", "errors", "model", "pipeline", "plates", "settings")

    def __getattr__(name: str) -> object:
        if name in __all__:
            for home in _HOMES:
                module = import_module(f"{__name__}.{home}")
                if hasattr(module, name):
                    return getattr(module, name)
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")

    def __dir__() -> list[str]:
        return sorted({*globals(), *__all__})


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
