"""Outcomes that are asked for again while a separator moves one distance: the rest of the work stays as it was."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import ParamSpec, TypeVar

Parameters = ParamSpec("Parameters")
Outcome = TypeVar("Outcome")

KEPT = 4
"""Outcomes of so many different calls are kept for each function: those of the last design, or of the last two."""


def remembered(function: Callable[Parameters, Outcome]) -> Callable[Parameters, Outcome]:
    """Keep a function's last few outcomes. It must be pure, and its arguments frozen: they are compared by value."""
    return lru_cache(maxsize=KEPT)(function)  # type: ignore[return-value] # typed without the parameters
