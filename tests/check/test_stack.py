"""Stacks spoiled on purpose: the check names the right plate and the right place, and never calls them safe."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from handmade import blob, plate, square
from shapely import MultiPolygon, Polygon, affinity

from vectorsep.check import measure_stack
from vectorsep.settings import LEAST_REGISTRATION_MM, Settings

SETTINGS = Settings()
SOUND = (
    plate("blocker", square(20).union(square(6, 20, 0)), "blocker black"),
    plate("white", square(18.8).union(square(4.6, 20, 0)), "white"),
    plate("colour", square(19.4).difference(square(9)), "yellow"),
    plate("colour", square(9.6).union(square(5.4, 20, 0)), "red"),
)
SPECK = shapely.Point(15, 9).buffer(0.1)
BOWTIE = Polygon([(-3, -3), (3, 3), (3, -3), (-3, 3)])


def with_second_point_at(x):
    """A square whose second point lies at x, which may be no number at all."""
    return shapely.transform(square(4), lambda xy: np.concatenate([xy[:1], [[x, 0.0]], xy[2:]]))


NAN, INFINITE = with_second_point_at(math.nan), with_second_point_at(math.inf)


def spoiled(index, change):
    plates = list(SOUND)
    plates[index] = replace(plates[index], area=change(plates[index].area))
    return plates


def unsafe(plates, settings=SETTINGS):
    check = measure_stack(plates, settings)
    found = [finding for finding in check.findings if finding.severity == "unsafe"]
    assert check.safe == (not found)
    return found


def test_the_sound_stack_is_safe_and_every_plate_measured():
    assert unsafe(SOUND) == []
    check = measure_stack(SOUND, SETTINGS)
    assert [clearance.plate for clearance in check.clearances] == list(SOUND)
    assert check.clearances[0].distance_mm is None
    assert [round(clearance.distance_mm, 9) for clearance in check.clearances[1:]] == [0.6, 0.3, 0.3]


SPOILED = {
    # case: plate, change, plate named, code, about where, how near
    "shifted": (2, lambda area: affinity.translate(area, 0.2, 0), "yellow", "clearance-short", (9.9, 0), 10),
    "shifted over": (2, lambda area: affinity.translate(area, 0.5, 0), "yellow", "past-blocker", (10.1, 0), 10),
    "turned": (2, lambda area: affinity.rotate(area, 2, origin=(0, 0)), "yellow", "past-blocker", (0, 0), 14.2),
    "grown": (1, lambda area: area.buffer(0.45), "white", "clearance-short", (9.85, 0), 18),
    "mirrored": (3, lambda area: affinity.scale(area, -1, 1, origin=(0, 0)), "red", "past-blocker", (-20, 0), 4),
    "speck on cloth": (3, lambda area: area.union(SPECK), "red", "past-blocker", (15, 9), 0.1),
    "bridge over a gap": (
        3,
        lambda area: area.union(shapely.box(4, -0.1, 20, 0.1)),
        "red",
        "past-blocker",
        (13.5, 0),
        4,
    ),
    "spike": (
        1,
        lambda area: area.union(Polygon([(9, -1), (9.9, 0), (9, 1)])),
        "white",
        "clearance-short",
        (9.9, 0),
        1e-6,
    ),
    "speck near the edge": (
        2,
        lambda area: area.union(shapely.Point(22.6, 2.6).buffer(0.2)),
        "yellow",
        "clearance-short",
        (22.8, 2.7),
        0.2,
    ),
}


@pytest.mark.parametrize(("index", "change", "ink", "code", "near", "within"), SPOILED.values(), ids=SPOILED)
def test_a_spoiled_upper_plate_is_named_with_its_place(index, change, ink, code, near, within):
    plates = spoiled(index, change)
    found = unsafe(plates)
    assert [(finding.plate, finding.code) for finding in found] == [(ink, code)]
    assert math.dist(found[0].at_mm, near) <= within
    place = shapely.Point(found[0].at_mm)
    if code == "past-blocker":
        assert plates[index].area.contains(place) and not SOUND[0].area.intersects(place)
    else:
        assert place.distance(SOUND[0].area.boundary) < SETTINGS.registration_mm


SPOILED_BLOCKERS = {
    "shrunk": lambda area: area.buffer(-0.06),
    "shrunk past the colours": lambda area: area.buffer(-0.35),
    "a piece missing": lambda area: square(20),
    "a pinhole": lambda area: area.difference(shapely.Point(3, 3).buffer(0.02)),
    "a hair slit": lambda area: area.difference(shapely.box(-1e-5, -9, 1e-5, 9)),
    "scaled": lambda area: affinity.scale(area, 0.97, 0.97, origin=(10, 0)),
    "half": lambda area: area.intersection(shapely.box(-30, -30, 0, 30)),
}


@pytest.mark.parametrize("change", SPOILED_BLOCKERS.values(), ids=SPOILED_BLOCKERS)
def test_a_spoiled_blocker_is_never_safe(change):
    found = unsafe(spoiled(0, change))
    assert {finding.code for finding in found} <= {"clearance-short", "past-blocker"}
    changed = SOUND[0].area.symmetric_difference(change(SOUND[0].area))
    assert all(shapely.Point(finding.at_mm).distance(changed) < 0.4 for finding in found)


def test_swapped_plates_and_wrong_orders():
    blocker, white, yellow, red = SOUND
    swapped = [replace(blocker, area=white.area), replace(white, area=blocker.area), yellow, red]
    assert {(one.plate, one.code) for one in unsafe(swapped)} == {
        ("white", "past-blocker"),
        ("yellow", "past-blocker"),
        ("red", "past-blocker"),
    }
    assert [(one.plate, one.code) for one in unsafe([white, blocker, yellow, red])] == [
        ("blocker black", "wrong-order")
    ]
    assert [(one.plate, one.code) for one in unsafe([blocker, yellow, white, red])] == [("white", "wrong-order")]
    assert [(one.plate, one.code) for one in unsafe([white, yellow, red])] == [(None, "no-blocker")]
    assert [(one.plate, one.code) for one in unsafe([blocker, replace(blocker, ink="grey"), red])] == [
        ("grey", "second-blocker")
    ]
    assert [one.code for one in unsafe([])] == ["no-blocker"]


@pytest.mark.parametrize("index", range(4))
@pytest.mark.parametrize(
    ("area", "code"),
    [
        (MultiPolygon(), "empty-plate"),
        (Polygon(), "empty-plate"),
        (NAN, "unmeasurable"),
        (square(1, 1e6, 0), "unmeasurable"),
        (INFINITE, "unmeasurable"),
        (BOWTIE, "unmeasurable"),
        (MultiPolygon([square(2, 40, 0), square(2, 40, 0)]), "unmeasurable"),
    ],
    ids=["empty", "empty polygon", "not a number", "far out", "infinite", "crossing itself", "twice, even-odd nothing"],
)
def test_what_cannot_be_measured_is_never_safe(index, area, code):
    found = unsafe(spoiled(index, lambda _: area))
    assert (SOUND[index].ink, code) in [(one.plate, one.code) for one in found]


def test_an_unmeasurable_plate_hides_no_other_fault():
    plates = spoiled(1, lambda _: NAN)
    plates[3] = replace(plates[3], area=plates[3].area.union(SPECK))
    assert [(one.plate, one.code) for one in unsafe(plates)] == [("white", "unmeasurable"), ("red", "past-blocker")]
    check = measure_stack(plates, SETTINGS)
    assert len(check.clearances) == 4 and check.clearances[1].distance_mm is None


def test_a_blocker_alone_is_safe_since_nothing_lies_on_it():
    assert unsafe(SOUND[:1]) == []


@pytest.mark.parametrize("seed", range(12))
def test_a_larger_tolerance_never_yields_fewer_unsafe_findings(seed):
    rng = np.random.default_rng(seed)
    art = blob(rng)
    plates = [
        plate("blocker", art.buffer(0.4), "blocker"),
        plate("white", art.buffer(-rng.uniform(0, 0.4)), "white"),
        *(plate("colour", art.buffer(rng.uniform(-0.4, 0.3)), f"colour {i}") for i in range(3)),
    ]
    counts, safe = [], []
    for tolerance in (LEAST_REGISTRATION_MM, 0.1, 0.2, 0.3, 0.5, 0.8, 1.5):  # one that no press holds tests nothing
        check = measure_stack(plates, Settings(registration_mm=tolerance, turn_deg=0.2 * (seed % 2)))
        counts.append(sum(finding.severity == "unsafe" for finding in check.findings))
        safe.append(check.safe)
    assert counts == sorted(counts)
    assert safe == sorted(safe, reverse=True)


@pytest.mark.parametrize("seed", range(6))
def test_the_check_commutes_with_moves_and_quarter_turns(seed):
    """Quarter turns, since they alone keep the sixteen directions and the upright bounds' middle."""
    rng = np.random.default_rng(seed)
    art = blob(rng)
    plates = [
        plate("blocker", art.buffer(0.4), "blocker"),
        plate("white", art.buffer(-0.1), "white"),
        plate("colour", art.buffer(0.2), "red"),
    ]
    dx, dy, quarter = rng.uniform(-50, 50), rng.uniform(-50, 50), int(rng.integers(4))

    def moved(area):
        return affinity.translate(affinity.rotate(area, 90 * quarter, origin=(0, 0)), dx, dy)

    before = measure_stack(plates, SETTINGS)
    after = measure_stack([replace(one, area=moved(one.area)) for one in plates], SETTINGS)
    assert after.safe == before.safe
    assert [one.code for one in after.findings] == [one.code for one in before.findings]
    for one, other in zip(before.clearances[1:], after.clearances[1:], strict=True):
        assert other.distance_mm == pytest.approx(one.distance_mm, abs=1e-9)
        place = shapely.Point(other.at_mm)
        assert place.distance(moved(plates[0].area.boundary)) == pytest.approx(one.distance_mm, abs=1e-9)
    for one, other in zip(before.register, after.register, strict=True):
        assert (other.kind, other.plate.ink) == (one.kind, one.plate.ink)
        assert other.area_mm2 == pytest.approx(one.area_mm2, abs=1e-5)
