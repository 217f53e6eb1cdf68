"""The shape of the code, held by tests: imports go down only, one package does geometry, names are on purpose."""

import ast
from pathlib import Path

import pytest

import vectorsep

PACKAGE = Path(vectorsep.__file__).parent
STAGES = ("artwork", "inks", "plates", "press", "check", "films")
BASE = (
    "model",
    "errors",
    "units",
    "colour",
    "mesh",
    "settings",
    "press_settings",
    "press_model",
    "job",
    "separation",
    "remember",
    "threads",
    "geometry",
    "paper",
)
"""What every stage may lean on."""
BELOW_GEOMETRY = ("geometry", "model", "errors", "units", "remember")
MODULES = sorted(PACKAGE.rglob("*.py"))
SHAPELY_TYPES = {"Polygon", "MultiPolygon", "Point", "LineString", "MultiLineString"}
LONGEST_MODULE = 350


def module_name(path):
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts)


def imports_of(source):
    """(module, name) for every import in a source text."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)


def our_imports(source):
    return [module.removeprefix("vectorsep.") for module, _ in imports_of(source) if module.startswith("vectorsep")]


def broken_imports(name, source):
    """The imports of a module that go up, or sideways from stage to stage."""
    home = name.split(".")[0]
    targets = {target: target.split(".")[0] for target in our_imports(source)}
    if home == "geometry":
        return [target for target, root in targets.items() if root not in BELOW_GEOMETRY]
    if home in STAGES:
        return [target for target, root in targets.items() if root != home and root not in BASE]
    if home in BASE:
        return [target for target, root in targets.items() if root not in BASE]
    return []


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_imports_go_down_only(path):
    assert broken_imports(module_name(path), path.read_text()) == []


@pytest.mark.parametrize("path", [path for path in MODULES if path != PACKAGE / "__init__.py"], ids=module_name)
def test_no_import_is_for_types_alone(path):
    """Such an import hides a circle; the package's own, which loads what is asked for, is no circle."""
    assert ("typing", "TYPE_CHECKING") not in imports_of(path.read_text())


@pytest.mark.parametrize(
    ("name", "source"),
    [
        ("inks.separate", "from vectorsep.films import write_films"),
        ("check.stack", "import vectorsep.plates.stack"),
        ("model", "from vectorsep.inks import separate_inks"),
        ("geometry.offset", "from vectorsep.settings import Settings"),
        ("plates.stack", "from vectorsep.pipeline import separate"),
    ],
)
def test_the_import_rule_can_fail(name, source):
    assert len(broken_imports(name, source)) == 1


@pytest.mark.parametrize("path", [path for path in MODULES if "geometry" not in path.parts], ids=module_name)
def test_only_geometry_calls_shapely_operations(path):
    for module, name in imports_of(path.read_text()):
        if module.split(".")[0] == "shapely":
            assert name in SHAPELY_TYPES or name.endswith("BaseGeometry"), f"{module_name(path)} uses shapely.{name}"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_no_module_outgrows_a_reader(path):
    assert len(path.read_text().splitlines()) <= LONGEST_MODULE


def test_the_pipeline_fits_a_screen_and_touches_neither_disk_nor_geometry():
    source = (PACKAGE / "pipeline.py").read_text()
    assert len(source.splitlines()) <= 80
    assert not [target for target in our_imports(source) if target.startswith(("geometry", "files"))]
    assert "open(" not in source
    assert "Path" not in source


def test_public_names_are_sorted_and_exist():
    assert vectorsep.__all__ == sorted(vectorsep.__all__)
    assert all(hasattr(vectorsep, name) for name in vectorsep.__all__)


def test_test_modules_have_names_of_their_own():
    names = [path.name for path in Path(__file__).parent.rglob("test_*.py")]
    assert sorted(set(names)) == sorted(names)
