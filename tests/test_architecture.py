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
    "geometry",
)
"""What every stage may lean on."""
MODULES = sorted(PACKAGE.rglob("*.py"))
SHAPELY_TYPES = {"Polygon", "MultiPolygon", "Point", "LineString", "MultiLineString"}
LONGEST_MODULE = 400


def module_name(path):
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts)


def imports_of(path):
    """(module, name) for every import in a file."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from ((node.module, alias.name) for alias in node.names)
        elif isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)


def our_imports(path):
    return [module.removeprefix("vectorsep.") for module, _ in imports_of(path) if module.startswith("vectorsep")]


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_imports_go_down_only(path):
    name = module_name(path)
    home = name.split(".")[0]
    for imported in our_imports(path):
        target = imported.split(".")[0]
        if home in STAGES:
            assert target == home or target in BASE, f"{name} imports {imported}"
        elif home in BASE:
            assert target in BASE, f"{name} imports {imported}"
    if home == "geometry":
        assert {target.split(".")[0] for target in our_imports(path)} <= {"geometry", "model", "errors", "units"}


@pytest.mark.parametrize("path", [path for path in MODULES if "geometry" not in path.parts], ids=module_name)
def test_only_geometry_calls_shapely_operations(path):
    for module, name in imports_of(path):
        if module.split(".")[0] == "shapely":
            assert name in SHAPELY_TYPES or name.endswith("BaseGeometry"), f"{module_name(path)} uses shapely.{name}"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_no_module_outgrows_a_reader(path):
    assert len(path.read_text().splitlines()) <= LONGEST_MODULE


def test_the_pipeline_fits_a_screen_and_touches_neither_disk_nor_geometry():
    source = (PACKAGE / "pipeline.py").read_text()
    assert len(source.splitlines()) <= 80
    assert not [target for target in our_imports(PACKAGE / "pipeline.py") if target.startswith(("geometry", "files"))]
    assert "open(" not in source
    assert "Path" not in source


def test_public_names_are_sorted_and_exist():
    assert vectorsep.__all__ == sorted(vectorsep.__all__)
    assert all(hasattr(vectorsep, name) for name in vectorsep.__all__)


def test_the_import_rule_can_fail():
    spoiled = "from vectorsep.films import write_films\n"
    tree = [node.module for node in ast.walk(ast.parse(spoiled)) if isinstance(node, ast.ImportFrom)]
    assert tree[0].removeprefix("vectorsep.").split(".")[0] not in BASE
