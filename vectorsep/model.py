"""The frozen values that pass between the stages. No logic beyond what a value can say of itself.

All lengths are millimetres, y runs down, the origin is the top left of the design's page.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from shapely import MultiPolygon, Polygon

Region: TypeAlias = Polygon | MultiPolygon
Point: TypeAlias = tuple[float, float]
Bounds: TypeAlias = tuple[float, float, float, float]
"""Left, top, right, bottom."""
Role: TypeAlias = Literal["blocker", "white", "colour"]
Severity: TypeAlias = Literal["unsafe", "warning", "note"]
Mishap: TypeAlias = Literal["ink-on-cloth", "white-shows", "gap-opens"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the SVG source something stands."""

    element: str
    id: str | None = None
    line: int | None = None
    layer: str | None = None
    """What an editor calls it or the group that it stands in, where that was asked for."""

    def __str__(self) -> str:
        name = f'<{self.element} id="{self.id}">' if self.id else f"<{self.element}>"
        line = f" at line {self.line}" if self.line else ""
        layer = f'in "{self.layer}", ' if self.layer else ""
        return layer + name + line


@dataclass(frozen=True, slots=True)
class Notice:
    """The job did something other than, or beyond, what the art or the job file literally said."""

    code: str
    message: str
    severity: Severity = "note"
    plate: str | None = None
    at_mm: Point | None = None
    ending: str = ""
    """The end of the message, reason and remedy, that others of its kind have too: told together, they say it once."""
    places: int = 1
    """How many things it speaks of."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Made as asked, but it will print badly (`warning`), or let ink touch the cloth or dye through (`unsafe`)."""

    code: str
    severity: Severity
    plate: str | None
    message: str
    at_mm: Point | None = None
    places: int = 1
    """How many places it speaks of: one, unless it counts those of a kind that are not listed one by one."""


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

    def emptied(self) -> Plate:
        """The same plate with nothing on it."""
        return replace(self, area=MultiPolygon())


@dataclass(frozen=True, slots=True)
class Saving:
    """A step that saves screens: what it is, how many, what it costs the print, and whether the job takes it."""

    step: str
    screens: int
    cost: str
    taken: bool
    key: str | None = None
    """What to write into the job for it; None where the art must change, or more than one key."""
    changes: frozenset[str] = frozenset()
    """Whose screens it takes or changes, by name. Savings that have one in common cannot both be taken."""
    weakens: bool = False
    """Whether the stack protects less by it: enough for ordinary inks, and for nothing that asks for more."""


@dataclass(frozen=True, slots=True)
class Stack:
    """The plates in print order, what was done on the way, and what the blocker shows beside the art."""

    plates: tuple[Plate, ...]
    rim_mm2: float
    """Blocker past the art: it shows in the blocker's colour around the print."""
    savings: tuple[Saving, ...] = ()
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """The page all films share: the design's page in the middle, room for ink around it, marks outside that."""

    design_width_mm: float
    design_height_mm: float
    ink_margin_mm: float
    """How far past the design's page a plate's ink may lie. Nothing but ink is drawn inside this zone."""
    margin_x_mm: float
    """From the design's page to the film's left and right edge; the film's origin is at minus this."""
    margin_y_mm: float
    """From the design's page to the film's top and bottom edge."""
    mirrored: bool = False
    """Whether the films are turned left to right, as seen through the back of the film."""
    set_code: str = ""
    """What all films of the set carry to be told from those of another, if anything."""

    @property
    def width_mm(self) -> float:
        """Width of the film."""
        return self.design_width_mm + 2 * self.margin_x_mm

    @property
    def height_mm(self) -> float:
        """Height of the film."""
        return self.design_height_mm + 2 * self.margin_y_mm

    @property
    def bounds_mm(self) -> Bounds:
        """The film, in the design's coordinates."""
        return self._around(self.margin_x_mm, self.margin_y_mm)

    @property
    def ink_zone_mm(self) -> Bounds:
        """Where ink may lie, in the design's coordinates."""
        return self._around(self.ink_margin_mm, self.ink_margin_mm)

    def _around(self, x_mm: float, y_mm: float) -> Bounds:
        return (-x_mm, -y_mm, self.design_width_mm + x_mm, self.design_height_mm + y_mm)


@dataclass(frozen=True, slots=True)
class Film:
    """One plate as a file's name and content."""

    file: str
    plate: Plate
    svg: bytes
    paths: tuple[str, ...] = ()
    """The plate as it is drawn: SVG path data (mm, even-odd) of each of its pieces. Not known of a film read back."""


@dataclass(frozen=True, slots=True)
class InkMeasure:
    """What the ink of a film measures: enough to tell later whether it was moved, turned over, scaled or retouched."""

    area_mm2: float
    bounds_mm: Bounds
    centroid_mm: Point
    covered: tuple[tuple[float, ...], ...] = ()
    """Which share of each cell of a grid over its bounds it covers, row by row from the top; none where not known."""


@dataclass(frozen=True, slots=True)
class MadeFilm:
    """What a folder tells of a film that was edited since: how it was made."""

    bare_svg: bytes
    """Its page, marks and lettering, without its ink."""
    ink: InkMeasure | None
    """As it was read back from the film then; None where the report does not say."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """How far a plate's edge stays from the blocker's edge: measured, never assumed."""

    plate: Plate
    distance_mm: float | None
    """None for the blocker itself; 0 where the plate touches or leaves the blocker."""
    at_mm: Point | None
    outside_mm2: float = 0.0
    """Area of the plate that lies past the blocker."""


@dataclass(frozen=True, slots=True)
class RegisterCase:
    """The worst that one plate out of register does, the others in place, of one kind of mishap."""

    plate: Plate
    """The plate that is moved, as it lies in register."""
    kind: Mishap
    shift_mm: Point
    """How far it is shifted, after the turn."""
    turn_deg: float
    """How far it is turned, clockwise on the page."""
    about_mm: Point
    """The point it turns about."""
    spoilt: Region
    """Where the print is spoilt; empty where no move that was tried does any harm."""
    at_mm: Point | None
    """A point inside the largest spoilt piece."""

    @property
    def area_mm2(self) -> float:
        """The spoilt area."""
        return self.spoilt.area


@dataclass(frozen=True, slots=True)
class Check:
    """What the independent check measured and what it found."""

    clearances: tuple[Clearance, ...]
    findings: tuple[Finding, ...]
    register: tuple[RegisterCase, ...] = ()
    """The worst case of each kind for each upper plate."""

    @property
    def safe(self) -> bool:
        """Whether every upper plate was measured and none can touch the cloth within the press's tolerance."""
        upper = [clearance for clearance in self.clearances if clearance.plate.role != "blocker"]
        measured = all(clearance.distance_mm is not None for clearance in upper)
        unsafe = any(finding.severity == "unsafe" for finding in self.findings)
        return len(upper) == len(self.clearances) - 1 and measured and not unsafe

    @property
    def tightest(self) -> Clearance | None:
        """The smallest clearance; None where none was measured."""
        measured = [clearance for clearance in self.clearances if clearance.distance_mm is not None]
        return min(measured, key=lambda clearance: clearance.distance_mm or 0.0, default=None)
