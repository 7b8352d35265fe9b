"""What makes one pose better than another: the maker's order, near figures being equal."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from moldgen.job.job import Job
from moldgen.job.ranking import Criterion, RankingWishes
from moldgen.pose.pose import Pose
from moldgen.study.merit import Scale
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.ranking import RankedPose

BASE: dict[str, Any] = {
    "connections": 2,
    "tilt_tolerance_deg": 5.0,
    "height_mm": 30.0,
    "rubber_mm3": 200_000.0,
    "scars": 0,
    "undercut_share": 0.0,
}


def pose(air_mm3: float = 0.0, **changes: Any) -> RankedPose:
    hollows = (Pocket((0.0, 0.0, 0.0), air_mm3),) if air_mm3 else ()
    return RankedPose(
        Pose(np.eye(3)),
        resin=PocketList(Liquid.RESIN, ()),
        rubber=PocketList(Liquid.RUBBER, hollows),
        **(BASE | changes),
    )


def is_better(a: RankedPose, b: RankedPose, **wishes: Any) -> bool:
    scale = Scale.of([a, b], replace(Job(), ranking=RankingWishes(**wishes)))
    return scale.merit(a) < scale.merit(b)


ONE_FIGURE = [
    ("scars", {"scars": 1, "connections": 1}, {"scars": 0, "connections": 4}),
    ("connections", {"connections": 3, "height_mm": 10.0}, {"connections": 2}),
    ("air", {"air_mm3": 500.0, "height_mm": 10.0}, {"air_mm3": 100.0}),
    ("ease", {"tilt_tolerance_deg": 2.9, "height_mm": 10.0}, {"tilt_tolerance_deg": 3.1}),
    ("bulk", {"height_mm": 31.0}, {"height_mm": 30.0}),
]


@pytest.mark.parametrize(
    ("worse", "better"), [r[1:] for r in ONE_FIGURE], ids=[r[0] for r in ONE_FIGURE]
)
def test_the_first_criterion_that_differs_decides(
    worse: dict[str, float], better: dict[str, float]
) -> None:
    assert is_better(pose(**better), pose(**worse))
    assert not is_better(pose(**worse), pose(**better))


def test_the_order_is_the_makers() -> None:
    low, few = pose(connections=3, height_mm=10.0), pose(connections=2)
    assert is_better(few, low)
    assert is_better(low, few, order=(Criterion.BULK, Criterion.CONNECTIONS))


def test_air_within_a_step_counts_as_equal() -> None:
    assert is_better(pose(air_mm3=1000.0, height_mm=29.0), pose(air_mm3=1000.0))
    assert is_better(pose(air_mm3=1020.0, height_mm=29.0), pose(air_mm3=1000.0), equal_within=0.5)


def test_bulk_weighs_height_and_rubber_over_the_least() -> None:
    """Heights 30 and 60 mm, rubber 200 and 100 cm³: 1 + 2 against 2 + 1."""
    tall, wide = pose(height_mm=60.0, rubber_mm3=100_000.0), pose()
    scale = Scale.of([tall, wide], Job())
    assert scale.bulk(tall) == pytest.approx(3.0)
    assert scale.bulk(wide) == pytest.approx(3.0)
    assert is_better(tall, wide, rubber_weight=1.1)
    assert is_better(wide, tall, height_weight=1.1)
    hooked = pose(undercut_share=0.3)
    assert Scale.of([hooked], Job()).bulk(hooked) == pytest.approx(2.0)
    assert is_better(wide, hooked, undercut_weight=1.0)
