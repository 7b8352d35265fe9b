"""The whole story on the fittings: plan against set, poses known by hand, the examples."""

from __future__ import annotations

from pathlib import Path

import pytest

from moldgen.build.nouns import MoldSet
from moldgen.demo import FITTINGS, demo_part_path
from moldgen.errors import Grade, PlanError
from moldgen.files.read import read_part
from moldgen.job.job import (
    Arrangement,
    Job,
    MoldKind,
    PrintWishes,
    ResinWishes,
    RubberWishes,
)
from moldgen.materials.read import resin, rubber
from moldgen.plan.box import plan_box
from moldgen.plan.nouns import MoldPlan, Weighed
from moldgen.pose.pose import Pose
from moldgen.workflow import make_plan, make_set

UP = Pose.from_up((0.0, 0.0, 1.0))


@pytest.fixture(scope="module", params=FITTINGS)
def fitting_set(request: pytest.FixtureRequest) -> MoldSet:
    return make_set(read_part(demo_part_path(request.param)), Job(), UP)


def volume_of(mold_set: MoldSet, role: str) -> float:
    return sum(p.mesh.volume_mm3 for p in mold_set.pieces if p.role == role)


def poured_g(batch: Weighed) -> float:
    """What leaves the cups."""
    return sum(c.count * (c.total_g - c.film_g) for c in batch.cups)


def test_inside_of_the_box_closes(fitting_set: MoldSet) -> None:
    assert fitting_set.closure.relative_error <= 1e-6


def test_planned_rubber_is_the_rubber_built(fitting_set: MoldSet) -> None:
    plan = fitting_set.plan
    density = rubber(plan.job.rubber.material).density_g_cm3
    built_g = volume_of(fitting_set, "rubber") * density / 1000 * (1 + plan.job.rubber.waste_share)
    assert poured_g(plan.quantities.rubber) == pytest.approx(built_g, rel=2e-3)


def test_planned_resin_is_the_casting_built(fitting_set: MoldSet) -> None:
    plan = fitting_set.plan
    density = resin(plan.job.resin.material).density_g_cm3
    built_g = volume_of(fitting_set, "casting") * density / 1000 * (1 + plan.job.resin.waste_share)
    assert poured_g(plan.quantities.resin) == pytest.approx(built_g, rel=5e-3)


def test_every_connection_has_its_former(fitting_set: MoldSet) -> None:
    roles = [p.role for p in fitting_set.pieces]
    assert roles.count("gate-cone") == 1
    assert roles.count("outlet-rod") == fitting_set.plan.connections - 1


def plan_of(fitting: str, **wishes: object) -> MoldPlan:
    return make_plan(read_part(demo_part_path(fitting)), Job(**wishes), UP)  # type: ignore[arg-type]


def test_knob_on_its_foot_needs_only_the_gate() -> None:
    assert plan_of("fluted-knob").connections == 1


def test_finial_upright_needs_an_outlet_for_its_tip_and_each_of_its_four_beads() -> None:
    assert plan_of("finial").connections == 1 + 4


def test_sealed_lift_is_the_pressure_on_what_is_wetted(fitting_set: MoldSet) -> None:
    """Over the skin of part and formers in the box, but for their mouths in the plane of the base.

    The box stands upside down: depth grows with z, and up is -z.
    """
    plan, formers = fitting_set.plan, plan_box(fitting_set.plan).formers
    casting = next(p.in_casting_frame for p in fitting_set.pieces if p.name == "casting")
    heights = casting.corners[:, :, 2]
    wet = (heights < plan.block.high[2] - 1e-3).any(axis=1)
    depth = heights.mean(axis=1) - plan.block.low[2]
    push_n = 1.15e-9 * 9806.65 * depth[wet] @ casting.area_vectors[wet, 2]
    feet_mm3 = sum(f.foot_area_mm2 * f.foot_height_mm for f in formers)
    weight_n = (casting.volume_mm3 + feet_mm3) * 1e-3 * 9.80665e-3
    assert plan.loads.sealed_lift_n == pytest.approx(push_n - weight_n, rel=5e-3)


LIGHT = PrintWishes(part_density_g_cm3=0.2, glue_mpa=0.02)


@pytest.mark.parametrize("fitting", ["leaf-pull", "bracket", "finial"])
def test_a_light_part_on_weak_glue_gets_a_hold_down(fitting: str) -> None:
    """Built and proved; what the plan weighs of the rubber is what is built."""
    held = make_set(read_part(demo_part_path(fitting)), Job(printing=LIGHT), UP)
    assert [p.role for p in held.pieces].count("hold-down") == 1
    loads = held.plan.loads
    assert loads.safety is not None
    assert loads.safety >= LIGHT.hold_safety
    test_planned_rubber_is_the_rubber_built(held)


def test_usual_glue_holds_every_fitting(fitting_set: MoldSet) -> None:
    loads = fitting_set.plan.loads
    assert loads.rod is None
    assert loads.safety is not None
    assert loads.safety >= 2.0


def test_the_maker_may_hang_the_part() -> None:
    assert plan_of("finial", arrangement=Arrangement.HUNG).arrangement is Arrangement.HUNG


def test_same_input_same_plan() -> None:
    one, two = plan_of("bracket"), plan_of("bracket")
    assert (one.gate, one.vents, one.quantities) == (two.gate, two.vents, two.quantities)


def test_a_resin_that_ruins_the_rubber_stops_the_maker() -> None:
    materials = {
        "rubber": RubberWishes(material="latex"),
        "resin": ResinWishes(material="urethane-slow"),
    }
    findings = plan_of("bracket", **materials).findings
    assert [f for f in findings if f.grade is Grade.STOP and "latex" in f.text]


def test_usual_materials_stop_nobody() -> None:
    assert not [f for f in plan_of("bracket").findings if f.grade is Grade.STOP]


def test_a_kind_that_is_not_made_is_refused() -> None:
    with pytest.raises(PlanError, match="jacket"):
        plan_of("bracket", kind=MoldKind.JACKET)


@pytest.mark.parametrize(
    "example", sorted(Path(__file__).parent.parent.glob("examples/*.py")), ids=lambda p: p.stem
)
def test_example_runs(
    example: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    source = example.read_text()
    assert len(source.splitlines()) < 30
    exec(compile(source, str(example), "exec"), {"__name__": "__main__"})
    assert capsys.readouterr().out
