"""Forces on the sheet: every joint and wall in words, and steps for a hold-down."""

from __future__ import annotations

from dataclasses import asdict, replace

from moldgen.build.nouns import MoldSet
from moldgen.plan.load_nouns import Link, Loads, Rod, WallLoad
from moldgen.report.holding import joint_rows, load_figures, wall_rows
from moldgen.report.steps import stages

LINK = Link("part to hold-down", "a clamp at each end of its bar", 2.5, 40.0)
BEFORE = Link("part to formers, before rubber is poured", "glue on 1 tip of 12.6 mm²", 1.5, 0.9)
WALL = WallLoad("wall-1", 120.0, 90.0, 5.48, 0.0568, 0.213, 2.3, 0.011, 0.913)
ROD = Rod((1.0, 2.0, 0.0), 4.0, 6.0, 0.3, 7.0)
LOADS = Loads(2.6, 40.0, 5.48, 0.0568, 2.1, 16.0, (LINK,), BEFORE, (WALL,), ROD)


def test_joints_in_words() -> None:
    assert joint_rows(asdict(LOADS)) == (
        ("part to hold-down", "a clamp at each end of its bar", "2.5 N", "40 N"),
        (BEFORE.joint, BEFORE.by, "1.5 N", "0.9 N"),
    )


def test_walls_in_words() -> None:
    expected = ("wall-1", "120 × 90 mm", "5.48 N", "0.057 mm", "0.21 MPa", "2.3 mm thick")
    assert wall_rows(asdict(LOADS)) == (expected,)


def test_a_little_is_not_nothing() -> None:
    stiff = replace(LOADS, walls=(replace(WALL, deflection_mm=0.0002, stress_mpa=0.003),))
    ((*_, bow, stress, _enough),) = wall_rows(asdict(stiff))
    assert (bow, stress) == ("under 0.001 mm", "under 0.01 MPa")


def test_forces_at_a_glance() -> None:
    figures = {f.name: f.value for f in load_figures(asdict(LOADS))}
    assert figures["lift of part and formers under rubber"] == "2.6 N"
    assert figures["lift while no rubber gets under the feet"] == "2.1 N"
    assert figures["which is its load"] == "16 times"


def test_what_was_not_computed_says_so_and_what_cannot_be_is_left_out() -> None:
    figures = {f.name: f.value for f in load_figures({"lift_n": 0.2})}
    assert figures["the weakest joint holds"] == "not computed"
    assert "which is its load" not in figures


def test_what_does_not_float_needs_no_joint() -> None:
    figures = {f.name: f.value for f in load_figures({"lift_n": -0.2, "wall_deflection_mm": 0.002})}
    assert figures["lift of part and formers under rubber"] == "none, 0.2 N keep them down"
    assert "the weakest joint holds" not in figures
    assert figures["that wall bows by"] == "under 0.01 mm"


def step_texts(mold_set: MoldSet, loads: Loads, manifest: dict[str, object]) -> dict[str, str]:
    held = replace(mold_set, plan=replace(mold_set.plan, loads=loads))
    return {
        s.title: " ".join([t for k in s.steps for t in (k.text, *k.amounts)])
        for s in stages(held, manifest)
    }


def test_a_hold_down_is_laid_on_lifted_off_and_put_back(
    standing_set: MoldSet, manifest_of: object
) -> None:
    """The bar lies 8 mm below the block's foot and is 7 mm high."""
    texts = step_texts(standing_set, LOADS, manifest_of(standing_set))  # type: ignore[operator]
    assert "clamp both its ends" in texts["Set up"]
    assert "pressed up with 2.5 N" in texts["Set up"]
    assert "Lift the hold-down off" in texts["Open the mold"]
    assert "battens over 15.0 mm high" in texts["Cast"]


def test_without_one_nobody_hears_of_it(standing_set: MoldSet, manifest_of: object) -> None:
    loads = replace(LOADS, rod=None)
    texts = step_texts(standing_set, loads, manifest_of(standing_set))  # type: ignore[operator]
    assert not any("hold-down" in t for t in texts.values())


def test_a_hung_part_that_floats_has_its_bridge_clamped(
    standing_set: MoldSet, hung_set: MoldSet, manifest_of: object
) -> None:
    loads = replace(LOADS, rod=None)
    for mold_set, told in ((hung_set, True), (standing_set, False)):
        texts = step_texts(mold_set, loads, manifest_of(mold_set))  # type: ignore[operator]
        assert ("clamp the bridge to the base" in texts["Set up"]) is told
