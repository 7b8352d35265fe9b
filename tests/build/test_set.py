"""The whole set on small plans: known volumes, and laws that hold for every set."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from moldgen.build.balance import prove
from moldgen.build.nouns import MoldSet
from moldgen.build.set import build_set
from moldgen.geometry.closed import is_closed
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement, rotation_about_z
from moldgen.job.job import (
    Arrangement,
    ChannelWishes,
    Job,
    PrintWishes,
    RubberWishes,
)
from moldgen.plan.nouns import Channel, MoldPlan

PlanFor = Callable[..., MoldPlan]


def volumes(mold_set: MoldSet) -> dict[str, float]:
    return {p.name: p.mesh.volume_mm3 for p in mold_set.pieces}


def test_inside_of_the_box_closes(u_set: MoldSet) -> None:
    assert u_set.closure.relative_error <= 1e-12


def test_roles_of_a_standing_set(u_plan: PlanFor) -> None:
    roles = [p.role for p in build_set(u_plan(Arrangement.STANDING)).pieces]
    assert roles == ["base", *["wall"] * 4, "gate-cone", "outlet-rod", "rubber", "casting"]


def test_a_hung_set_has_a_bridge_for_every_former(u_plan: PlanFor) -> None:
    roles = [p.role for p in build_set(u_plan(Arrangement.HUNG)).pieces]
    assert roles[5:] == ["bridge", "bridge", "gate-cone", "outlet-rod", "rubber", "casting"]


def test_rubber_and_casting_are_the_same_both_ways(u_plan: PlanFor) -> None:
    standing, hung = (volumes(build_set(u_plan(way))) for way in Arrangement)
    assert standing["rubber"] == pytest.approx(hung["rubber"], rel=1e-7)
    assert standing["casting"] == pytest.approx(hung["casting"], rel=1e-7)


def test_rubber_and_casting_fill_the_block(u_set: MoldSet) -> None:
    found = volumes(u_set)
    assert found["rubber"] + found["casting"] == pytest.approx(
        u_set.plan.block.volume_mm3, rel=1e-7
    )


def test_casting_of_a_u_by_hand(u_set: MoldSet) -> None:
    """U: 10 x 10 x (40 x 8 + 10 x 22 + 10 x 18) / 10 = 7200 mm³. Gate: neck frustum 2.4 to 4 mm
    over 2 mm, sprue 6 mm high, funnel frustum 4 to 10 mm over 10 mm. Vent: neck frustum 0.9 to
    1.5 mm over 2 mm, bore 20 mm high."""

    def frustum(a: float, b: float, h: float) -> float:
        return math.pi * h * (a * a + a * b + b * b) / 3.0

    gate = frustum(2.4, 4.0, 2.0) + frustum(4.0, 4.0, 6.0) + frustum(4.0, 10.0, 10.0)
    vent = frustum(0.9, 1.5, 2.0) + frustum(1.5, 1.5, 20.0)
    assert volumes(u_set)["casting"] == pytest.approx(7200.0 + gate + vent, rel=1e-6)


def test_printed_pieces_lie_flat_on_the_printer(u_set: MoldSet) -> None:
    for piece in u_set.pieces:
        if piece.material == "print":
            low, high = piece.mesh.bounds
            assert low[2] == pytest.approx(0.0, abs=1e-6)
            assert (low + high)[:2] == pytest.approx([0.0, 0.0], abs=1e-5)


def standing_area(mesh: Mesh) -> float:
    """Area of the faces on the printer's bed [mm²]."""
    flat = (mesh.corners[:, :, 2] <= 1e-6).all(axis=1)
    return float(np.linalg.norm(mesh.area_vectors[flat], axis=1).sum())


def overhang_area(mesh: Mesh) -> float:
    """Area that looks down more steeply than 45 degrees above the bed [mm²]."""
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    down = mesh.area_vectors[:, 2] < -math.cos(math.radians(44.9)) * areas
    above = mesh.corners[:, :, 2].max(axis=1) > 1e-6
    return float(areas[down & above].sum())


MARK_ROOF = 60.0 * 0.8  # the fill line is a shallow groove in the face that lies on the bed


def test_printed_pieces_need_no_support(u_set: MoldSet) -> None:
    for piece in u_set.pieces:
        if piece.material == "print":
            allowed = MARK_ROOF if piece.name in ("wall-1", "wall-2") else 0.0
            assert overhang_area(piece.mesh) <= allowed + 0.5, piece.name


def test_formers_stand_on_a_foot_wider_than_their_bore(u_set: MoldSet) -> None:
    by_name = {p.name: p.mesh for p in u_set.pieces}
    assert standing_area(by_name["gate-cone"]) > math.pi * 5.0**2
    assert standing_area(by_name["outlet-rod-1"]) > math.pi * 1.5**2


