"""The breather: when it is laid, where it stands, what stays above it, what it does to the fill."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from moldgen.build.channels import channel_recipe, gate_recipe
from moldgen.demo import demo_part_path
from moldgen.errors import PlanError
from moldgen.files.read import read_part
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Breather, ChannelWishes, Job, ResinWishes
from moldgen.materials.kinds import PotLife
from moldgen.physics.filling import open_fill_time
from moldgen.plan.breather import LAND_MM
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.passage import gate_passage
from moldgen.plan.plan import plan_mold
from moldgen.plan.resin_pour import plan_resin_pour
from moldgen.pose.pose import Pose

UP = Pose.from_up((0.0, 0.0, 1.0))
BORES_MM = {"sprue_diameter_mm": 6.0, "neck_diameter_mm": 3.5}


def job_of(breather: Breather, resin: str = "urethane-fast", **channels: float) -> Job:
    wishes = ChannelWishes(breather=breather, **channels)  # type: ignore[arg-type]
    return Job(channels=wishes, resin=ResinWishes(material=resin))


def planned(job: Job, fitting: str = "fluted-knob") -> MoldPlan:
    return plan_mold(read_part(demo_part_path(fitting)), UP, job)


def told(plan: MoldPlan) -> list[str]:
    return [f.text for f in plan.findings if "breather" in f.text and "stands beside" in f.text]


def test_a_fast_resin_that_was_refused_fills_in_time() -> None:
    """60 % of 180 s less 75 s leave 33 s; the gate alone freezes at 63 %."""
    with pytest.raises(PlanError, match="stops at 63 %"):
        planned(job_of(Breather.NEVER))
    plan = planned(job_of(Breather.AUTO))
    assert plan.forecast is not None and plan.forecast.is_in_time
    assert plan.forecast.due_s == pytest.approx(33.0)
    assert plan.connections == 2 and plan.vents[-1].is_breather
    (text,) = told(plan)
    assert f"full in {plan.forecast.fill_time_s:.0f} s" in text
    assert "without it no more than 63 % full" in text


@pytest.mark.parametrize(
    ("breather", "over_s", "count"),
    [
        (Breather.NEVER, 100.0, 0),
        (Breather.AUTO, 100.0, 1),
        (Breather.AUTO, 300.0, 0),
        (Breather.ALWAYS, 300.0, 1),
    ],
    ids=["never", "auto, long", "auto, easy", "always"],
)
def test_the_wish_decides(breather: Breather, over_s: float, count: int) -> None:
    """The slow urethane fills the knob in 233 s through the gate alone."""
    plan = planned(job_of(breather, "urethane-slow", breather_over_s=over_s))
    assert sum(v.is_breather for v in plan.vents) == len(told(plan)) == count


def test_a_gate_whose_air_has_vents_gets_none() -> None:
    plan = planned(job_of(Breather.ALWAYS, "urethane-slow"), "finial")
    assert plan.vents and not any(v.is_breather for v in plan.vents)


def test_the_fill_keeps_the_closed_form_with_and_without() -> None:
    """A resin that hardly sets: t = V R / (rho g H) under a top gate, with four
    times R where air has to pass the resin; the jet takes some more."""
    times = {}
    for wish, factor in ((Breather.NEVER, 4.0), (Breather.ALWAYS, 1.0)):
        job = job_of(wish, "urethane-slow", **BORES_MM)
        long_lived = replace(job.resin, pot_life=PotLife.GELS, pot_life_min=1e5)
        job = replace(job, resin=long_lived)
        pour = plan_resin_pour(read_part(demo_part_path("fluted-knob")), UP, job)
        forecast, gate = pour.laid.forecast, pour.channels.gate
        head = pour.block.high[2] - gate.channel.points[0][2]
        liquid, passage = forecast.liquid, gate_passage(gate)
        closed = open_fill_time(
            pour.mesh.volume_mm3,
            factor * liquid.viscosity_pa_s * passage.per_mm3,
            liquid.density_g_mm3,
            head,
        )
        assert forecast.fill_time_s == pytest.approx(closed, rel=0.05)
        times[wish] = forecast.fill_time_s
    assert times[Breather.NEVER] / times[Breather.ALWAYS] == pytest.approx(4.0, rel=0.05)


def cap_mm3(mesh_radius_mm: float, height_mm: float) -> float:
    return math.pi * height_mm**2 * (3.0 * mesh_radius_mm - height_mm) / 3.0


@pytest.mark.parametrize("resin", ["urethane-fast", "urethane-slow"])
def test_what_stays_above_the_mouth_is_the_crown_over_it(resin: str) -> None:
    """The knob's crown runs from 8 mm beside its axis at 30 mm up to 31.6 mm: a cap of radius
    (8² + 1.6²) / 3.2 = 20.8 mm, faceted in the file; h under its top it holds
    pi h² (3R - h) / 3."""
    plan = planned(job_of(Breather.ALWAYS, resin))
    breather = plan.vents[-1]
    sunk = float(plan.mesh.bounds[1][2]) - breather.points[0][2]
    assert breather.above_mm3 == pytest.approx(cap_mm3(20.8, sunk), rel=0.1)
    assert 0.0 < breather.above_mm3 <= plan.job.channels.limit_mm3


def test_a_tight_limit_brings_both_closer_to_the_top() -> None:
    """Under 8 mm³ the gate cannot stay on the top: they stand on either side of it."""
    plan = planned(job_of(Breather.ALWAYS, "urethane-slow", limit_mm3=8.0, **BORES_MM))
    breather = plan.vents[-1]
    assert breather.above_mm3 is not None and breather.above_mm3 <= 8.0
    gate, other = np.array(plan.gate.channel.points[0]), np.array(breather.points[0])
    top = np.array(plan.gate.channel.pocket.point_mm)
    assert math.dist(gate[:2], top[:2]) > 1.0
    assert (gate + other)[:2] / 2.0 == pytest.approx(top[:2], abs=0.01)


def test_no_place_leaves_the_gate_alone() -> None:
    """Nothing may stay above a mouth beside the top, so no mouth will do."""
    wished = job_of(Breather.ALWAYS, "urethane-slow", limit_mm3=0.5)
    plan = planned(wished)
    assert not any(v.is_breather for v in plan.vents)
    assert any("no breather finds a place" in f.text for f in plan.findings)
    assert any("air can leave only by the gate" in f.text for f in plan.findings)


@pytest.mark.parametrize("fitting", ["fluted-knob", "bracket"])
def test_the_land_between_the_built_bores(fitting: str) -> None:
    """The rods as they are built: corners of the one to the skin of the other, and back."""
    plan = planned(job_of(Breather.ALWAYS, "urethane-slow"), fitting)
    assert plan.vents[-1].is_breather
    gate = mesh_solid(gate_recipe(plan.gate, 0.0)).mesh()
    rod = mesh_solid(channel_recipe(plan.vents[-1], 0.0)).mesh()
    tops = [m.vertices[m.vertices[:, 2] <= plan.block.high[2]] for m in (gate, rod)]
    apart = min(Bvh(rod).distance(tops[0]).min(), Bvh(gate).distance(tops[1]).min())
    assert apart >= LAND_MM - 0.05
