"""Whole sets for a small printer: every print fits, the set is proved again, seams keep clear."""

from __future__ import annotations

import runpy
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import trimesh

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet, Split
from moldgen.build.prints import prints_of, seam_findings
from moldgen.build.rejoin import rejoined
from moldgen.build.rigid import build_rigid
from moldgen.build.rigid_proof import prove_rigid_meshes
from moldgen.build.set import build_set
from moldgen.build.split import fit_to_printer
from moldgen.build.split_proof import prove_split
from moldgen.build.two_part import build_two_part
from moldgen.build.two_part_proof import prove_two_part
from moldgen.errors import PlanError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.standing import standing_of
from moldgen.job.job import Arrangement, Job, MoldKind, PrintWishes
from moldgen.part.part import Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.print_notes import ROOF_MM2
from moldgen.plan.rigid import plan_rigid
from moldgen.plan.two_part import plan_two_part
from moldgen.plan.two_part_nouns import FROM_PULL
from moldgen.units import LengthUnit

BODIES = SimpleNamespace(
    **runpy.run_path(str(Path(__file__).parents[1] / "plan" / "rigid_bodies.py"))
)
SMALL = PrintWishes(room_mm=(62.0, 58.0, 75.0))
HALVES = [pytest.param(kind, marks=pytest.mark.slow) for kind in ("two-part", "rigid")]


def ring() -> Part:
    body = trimesh.creation.torus(20.0, 5.0, major_sections=64, minor_sections=32)
    return Part(Mesh(body.vertices, body.faces), "ring", "ring.stl", "0" * 64, LengthUnit.MM)


@pytest.fixture(scope="module")
def whole_sets() -> dict[str, MoldSet]:
    return {}


@pytest.fixture(params=["standing", "hung", *HALVES])
def split_set(
    request: pytest.FixtureRequest,
    whole_sets: dict[str, MoldSet],
    u_plan: Callable[[Arrangement], MoldPlan],
) -> MoldSet:
    kind = request.param
    if kind not in whole_sets:
        whole_sets[kind] = fit_to_printer(whole(kind, u_plan))
    return whole_sets[kind]


def whole(kind: str, u_plan: Callable[[Arrangement], MoldPlan]) -> MoldSet:
    job = Job(printing=SMALL)
    if kind == "two-part":
        return build_two_part(plan_two_part(ring(), replace(job, kind=MoldKind.TWO_PART)))
    if kind == "rigid":
        rigid = replace(job, kind=MoldKind.RIGID)
        return build_rigid(plan_rigid(BODIES.part_of(BODIES.torus()), rigid))
    plan = u_plan(Arrangement(kind))
    return build_set(replace(plan, job=replace(plan.job, printing=SMALL)))


def test_every_print_fits_the_printer(split_set: MoldSet) -> None:
    for made in prints_of(split_set).values():
        assert (made.piece.mesh.extents_mm <= np.array(SMALL.room_mm) + 1e-4).all()


def test_something_was_split(split_set: MoldSet) -> None:
    assert split_set.splits
    names = [p.name for p in split_set.pieces]
    assert len(names) == len(set(names))
    for split in split_set.splits:
        assert split.whole.name not in names
        assert set(split.parts) <= set(names)


def test_the_set_is_proved_again_on_its_parts(split_set: MoldSet) -> None:
    plan = split_set.plan
    bodies = {p.name: p.in_casting_frame for p in split_set.pieces}
    for split in split_set.splits:
        prove_split(split, bodies)
    if plan.rigid:
        prove_rigid_meshes(plan, rejoined(split_set.splits, bodies))
        return
    proof = prove_two_part(split_set) if plan.two_part else prove(split_set)
    assert proof.bodies == len(split_set.whole_pieces)
    assert proof.closure_error <= 1e-6


def test_parts_and_slits_are_the_wholes(split_set: MoldSet) -> None:
    """To 1e-6, as the files hold them; in double precision tests/build/test_split.py has 1e-9."""
    volume = {p.name: p.mesh.volume_mm3 for p in split_set.pieces}
    for split in split_set.splits:
        total = sum(volume[name] for name in split.parts) + split.gap_mm3
        assert total == pytest.approx(split.whole.mesh.volume_mm3, rel=1e-6), split.whole.name


