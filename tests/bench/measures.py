"""What is measured against what, one function a subject; each returns lines of the table."""

from __future__ import annotations

import io
import math
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import count
from pathlib import Path

import inputs
import numpy as np
import raster_way
import shapely
import svgelements
from plain_way import plain_plates
from ratios import Measure, at_least, at_most, by_turns, compared, seconds, timed

from vectorsep.artwork import read_artwork
from vectorsep.batch import BatchDesign, separate_batch, settings_beside
from vectorsep.geometry.offset import quarter_segments
from vectorsep.inks import separate_inks
from vectorsep.model import Artwork, Bounds, Design
from vectorsep.pipeline import separate
from vectorsep.plates import make_plates, make_stack
from vectorsep.remember import forget
from vectorsep.settings import ReadOptions, Settings
from vectorsep.tune.view import first_window, view_of
from vectorsep.writing import write_folder

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "demo_designs").glob("*.svg"))
SEGMENTS = 100_000
BYTES_PER_POINT = 16
"""Two doubles: what a point of a polygon takes at the least."""
MEGABYTE = 1e6
IN_SIGHT_S = 0.1
"""What a person takes for at once (from memory of R. B. Miller, "Response time in man-computer conversational
transactions", 1968)."""


def reading() -> Iterator[Measure]:
    """100,000 path segments into polygons, against svgelements' whole parse (which makes no polygons yet)."""
    svg = inputs.curved_svg(SEGMENTS)
    ours = partial(read_artwork, svg, ReadOptions())
    ours_s, theirs_s = by_turns(ours, lambda: svgelements.SVG.parse(io.BytesIO(svg)), rounds=3)
    yield at_least(f"read {SEGMENTS:,} segments / svgelements.SVG.parse", ours_s, theirs_s, 5)


def plates() -> Iterator[Measure]:
    """Ink areas and all plates, against one plain union of the same polygons, by the time that one waits; and plates
    of the plainest kind from ready ink areas, to tell what the engine takes for these at the least."""
    arts = {"5,000 blobs": inputs.blobs(5000), "2,000 glyphs": inputs.glyphs(2000)}
    for name, art in arts.items():
        ours_s, theirs_s = by_turns(partial(_separated, art), partial(_united, art), 3, time.perf_counter)
        yield at_most(f"inks + plates, {name} / union_all", ours_s, theirs_s, 3)
        areas = [ink.area for ink in separate_inks(art, Settings()).inks]
        plain = partial(plain_plates, areas, Settings())
        plain_s, theirs_s = by_turns(plain, partial(_united, art), 3, time.perf_counter)
        yield compared(f"plain plates alone, {name} / union_all", plain_s, theirs_s)


def growth() -> Iterator[Measure]:
    """How the time for ink areas and plates grows with the art: blobs that cover the page, and drawn lines that cross
    each other, with cloth in thousands of holes between them."""
    yield _growth("blobs", inputs.blobs, 1000, 20_000)
    yield _growth("strokes", inputs.strokes, 250, 2000)


def _growth(name: str, art: Callable[[int], Artwork], small: int, large: int) -> Measure:
    few, many = art(small), art(large)
    many_s, few_s = by_turns(partial(_separated, many), partial(_separated, few), rounds=2)
    power = math.log(many_s / few_s) / math.log(large / small)
    name = f"inks + plates, {large:,} {name} / {small:,} {name}"
    return Measure(name, seconds(many_s), seconds(few_s), f"n^{power:.2f}", "at most n^1.15", power <= 1.15)


def _separated(art: Artwork) -> object:
    forget()
    settings = Settings()
    return make_stack(separate_inks(art, settings), settings)


def _united(art: Artwork) -> object:
    return shapely.union_all([shape.area for shape in art.shapes])


def retuning() -> Iterator[Measure]:
    """New plates after a change of the choke or the spread, ink areas kept, against one buffer of the silhouette, by
    the time that one waits: part of the work is shared by two threads."""
    cases = {"5,000 blobs": (separate_inks(inputs.blobs(5000), Settings()), Settings())}
    cases |= {demo.stem: _demo_design(demo) for demo in DEMOS}
    for name, (design, settings) in cases.items():
        silhouette = shapely.union_all([ink.area for ink in design.inks])
        buffer = partial(shapely.buffer, silhouette, settings.spread_mm, quad_segs=quarter_segments(settings.spread_mm))
        for field in ("choke_mm", "spread_mm"):
            moved = partial(_moved, design, settings, field, count(1))
            ours_s, theirs_s = by_turns(moved, buffer, 5, time.perf_counter)
            yield _retuned(name, field, ours_s, theirs_s)