def test_walls_and_base_stand_where_the_plan_says(u_set: MoldSet) -> None:
    low, high = u_set.plan.block.low, u_set.plan.block.high
    walls = {p.name: p.in_casting_frame.bounds for p in u_set.pieces if p.role == "wall"}
    assert walls["wall-1"][1][1] == pytest.approx(low[1], abs=1e-5)
    assert walls["wall-3"][1][0] == pytest.approx(low[0], abs=1e-5)
    assert walls["wall-4"][0][0] == pytest.approx(high[0], abs=1e-5)
    base = next(p for p in u_set.pieces if p.role == "base").in_casting_frame.bounds
    standing = u_set.plan.arrangement is Arrangement.STANDING
    assert base[0 if standing else 1][2] == pytest.approx(high[2] if standing else low[2], abs=1e-5)


def test_every_body_is_closed(u_set: MoldSet) -> None:
    assert all(is_closed(p.mesh) for p in u_set.pieces)


def test_meshes_hold_in_single_precision(u_set: MoldSet) -> None:
    for piece in u_set.pieces:
        rounded = piece.mesh.vertices.astype(np.float32)
        assert (rounded == piece.mesh.vertices).all()


def test_same_plan_same_bytes(u_plan: PlanFor) -> None:
    one, two = (build_set(u_plan(Arrangement.HUNG)) for _ in range(2))
    for a, b in zip(one.pieces, two.pieces, strict=True):
        assert a.mesh.vertices.tobytes() == b.mesh.vertices.tobytes()
        assert a.mesh.faces.tobytes() == b.mesh.faces.tobytes()
        assert a.placement.tobytes() == b.placement.tobytes()


def doubled(job: Job) -> Job:
    """The job with every length of rubber and channels twice as large."""

    def twice(wishes: object, names: tuple[str, ...]) -> dict[str, float]:
        return {name: 2.0 * getattr(wishes, name) for name in names}

    rubber = twice(RubberWishes(), ("wall_mm", "below_mm", "above_mm"))
    sized = ChannelWishes(sprue_diameter_mm=8.0, neck_diameter_mm=4.0)
    names = ("sprue_diameter_mm", "neck_diameter_mm", "funnel_diameter_mm", "funnel_height_mm")
    channels = twice(sized, names)
    return replace(
        job,
        rubber=replace(job.rubber, **rubber),  # type: ignore[arg-type]
        channels=replace(job.channels, **channels),  # type: ignore[arg-type]
    )


def test_twice_as_large_is_eight_times_the_rubber(ball_plan: PlanFor) -> None:
    one = build_set(ball_plan(12.0))
    plan = ball_plan(24.0, doubled(Job()))
    points = plan.gate.channel.points
    neck = (points[0], (0.0, 0.0, points[0][2] + 4.0), points[2])
    channel = replace(plan.gate.channel, points=neck)
    two = build_set(replace(plan, gate=replace(plan.gate, channel=channel)))
    assert volumes(two)["rubber"] == pytest.approx(8.0 * volumes(one)["rubber"], rel=1e-6)


def turned(channel: Channel, matrix: np.ndarray) -> Channel:
    points = np.array(channel.points) @ matrix[:3, :3].T + matrix[:3, 3]
    return replace(channel, points=tuple(tuple(float(v) for v in p) for p in points))


def test_a_quarter_turn_changes_no_volume(u_plan: PlanFor) -> None:
    plan = u_plan(Arrangement.STANDING)
    matrix = placement(rotation_about_z(90.0))
    (x0, y0, z0), (x1, y1, z1) = plan.block.low, plan.block.high
    moved = replace(
        plan,
        mesh=plan.mesh.moved(matrix),
        block=replace(plan.block, low=(-y1, x0, z0), high=(-y0, x1, z1)),
        gate=replace(plan.gate, channel=turned(plan.gate.channel, matrix)),
        vents=tuple(turned(v, matrix) for v in plan.vents),
    )
    before, after = volumes(build_set(plan)), volumes(build_set(moved))
    for name in ("rubber", "casting", "gate-cone", "outlet-rod-1"):
        assert after[name] == pytest.approx(before[name], rel=1e-6)


@pytest.mark.parametrize("fit", [0.0, 0.1, 0.3])
def test_fit_asked_for_is_the_fit_built(u_plan: PlanFor, fit: float) -> None:
    plan = u_plan(Arrangement.HUNG)
    plan = replace(plan, job=replace(plan.job, printing=PrintWishes(fit_mm=fit)))
    proof = prove(build_set(plan))
    assert [c.gap_mm for c in proof.clearances] == pytest.approx([fit] * 14, abs=0.01)


def test_progress_rises_to_one(u_plan: PlanFor) -> None:
    shares: list[float] = []
    build_set(u_plan(Arrangement.STANDING), lambda _label, share: shares.append(share))
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
