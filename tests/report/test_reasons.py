"""Reasons for the ranking: each sentence follows from the figures, and says nothing else."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import moldgen
from moldgen.files.read import read_part
from moldgen.job.job import Job
from moldgen.pose.pose import Pose
from moldgen.report.leaning import Bench
from moldgen.report.reasons import choices, reasons
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.search import study_poses
from moldgen.study.survey import Survey

NO_AIR = PocketList(Liquid.RUBBER, ())
PLAIN = RankedPose(Pose.from_up((0, 0, 1)), 3, 3.2, 50.0, 2e5, PocketList(Liquid.RESIN, ()), NO_AIR)
BENCH = Bench(1.0, 3.0)
ONE_ALONE = "One connection, the gate alone, so no vent to make or to trim"
AS_FEW = "As few connections as pose 1"


def air(held_mm3: float) -> PocketList:
    return PocketList(Liquid.RUBBER, (Pocket((0.0, 0.0, 0.0), held_mm3),))


def study(*poses: RankedPose, claim: str = "best found", least: float = 3.0) -> PoseStudy:
    return PoseStudy(
        poses, 20.0, Survey(np.array([[0.0, 0.0, 1.0]]), np.array([least])), claim, 1.0
    )


@pytest.mark.parametrize(
    ("changes", "off", "said"),
    [
        ({}, 1.0, "3 connections, the fewest found; it may lean 3.2°, over 3 times what your bench "
         "may be off (1°)."),
        ({"connections": 1}, 1.0, f"{ONE_ALONE}; it may lean 3.2°, over 3 times what your bench "
         "may be off (1°)."),
        ({"tilt_tolerance_deg": 0.42}, 1.0, "3 connections, the fewest found; but a lean of 0.42° "
         "shuts in more air, less than what your bench may be off (1°)."),
        ({"tilt_tolerance_deg": 1.9}, 1.0, "3 connections, the fewest found; it may lean 1.9°, "
         "more than what your bench may be off (1°)."),
        ({"tilt_tolerance_deg": None}, 1.0, "3 connections, the fewest found; how far it may lean "
         "was not computed."),
        ({"rubber": air(33.0), "scars": 2}, 0.0, "3 connections, the fewest found; 2 of them on "
         "faces that show; it may lean 3.2°, more than what your bench may be off (0°); 33 mm³ of "
         "air stays under the rubber."),
    ],
    ids=["plain", "one", "shaky", "just", "unknown", "air and scars"],
)  # fmt: skip
def test_the_first(changes: dict[str, Any], off: float, said: str) -> None:
    assert reasons(study(replace(PLAIN, **changes)), Bench(off, 3.0 * off)) == (said,)


@pytest.mark.parametrize(
    ("other", "claim", "least", "said"),
    [
        (3, "fewest possible", 3.0, "3 connections, the fewest possible;"),
        (3, "best found", 3.7, "3 connections, the fewest found;"),
        (3, "best found", 2.2, "3 connections;"),
        (2, "best found", 2.2, "3 connections, the fewest of the poses here that your bench can"),
    ],
    ids=["possible", "found", "fewer elsewhere", "fewer but shaky"],
)
def test_fewness_is_not_overstated(other: int, claim: str, least: float, said: str) -> None:
    second = replace(PLAIN, connections=other, tilt_tolerance_deg=0.2)
    assert reasons(study(PLAIN, second, claim=claim, least=least), BENCH)[0].startswith(said)


def test_fewer_marks_on_show_faces_may_cost_connections() -> None:
    first = reasons(study(replace(PLAIN, scars=1), replace(PLAIN, connections=2, scars=2)), BENCH)[
        0
    ]
    assert first.startswith("3 connections, the fewest of the poses here with so few marks")


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"height_mm": 70.0}, f"{AS_FEW}, but it is 40 % taller."),
        ({"height_mm": 51.0}, f"{AS_FEW}, but it is 2 % taller."),
        ({}, f"{AS_FEW} and much the same otherwise."),
        ({"connections": 4}, "1 more connection than pose 1 and much the same otherwise."),
        ({"connections": 5, "height_mm": 25.0}, "2 more connections than pose 1; in return it is "
         "50 % lower."),
        ({"connections": 2, "tilt_tolerance_deg": 0.4}, "1 connection fewer than pose 1, but it "
         "shuts in more air at a lean of 0.40°, and your bench is no better."),
        ({"rubber": air(40.0)}, f"{AS_FEW}, but it keeps 40 mm³ of air under the rubber."),
        ({"rubber_mm3": 2.6e5, "tilt_tolerance_deg": 12.0}, f"{AS_FEW}, but it needs 30 % more "
         "rubber; in return it may lean 12.0° instead of 3.2°."),
        ({"tilt_tolerance_deg": 2.0, "scars": 1}, f"{AS_FEW}, but it leaves 1 mark on faces that "
         "show instead of none and may lean only 2.0°."),
    ],
    ids=["taller", "a little", "alike", "more", "lower", "shaky", "air", "steadier", "scars"],
)  # fmt: skip
def test_the_others(changes: dict[str, Any], said: str) -> None:
    assert reasons(study(PLAIN, replace(PLAIN, **changes)), BENCH)[1] == said


def test_air_of_the_first_is_held_against_it() -> None:
    first = replace(PLAIN, rubber=air(50.0))
    assert reasons(study(first, replace(PLAIN, height_mm=60.0)), BENCH)[1] == (
        f"{AS_FEW}, but it is 20 % taller; in return it keeps no air under the rubber instead of "
        "50 mm³."
    )


poses = st.builds(
    lambda n, lean, tall, rubber, held: replace(
        PLAIN,
        connections=n,
        tilt_tolerance_deg=lean,
        height_mm=tall,
        rubber_mm3=rubber,
        rubber=air(held) if held else NO_AIR,
    ),
    st.integers(1, 9),
    st.floats(0.0, 20.0),
    st.floats(5.0, 200.0),
    st.floats(1e4, 1e6),
    st.sampled_from([0.0, 30.0, 500.0]),
)


@given(poses, poses)
def test_what_is_said_is_true(first: RankedPose, second: RankedPose) -> None:
    said = reasons(study(first, second, least=1.0), BENCH)[1]
    assert said[0].isupper() or said[0].isdigit()
    assert said.endswith(".")
    found = re.search(r"(\d+) % (taller|lower)", said)
    if found:
        change = 100.0 * (second.height_mm / first.height_mm - 1.0)
        assert abs(change) == pytest.approx(int(found[1]), abs=0.51)
        assert (change > 0.0) == (found[2] == "taller")
    fewer = second.connections - first.connections
    words = {True: "more connection", False: "fewer than pose 1"}
    assert (words[fewer > 0] in said) if fewer else said.startswith(AS_FEW)
    only = re.search(r"may lean only ([\d.]+)°", said)
    if only:
        assert (second.tilt_tolerance_deg or 0.0) < (first.tilt_tolerance_deg or 0.0)
        assert float(only[1]) == pytest.approx(second.tilt_tolerance_deg, abs=0.051)


@pytest.mark.parametrize(
    ("first", "second", "cases"),
    [
        ({}, {"tilt_tolerance_deg": 9.0}, ["If your bench is hard to level"]),
        ({}, {"tilt_tolerance_deg": 3.5}, []),
        ({}, {"rubber_mm3": 1.5e5}, ["If rubber is dear"]),
        ({}, {"rubber_mm3": 1.5e5, "connections": 4}, []),
        ({"scars": 2}, {"scars": 0}, ["If the show faces must stay clean"]),
        ({}, {"tilt_tolerance_deg": 9.0, "scars": 1}, []),
        ({}, {}, []),
    ],
    ids=["steadier", "hardly", "less rubber", "more vents", "clean", "scarred", "alike"],
)
def test_choices(first: dict[str, Any], second: dict[str, Any], cases: list[str]) -> None:
    found = choices(study(replace(PLAIN, **first), replace(PLAIN, **second)))
    assert [c.case for c in found] == cases
    assert all(c.advice.startswith("take pose 2: ") for c in found)


def test_a_real_part() -> None:
    """The bracket of the demonstration needs its gate alone, in every pose that is shown."""
    part = read_part(moldgen.demo_part_path("bracket"))
    found = study_poses(part.mesh, Job())
    first, *others = reasons(found, BENCH)
    assert first.startswith(ONE_ALONE)
    assert all(said.startswith(AS_FEW) for said in others)
    lean = found.poses[0].tilt_tolerance_deg
    assert f"may lean {lean:.1f}°" in first