def _moved(design: Design, settings: Settings, field: str, steps: Iterator[int]) -> object:
    return make_plates(design, _stepped(settings, field, steps))


def _retuned(name: str, field: str, ours_s: float, theirs_s: float) -> Measure:
    limit_s = 4 * theirs_s + 0.020
    if name in {demo.stem for demo in DEMOS}:
        limit_s = min(limit_s, 0.100)
    label = f"new {field.removesuffix('_mm')}, {name} / one buffer"
    reach = f"at most {seconds(limit_s)}"
    return Measure(
        label, seconds(ours_s), seconds(theirs_s), f"{ours_s / theirs_s:.2f} times", reach, ours_s <= limit_s
    )


def in_sight() -> Iterator[Measure]:
    """The same for what the page for tuning shows at first, against the plates of the whole design."""
    for demo in DEMOS:
        design, settings = _demo_design(demo)
        window = first_window(design)
        for field in ("choke_mm", "spread_mm"):
            seen = partial(_moved_in_sight, design, settings, window, field, count(1))
            whole = partial(_moved, design, settings, field, count(1))
            ours_s, whole_s = by_turns(seen, whole, 5, time.perf_counter)
            yield Measure(
                f"new {field.removesuffix('_mm')} in sight, {demo.stem} / whole plates",
                seconds(ours_s),
                seconds(whole_s),
                f"{ours_s / whole_s:.2f} times",
                f"at most {seconds(IN_SIGHT_S)}",
                ours_s <= IN_SIGHT_S,
            )


def _moved_in_sight(design: Design, settings: Settings, window: Bounds, field: str, steps: Iterator[int]) -> object:
    return view_of(design, window, _stepped(settings, field, steps))


def _stepped(settings: Settings, field: str, steps: Iterator[int]) -> Settings:
    """A distance that was not tried before: each call moves it on by a hundredth of a millimetre."""
    return replace(settings, **{field: getattr(settings, field) + 0.01 * next(steps)})


def _demo_design(demo: Path) -> tuple[Design, Settings]:
    settings = settings_beside(demo)
    return separate_inks(read_artwork(demo.read_bytes(), settings.art), settings), settings


def command() -> Iterator[Measure]:
    """The whole command on each demo, papers included, against a start of Python with the same imports."""
    start = [sys.executable, "-c", "import vectorsep.cli"]
    for demo in DEMOS:
        with tempfile.TemporaryDirectory() as scratch:
            job = [sys.executable, "-m", "vectorsep", "separate", str(demo), "--job", str(demo.with_suffix(".toml"))]
            whole = [*job, "--out", f"{scratch}/plates", "--replace", "--quiet"]
            ours_s, start_s = by_turns(partial(_ran, whole), partial(_ran, start), 3, time.perf_counter)
        more_s = ours_s - start_s
        value = f"{seconds(more_s)} more"
        yield Measure(
            f"whole command, {demo.stem} / start", seconds(ours_s), seconds(start_s), value, "at most 1 s", more_s <= 1
        )


def _ran(arguments: list[str]) -> None:
    """Run a command; 0 and 1 are both a finished job, safe or not."""
    done = subprocess.run(arguments, capture_output=True, text=True, check=False, cwd=ROOT)
    if done.returncode not in (0, 1):
        raise RuntimeError(f"{' '.join(arguments)} ended with {done.returncode}: {done.stderr}")


def raster() -> Iterator[Measure]:
    """The whole job, read to papers, against pixels at 1,440 dpi that make no papers and check nothing."""
    for demo in DEMOS:
        svg, settings = demo.read_bytes(), settings_beside(demo)
        design, _ = _demo_design(demo)
        size_mm, hexes = (design.width_mm, design.height_mm), [ink.hex for ink in design.inks]
        ours = [timed(partial(_from_the_start, svg, settings, demo.name), time.perf_counter) for _ in range(3)]
        theirs_s = timed(partial(raster_way.plates, svg, size_mm, hexes, settings), time.perf_counter)
        yield at_least(f"whole job, {demo.stem} / pixels", statistics.median(ours), theirs_s, 10)


def _from_the_start(svg: bytes, settings: Settings, name: str) -> object:
    forget()
    return separate(svg, settings, name)


