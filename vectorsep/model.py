"""The frozen values that pass between the stages. No logic beyond what a value can say of itself.

All lengths are millimetres, y runs down, the origin is the top left of the design's page.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from shapely import MultiPolygon, Polygon

Region: TypeAlias = Polygon | MultiPolygon
Point: TypeAlias = tuple[float, float]
Role: TypeAlias = Literal["blocker", "white", "colour"]
Severity: TypeAlias = Literal["unsafe", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the SVG source something stands."""

    element: str
    id: str | None = None
    line: int | None = None

    def __str__(self) -> str:
        name = f'<{self.element} id="{self.id}">' if self.id else f"<{self.element}>"
        return f"{name} at line {self.line}" if self.line else name


@dataclass(frozen=True, slots=True)
class Notice:
    """The job did something other than, or beyond, what the art or the job file literally said."""

    code: str
    message: str
    severity: Severity = "note"
    plate: str | None = None
    at_mm: Point | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """Made as asked, but it will print badly (`warning`) or let ink touch the cloth (`unsafe`)."""

    code: str
    severity: Severity
    plate: str | None
    message: str
    at_mm: Point | None = None


@dataclass(frozen=True, slots=True)
class PaintedShape:
    """One fill or one stroke, as drawn: what it covers before anything above hides it."""

    area: Region
    hex: str
    place: Place
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Artwork:
    """The drawing, resolved: painted shapes in painter's order, lowest first."""

    width_mm: float
    height_mm: float
    shapes: tuple[PaintedShape, ...]
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class InkArea:
    """What one ink must show in the finished print. The areas of a design are disjoint."""

    name: str
    hex: str
    area: Region


@dataclass(frozen=True, slots=True)
class Design:
    """The art as ink areas, which together cover the art's silhouette."""

    width_mm: float
    height_mm: float
    inks: tuple[InkArea, ...]
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class Plate:
    """One screen: where it lets ink through."""

    role: Role
    ink: str
    hex: str
    area: Region
