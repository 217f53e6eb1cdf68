"""On a thousand random stacks, `safe` is never true when some upper ink is nearer to cloth than the tolerance.

The oracle shares nothing with the check: outlines sampled every few micrometres and a nearest-neighbour tree
(scipy), and the even-odd rule by counting crossings (numpy). It may only err by its own step.
"""

import numpy as np
import shapely
from handmade import blob, inside, plate, sampled, sampled_distance

from vectorsep.check import measure_stack
from vectorsep.settings import Settings

STACKS = 1000
STEP = 0.02
TOLERANCE = 0.25


def random_stack(rng):
    """A blocker of some blobs with counters, and upper plates that keep, nearly keep or break the tolerance."""
    blobs = [blob(rng, *rng.uniform(-4, 4, 2), rng.uniform(1.5, 4), 40) for _ in range(rng.integers(1, 4))]
    blocker = shapely.union_all(blobs)
    for _ in range(rng.integers(0, 3)):
        blocker = blocker.difference(blob(rng, *rng.uniform(-4, 4, 2), rng.uniform(0.2, 1), 20))
    plates = [plate("blocker", blocker, "blocker")]
    for i in range(rng.integers(1, 3)):
        kept = TOLERANCE + rng.choice([rng.uniform(-0.3, 0.3), rng.uniform(-0.02, 0.03), rng.uniform(0.01, 0.2)])
        area = blocker.buffer(-kept, quad_segs=16)
        if rng.random() < 0.2:
            area = area.union(shapely.Point(*rng.uniform(-6, 6, 2)).buffer(rng.uniform(0.01, 0.2)))
        if not area.is_empty:
            plates.append(plate("colour", area, f"ink {i}"))
    return plates


def distance_to_cloth(area, blocker):
    """Smallest sampled distance of an upper plate from cloth, 0 where a sample of its edge lies on it."""
    if not inside(sampled(area, STEP), blocker).all() or inside(sampled(blocker, STEP), area).any():
        return 0.0
    return sampled_distance(area, blocker, STEP)


def test_safe_is_never_true_when_ink_is_nearer_to_cloth_than_the_tolerance():
    rng = np.random.default_rng(20)
    settings = Settings(registration_mm=TOLERANCE)
    verdicts = {True: 0, False: 0}
    for i in range(STACKS):
        plates = random_stack(rng)
        check = measure_stack(plates, settings)
        measured = {clearance.plate.ink: clearance.distance_mm for clearance in check.clearances}
        distances = {one.ink: distance_to_cloth(one.area, plates[0].area) for one in plates[1:]}
        for ink, distance in distances.items():
            assert measured[ink] - 1e-9 <= distance <= measured[ink] + STEP, (i, ink)
        if check.safe:
            assert min(distances.values(), default=TOLERANCE) >= TOLERANCE, i
        else:
            assert min(distances.values()) < TOLERANCE + STEP, i
        verdicts[check.safe] += 1
    assert min(verdicts.values()) > STACKS / 5, verdicts


def test_the_oracle_can_tell():
    blocker = shapely.box(0, 0, 10, 10)
    assert 0.2 - 1e-9 <= distance_to_cloth(shapely.box(1, 1, 9.8, 9), blocker) <= 0.2 + STEP
    assert distance_to_cloth(shapely.box(1, 1, 10.1, 9), blocker) == 0
    assert distance_to_cloth(shapely.box(1, 1, 9, 9), blocker.difference(shapely.Point(5, 5).buffer(0.1))) == 0