def error() -> Iterator[Measure]:
    """How far the edges of a disc's plates lie from where they should, against the same in pixels."""
    page_mm, radius_mm = 80.0, 30.0
    settings, svg, middle_mm = Settings(), inputs.disc_svg(radius_mm, page_mm), page_mm / 2
    edges = {"blocker": radius_mm + settings.spread_mm, "white": radius_mm - settings.choke_mm, "colour": radius_mm}
    job, _ = separate(svg, settings, "disc.svg")
    masks = raster_way.plates(svg, (page_mm, page_mm), [inputs.HEXES[0]], settings)
    for plate, mask, (role, edge_mm) in zip(job.stack.plates, masks, edges.items(), strict=True):
        ours_mm = _edge_error_mm(shapely.get_coordinates(plate.area), middle_mm, edge_mm)
        theirs_mm = raster_way.edge_error_mm(mask, middle_mm, edge_mm)
        value = f"{theirs_mm / ours_mm:.1f} times smaller"
        microns = (f"{ours_mm * 1000:.2f} µm", f"{theirs_mm * 1000:.1f} µm")
        yield Measure(f"edge error, disc's {role} / pixels", *microns, value, "smaller", ours_mm < theirs_mm)


def _edge_error_mm(ring: np.ndarray, centre_mm: float, radius_mm: float) -> float:
    """How far a ring's corners and the middles of its sides lie from the true circle, at worst."""
    points = np.vstack([ring, (ring[1:] + ring[:-1]) / 2]) - centre_mm
    return float(np.abs(np.hypot(*points.T) - radius_mm).max())


MEMORY_CODE = """
import sys
from pathlib import Path
from vectorsep.pipeline import separate
from vectorsep.remember import forget
from vectorsep.settings import Settings
separate(Path(sys.argv[1]).read_bytes(), Settings(), "art.svg")
print(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0])
"""
KIBIBYTE = 1024
"""Linux counts VmHWM, the peak of a process since its program began, in these (proc(5)); ru_maxrss keeps what the
process was forked from."""


def memory() -> Iterator[Measure]:
    """The peak of a whole job's process, against the size of the art's polygons."""
    svg = inputs.curved_svg(SEGMENTS)
    points = sum(shapely.get_num_coordinates(shape.area) for shape in read_artwork(svg, ReadOptions()).shapes)
    polygons = int(points) * BYTES_PER_POINT
    with tempfile.TemporaryDirectory() as scratch:
        art = Path(scratch) / "art.svg"
        art.write_bytes(svg)
        done = subprocess.run([sys.executable, "-c", MEMORY_CODE, art], capture_output=True, check=True, cwd=ROOT)
    peak = int(done.stdout) * KIBIBYTE
    limit = 12 * polygons + 150 * MEGABYTE
    yield Measure(
        f"peak memory, {SEGMENTS:,} segments / its polygons",
        f"{peak / MEGABYTE:.0f} MB",
        f"{polygons / MEGABYTE:.1f} MB",
        f"{peak / polygons:.1f} times",
        f"at most {limit / MEGABYTE:.0f} MB",
        peak <= limit,
    )


def batch() -> Iterator[Measure]:
    """200 designs in two processes, against one after the other in this one."""
    with tempfile.TemporaryDirectory() as scratch:
        designs = _shop(Path(scratch) / "art", 200)
        together_s = timed(partial(_batched, designs, Path(scratch) / "batch"), time.perf_counter)
        single_s = timed(partial(_one_by_one, designs, Path(scratch) / "single"), time.perf_counter)
    yield at_least(f"batch of {len(designs)} in 2 processes / one by one", together_s, single_s, 1.8)


def _shop(folder: Path, count: int) -> list[BatchDesign]:
    folder.mkdir()
    designs = [BatchDesign(folder / f"design-{i:03}.svg", f"design-{i:03}.svg") for i in range(count)]
    for i, design in enumerate(designs):
        design.source.write_bytes(inputs.curved_svg(400, per_path=20, depth=1.5, seed=i))
    return designs


def _batched(designs: list[BatchDesign], out: Path) -> None:
    _none_failed(row.result.message for row in separate_batch(designs, out, 2) if row.result.verdict == "failed")


def _one_by_one(designs: list[BatchDesign], out: Path) -> None:
    for design in designs:
        _, files = separate(design.source.read_bytes(), Settings(), design.source.name)
        write_folder(out / design.source.stem, files, replace=False)


def _none_failed(messages: Iterator[str]) -> None:
    """A batch that fails is fast and worth nothing."""
    for message in messages:
        raise RuntimeError(message)


MEASURES: dict[str, Callable[[], Iterator[Measure]]] = {
    measure.__name__: measure
    for measure in (reading, plates, growth, retuning, in_sight, command, raster, error, memory, batch)
}
