"""The size of gate and vents: each is the narrowest that is in time, and refusals tell a way."""

from __future__ import annotations

from dataclasses import replace

import pytest

from moldgen.demo import demo_part_path
from moldgen.errors import Finding, Grade, PlanError
from moldgen.files.read import read_part
from moldgen.job.job import Breather, ChannelWishes, Job, ResinWishes
from moldgen.materials.read import resin
from moldgen.plan.bores import Bore, bores_for, standard, vents_for
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.plan import plan_mold
from moldgen.plan.resin_pour import plan_resin_pour
from moldgen.plan.sizes import too_narrow
from moldgen.pose.pose import Pose

UP = Pose.from_up((0.0, 0.0, 1.0))


def planned(job: Job, fitting: str = "bracket") -> MoldPlan:
    return plan_mold(read_part(demo_part_path(fitting)), UP, job)


def mixed(name: str, **wishes: object) -> Job:
    return Job(resin=ResinWishes(material=name, **wishes))  # type: ignore[arg-type]


def with_gate(job: Job, bore: Bore) -> Job:
    wishes = ChannelWishes(
        sprue_diameter_mm=bore.sprue_mm, neck_diameter_mm=bore.neck_mm, breather=Breather.NEVER
    )
    return replace(job, channels=wishes, resin=replace(job.resin, allow_short_fill=True))


def fill_notes(plan: MoldPlan) -> list[Finding]:
    return [f for f in plan.findings if "is full" in f.text or "stops at" in f.text]


SIZED = [
    ("bracket", mixed("urethane-slow")),
    ("bracket", mixed("epoxy")),
    ("leaf-pull", mixed("urethane-slow")),
    ("fluted-knob", replace(mixed("urethane-slow"), shop_c=30.0)),
]


@pytest.mark.parametrize(
    ("fitting", "job"), SIZED, ids=lambda v: v if isinstance(v, str) else v.resin.material
)
def test_the_size_is_in_time_and_the_next_smaller_is_not(fitting: str, job: Job) -> None:
    """The forecast run again with both sizes given."""
    plan = planned(job, fitting)
    assert plan.forecast is not None and plan.forecast.is_in_time
    pairs = bores_for(job.channels)
    asked = next(
        b
        for b in pairs
        if b.sprue_mm == pytest.approx(plan.gate.sprue_diameter_mm)
        and b.neck_mm >= plan.gate.neck_diameter_mm - 1e-9
    )
    again = planned(with_gate(job, asked), fitting).forecast
    less = planned(with_gate(job, pairs[pairs.index(asked) - 1]), fitting).forecast
    assert again is not None and again.is_in_time
    assert less is not None and not less.is_in_time


def test_a_size_in_time_is_a_note() -> None:
    (note,) = fill_notes(planned(mixed("urethane-slow")))
    assert note.grade is Grade.NOTE
    assert note.measured is not None and note.limit is not None and note.measured < note.limit


def test_a_gate_that_would_freeze_is_refused_with_the_size_that_would_do() -> None:
    job = Job(channels=ChannelWishes(sprue_diameter_mm=3.0, neck_diameter_mm=2.0))
    with pytest.raises(PlanError, match=r"stops at \d+ % after 825 s.*a sprue of \d mm on a neck"):
        planned(job)


def test_the_maker_may_insist() -> None:
    wishes = ChannelWishes(sprue_diameter_mm=3.0, neck_diameter_mm=2.0)
    plan = planned(Job(channels=wishes, resin=ResinWishes(allow_short_fill=True)))
    (stop,) = [f for f in plan.findings if "stops at" in f.text]
    assert stop.grade is Grade.STOP and "would fill in" in stop.text
    assert plan.forecast is not None and plan.forecast.fill_time_s is None


def test_where_no_size_does_the_refusal_tells_what_would() -> None:
    job = replace(mixed("urethane-fast"), shop_c=30.0)
    with pytest.raises(PlanError, match=r"a pot life of \d+ min in this shop"):
        planned(job)


def test_late_is_a_caution() -> None:
    plan = planned(mixed("epoxy", pour_at_most_s=2.0))
    (late,) = fill_notes(plan)
    assert late.grade is Grade.CAUTION and "2 s are as long as a hand should pour" in late.text


def test_a_hand_faster_than_the_gate_is_told() -> None:
    texts = [f.text for f in planned(mixed("urethane-slow", pour_rate_ml_s=50.0)).findings]
    assert any("50 mL/s is faster than the gate" in text for text in texts)


def test_air_that_has_only_the_gate_is_told() -> None:
    texts = [f.text for f in planned(mixed("urethane-slow")).findings]
    assert any("throughout the fill air can leave only by the gate" in text for text in texts)


def test_vents_of_the_finial_let_the_air_out() -> None:
    plan = planned(Job(), "finial")
    assert [v.bore_mm for v in plan.vents] == [3.0] * 4
    assert not [f for f in plan.findings if "hold the air back" in f.text]


def test_a_vent_that_resin_does_not_wet_needs_a_push() -> None:
    """Plaster at 100 degrees: 2 sigma cos / r = 25 Pa at 1 mm, 1.5 mm of plaster; it is there."""
    assert resin("plaster").contact_angle_deg > 90.0
    plan = planned(mixed("plaster"), "finial")
    assert not [f for f in plan.findings if "hold the air back" in f.text]


def test_a_vent_too_narrow_for_air_or_resin_is_told_apart() -> None:
    """Mercury, 0.48 N/m and 140 degrees, wants 2 sigma cos / r = 735 Pa at a neck of 1 mm, more
    than 18 mm of resin weigh (about 190 Pa); and air at 1 L/s wants far more than a tenth of it."""
    laid = plan_resin_pour(read_part(demo_part_path("finial")), UP, Job()).laid
    slow = resin("urethane-slow")
    assert len(laid.channels.vents) == 4
    assert too_narrow(laid, slow) == ()
    mercurial = replace(slow, surface_tension_mn_m=480.0, contact_angle_deg=140.0)
    assert too_narrow(laid, mercurial) == laid.channels.vents
    gushing = replace(laid, forecast=replace(laid.forecast, first_flow_mm3_s=1e6))
    assert too_narrow(gushing, slow) == laid.channels.vents


# the bores


@pytest.mark.parametrize("kind", ["sprue", "neck", "vent"])
def test_standard_bores_rise(kind: str) -> None:
    assert list(standard(kind)) == sorted(set(standard(kind)))


def test_every_sprue_has_a_neck_of_half_to_four_fifths() -> None:
    pairs = bores_for(ChannelWishes())
    assert {b.sprue_mm for b in pairs} == set(standard("sprue"))
    assert all(0.5 * b.sprue_mm <= b.neck_mm <= 0.8 * b.sprue_mm + 1e-9 for b in pairs)
    assert list(pairs) == sorted(pairs)


def test_wishes_narrow_the_choice() -> None:
    assert bores_for(ChannelWishes(sprue_diameter_mm=7.5, neck_diameter_mm=3.3)) == (
        Bore(7.5, 3.3),
    )
    assert {b.neck_mm for b in bores_for(ChannelWishes(neck_diameter_mm=6.0))} == {6.0}
    assert min(b.sprue_mm for b in bores_for(ChannelWishes(neck_diameter_mm=6.0))) == 6.0
    assert vents_for(ChannelWishes(vent_diameter_mm=2.2)) == (2.2,)
    assert vents_for(ChannelWishes(vent_neck_diameter_mm=4.5))[0] == 5.0
