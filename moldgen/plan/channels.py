"""Gate and vents: which pocket takes the gate, and a channel for every pocket to the top."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product

import numpy as np
from shapely.geometry import Point, Polygon

from moldgen.errors import Finding, Grade, PlanError
from moldgen.geometry.bvh import Bvh
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.solids import Solid
from moldgen.job.job import ChannelWishes
from moldgen.plan.room import Laid, Room, Size, sampled
from moldgen.plan.nouns import Block, Channel, Gate, PocketFate
from moldgen.plan.ways import Way, find_way, widest_room
from moldgen.study.pocket import Pocket, PocketList

LEAST_VENT_NECK_MM = 0.75
LEAST_GATE_NECK_MM = 1.25
TAPER = 0.6  # a channel is at most this share of its distance from the part
SPRUE_STEP_MM = 5.0  # sprues that differ by less count as equally long
GATE_TRIALS = 3
WIDER_MM = 8.0


class NoWayError(PlanError):
    """A pocket that no channel reaches; `wider_mm` more rubber at the sides may help."""

    wider_mm = WIDER_MM


@dataclass(frozen=True)
class ChannelPlan:
    """Gate, vents, what became of each pocket, and what is worth knowing."""

    gate: Gate
    vents: tuple[Channel, ...]
    fates: tuple[PocketFate, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class _Mouth:
    """A pocket with the sections of the part just under its top."""

    pocket: Pocket
    foot: FloatArray
    area_1_mm2: float
    area_2_mm2: float

    def neck_mm(self, wanted_mm: float, least_mm: float) -> float:
        """Radius that the skin there has room for [mm]."""
        return max(least_mm, min(wanted_mm, 0.9 * math.sqrt(self.area_1_mm2 / math.pi)))


@dataclass(frozen=True, eq=False)
class _Task:
    """Everything that stays the same while channels are laid."""

    room: Room
    wishes: ChannelWishes


def plan_channels(
    mesh: Mesh, pockets: PocketList, block: Block, wishes: ChannelWishes
) -> ChannelPlan:
    """Lay a gate and vents so that every pocket opens at the top of the block.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    pockets : PocketList
        Its resin pockets above the limit.
    block : Block
    wishes : ChannelWishes

    Raises
    ------
    NoWayError
        If a pocket cannot be reached; it names the pocket and the widest room there is.
    """
    task = _Task(Room(Bvh(mesh), block, wishes.side_rubber_mm), wishes)
    solid = Solid.from_mesh(mesh)
    mouths = [_mouth(solid, pocket) for pocket in pockets.pockets]
    refused: NoWayError | None = None
    for gate_mouth in _gate_order(mouths, block, wishes)[:GATE_TRIALS]:
        others = [m for m in mouths if m is not gate_mouth]
        try:
            return _laid_out(task, gate_mouth, others)
        except NoWayError as error:
            refused = refused or error
    assert refused is not None
    raise refused


def _mouth(solid: Solid, pocket: Pocket) -> _Mouth:
    foot = np.array(pocket.point_mm)
    areas = [_section_mm2(solid, foot, below) for below in (1.0, 2.0)]
    return _Mouth(pocket, foot, *areas)


def _section_mm2(solid: Solid, foot: FloatArray, below_mm: float) -> float:
    """Area of the piece of the section under the foot that is nearest to it [mm²]."""
    rings = solid.section(float(foot[2]) - below_mm)
    pieces = [Polygon(ring) for ring in rings if len(ring) > 2]
    if not pieces:
        return 0.0
    here = Point(foot[:2])
    return float(min(pieces, key=lambda p: (p.distance(here), p.area)).area)


def _gate_order(mouths: Iterable[_Mouth], block: Block, wishes: ChannelWishes) -> list[_Mouth]:
    """Ample section first, then the shorter sprue, then the larger section, then the place."""
    ample = 0.5 * math.pi * (wishes.neck_diameter_mm / 2.0) ** 2

    def key(mouth: _Mouth) -> tuple[object, ...]:
        sprue = block.high[2] - mouth.foot[2]
        return (
            mouth.area_2_mm2 < ample,
            math.floor(sprue / SPRUE_STEP_MM),
            -round(mouth.area_2_mm2, 3),
            tuple(mouth.foot),
        )

    return sorted(mouths, key=key)


def _laid_out(task: _Task, gate_mouth: _Mouth, others: list[_Mouth]) -> ChannelPlan:
    """One gate, then the vents by falling volume; one that fails goes first the next time."""
    gate = _lay_gate(task, gate_mouth)
    order = sorted(others, key=lambda m: (-m.pocket.trapped_mm3, tuple(m.foot)))
    for _ in range(2):
        room, vents = task.room.with_laid(_laid_gate(gate)), []
        failed: list[_Mouth] = []
        for mouth in order:
            vent = _lay_vent(room, task.wishes, mouth)
            if vent is None:
                failed.append(mouth)
            else:
                vents.append(vent)
                room = room.with_laid(_laid(vent))
        if not failed:
            return _plan_of(gate, vents)
        order = failed + [m for m in order if m not in failed]
    raise _no_way(task, failed[0], "vent", task.wishes.vent_diameter_mm / 2 + 1.0)


def _plan_of(gate: Gate, vents: list[Channel]) -> ChannelPlan:
    fates = [PocketFate(gate.channel.pocket, "gate", f"{gate.channel.way} gate")]
    fates += [PocketFate(v.pocket, "vent", f"{v.way} vent") for v in vents]
    findings = [
        Finding(
            Grade.NOTE,
            f"the vent at ({x:.1f}, {y:.1f}, {z:.1f}) mm is {v.way}: pull its rod along its axis",
        )
        for v in vents
        if v.way != "straight"
        for x, y, z in [v.points[0]]
    ]
    return ChannelPlan(gate, tuple(vents), tuple(fates), tuple(findings))


def _lay_gate(task: _Task, mouth: _Mouth) -> Gate:
    wishes = task.wishes
    radius, rubber = wishes.sprue_diameter_mm / 2.0, wishes.gate_rubber_mm
    neck = mouth.neck_mm(wishes.neck_diameter_mm / 2.0, LEAST_GATE_NECK_MM)
    funnel = Size(wishes.funnel_diameter_mm / 2.0, 1.0)
    sizes = [Size(r, w, k) for k, w, r in product((0.5, 0.3), (rubber, 3.0, 2.0), (radius,))]
    for size in sizes:
        way = find_way(task.room, mouth.foot, size)
        if way is not None and _funnel_fits(task, way, mouth.foot, funnel):
            channel = _channel(task.room, way, mouth, size, min(neck, size.radius_mm))
            return Gate(
                channel,
                2.0 * channel.radii_mm[0],
                2.0 * size.radius_mm,
                wishes.funnel_diameter_mm,
                wishes.funnel_height_mm,
            )
    raise _no_way(task, mouth, "gate", radius + 2.0)


def _funnel_fits(task: _Task, way: Way, foot: FloatArray, funnel: Size) -> bool:
    """The funnel as a ball of its mean radius at mid height, and its rim at the top plane."""
    top = way.axis[-1]
    height = task.wishes.funnel_height_mm
    middle = top - [0.0, 0.0, height / 2.0]
    half = (funnel.radius_mm + task.wishes.sprue_diameter_mm / 2.0) / 2.0
    if foot[2] > top[2] - height:
        return False
    rim = task.room.slack(top[None], foot - [0.0, 0.0, 1e3], funnel)[0]
    waist = task.room.slack(middle[None], foot - [0.0, 0.0, 1e3], Size(half, 1.0))[0]
    return bool(min(rim, waist) >= 0.0)


def _lay_vent(room: Room, wishes: ChannelWishes, mouth: _Mouth) -> Channel | None:
    full, rubber = wishes.vent_diameter_mm / 2.0, wishes.vent_rubber_mm
    ladder = [
        Size(full, rubber),
        Size(full, 2.0),
        Size(0.67 * full, 2.0),
        Size(full, rubber, 0.3),
        Size(0.67 * full, 2.0, 0.3),
        Size(0.67 * full, 1.0),
        Size(0.67 * full, 1.0, 0.3),
    ]
    for size in ladder:
        way = find_way(room, mouth.foot, size)
        if way is not None:
            neck = mouth.neck_mm(wishes.vent_neck_diameter_mm / 2.0, LEAST_VENT_NECK_MM)
            return _channel(room, way, mouth, size, min(neck, size.radius_mm))
    return None


def _channel(room: Room, way: Way, mouth: _Mouth, size: Size, neck_mm: float) -> Channel:
    """The axis with its radii: narrow at the skin, full once the part is far enough away."""
    dense = sampled(way.axis, 0.25)
    near = np.flatnonzero(TAPER * room.bvh.distance(dense) < size.radius_mm)
    last = int(near[-1]) + 1 if len(near) else 1
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(dense, axis=0), axis=1))])
    full_at = float(min(run[min(last, len(run) - 1)], 0.8 * run[-1]))
    points, radii = _tapered(way.axis, full_at, neck_mm, size.radius_mm)
    return Channel(points, radii, mouth.pocket, way.kind, size.rubber_mm)


def _tapered(
    axis: FloatArray, full_at_mm: float, neck_mm: float, radius_mm: float
) -> tuple[tuple[Point3, ...], tuple[float, ...]]:
    runs = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(axis, axis=0), axis=1))])
    stations = np.unique(np.round(np.concatenate([runs, [full_at_mm]]), 9))
    points = np.stack([np.interp(stations, runs, axis[:, i]) for i in range(3)], axis=1)
    points[0], points[-1] = axis[0], axis[-1]
    share = np.minimum(1.0, stations / max(full_at_mm, 1e-9))
    radii = neck_mm + (radius_mm - neck_mm) * share
    return (
        tuple((float(x), float(y), float(z)) for x, y, z in points),
        tuple(float(r) for r in radii),
    )


def _laid(channel: Channel) -> Laid:
    axis = np.array(channel.points)
    dense = sampled(axis, 0.5)
    return Laid(dense, np.full(len(dense), max(channel.radii_mm)))


def _laid_gate(gate: Gate) -> Laid:
    body = _laid(gate.channel)
    top = body.points[-1, 2]
    share = (body.points[:, 2] - (top - gate.funnel_height_mm)) / gate.funnel_height_mm
    bore, rim = gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0
    radii = np.maximum(body.radii, bore + (rim - bore) * np.clip(share, 0.0, 1.0))
    return Laid(body.points, radii)


def _no_way(task: _Task, mouth: _Mouth, what: str, need_mm: float) -> NoWayError:
    x, y, z = mouth.pocket.point_mm
    room = widest_room(task.room, mouth.foot)
    return NoWayError(
        f"no {what} reaches the pocket at ({x:.1f}, {y:.1f}, {z:.1f}) mm that would trap "
        f"{mouth.pocket.trapped_mm3:.0f} mm³: the widest rising way has {room:.1f} mm of room to "
        f"the part and {need_mm:.1f} mm is needed; choose another pose"
    )