def test_prints_stand_on_their_bed_or_say_so(split_set: MoldSet) -> None:
    for made in prints_of(split_set).values():
        told = " ".join(finding.text for finding in made.findings)
        assert made.standing.bed_share >= 0.6 or "brim" in told
        assert made.standing.roof_mm2 <= ROOF_MM2 or "support" in told


def test_seams_add_no_overhang(split_set: MoldSet) -> None:
    """Parts together hang over by no more than the whole did."""
    prints = prints_of(split_set)
    for split in split_set.splits:
        before = standing_of(split.whole.mesh).roof_mm2
        after = sum(prints[name].standing.roof_mm2 for name in split.parts)
        assert after <= before + ROOF_MM2, split.whole.name


def crossing(split: Split) -> Iterator[tuple[np.ndarray, np.ndarray, float]]:
    """Of each seam in the casting frame: a point, the way of its axis, how far it reaches."""
    for seam in split.seams:
        way = split.whole.placement[:3, seam.axis]
        yield way * seam.at_mm + split.whole.placement[:3, 3], way, seam.reach_mm + seam.shift_mm


def is_clear(split: Split, center: np.ndarray, radius_mm: float) -> bool:
    return all(
        not -radius_mm < (center - point) @ way < reach + radius_mm
        for point, way, reach in crossing(split)
    )


def test_seams_keep_off_the_feet(u_plan: Callable[[Arrangement], MoldPlan]) -> None:
    """The base of the U, 90 mm long, for printers of 70 to 88 mm: its recesses lie at x = -15 and
    15 mm, 11.5 and 3 mm wide round their middles."""
    from moldgen.plan.box import plan_box

    plan = u_plan(Arrangement.STANDING)
    box = plan_box(plan)
    made = build_set(plan)
    for room in (70.0, 76.0, 82.0, 88.0):
        wishes = PrintWishes(room_mm=(room, room, 100.0))
        split_plan = replace(plan, job=replace(plan.job, printing=wishes))
        found = fit_to_printer(replace(made, plan=split_plan))
        (split,) = [s for s in found.splits if s.whole.role == "base"]
        for former in box.formers:
            center = np.array([*former.center, former.seat_mm])
            assert is_clear(split, center, former.foot_mm), (room, former.name)


@pytest.mark.parametrize("kind", HALVES)
def test_seams_keep_off_keys(
    kind: str,
    whole_sets: dict[str, MoldSet],
    u_plan: Callable[[Arrangement], MoldPlan],
) -> None:
    if kind not in whole_sets:
        whole_sets[kind] = fit_to_printer(whole(kind, u_plan))
    made = whole_sets[kind]
    two = made.plan.rigid or made.plan.two_part
    assert two is not None
    splits = [s for s in made.splits if s.whole.role in ("bed", "half-a", "half-b")]
    assert splits
    for split in splits:
        for key in two.keys:
            center = FROM_PULL[:3, :3] @ np.array([*key.center, 0.0])
            assert is_clear(split, center, key.radius_mm), split.whole.name


def test_every_split_is_told(split_set: MoldSet) -> None:
    told = [finding.text for finding in seam_findings(split_set)]
    for split, text in zip(split_set.splits, told, strict=False):
        assert text.startswith(f"{split.whole.name} is ")
        assert all(name in text for name in split.parts)


def test_same_set_same_parts(u_plan: Callable[[Arrangement], MoldPlan]) -> None:
    one, two = (fit_to_printer(whole("standing", u_plan)) for _ in range(2))
    for a, b in zip(one.pieces, two.pieces, strict=True):
        assert a.name == b.name
        assert (a.mesh.vertices == b.mesh.vertices).all()
        assert (a.mesh.faces == b.mesh.faces).all()


def test_a_rod_that_is_too_high_is_refused(u_plan: Callable[[Arrangement], MoldPlan]) -> None:
    """A gate cone 22 mm high does not go into 15 mm, and is too thin for a tongue there."""
    plan = u_plan(Arrangement.STANDING)
    low = PrintWishes(room_mm=(200.0, 200.0, 15.0))
    made = build_set(plan)
    with pytest.raises(PlanError, match=r"(gate-cone|outlet-rod-1) is .* the printer holds 200"):
        fit_to_printer(replace(made, plan=replace(plan, job=replace(plan.job, printing=low))))
