"""Gate and vents: which pocket gets the gate, and a rising channel from every pocket."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import Finding, PlanError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Taper
from moldgen.job.job import ChannelWishes
from moldgen.plan.between import Between
from moldgen.plan.bore import bars_of, stations
from moldgen.plan.breather import Breathing, NoBreatherError, breather_way, sites
from moldgen.plan.channel_notes import fates_of, findings_of
from moldgen.plan.grid import CELL_MM
from moldgen.plan.ladder import Level, gate_ladder, vent_ladder
from moldgen.plan.mouth import mouth_beside
from moldgen.plan.no_way import NoWayError, no_gate, no_vent, too_narrow
from moldgen.plan.nouns import Block, Channel, Gate, PocketFate
from moldgen.plan.routing import (
    Funnel,
    Search,
    Way,
    bent_way,
    find_way,
    opening_of,
    slanted_way,
    straight_way,
    widest_way_mm,
)
from moldgen.plan.terrain import Laid, Opening, Terrain
from moldgen.study.pocket import Pocket, PocketList

GATE_CANDIDATES = 3
CROWDED = 0.6  # share of the funnel's width that is tried where vents stand close
LEAST_FUNNEL = 1.25  # a funnel is at least this many times as wide as its sprue
AMPLE_NECKS = 2.0  # a section of this many necks lets resin through freely
WIDER_MM = 28.0  # the widest block that is tried before a pocket is given up
_ROUNDS = 2


@dataclass(frozen=True, eq=False)
class ChannelPlan:
    """Gate, vents, what became of each pocket, and what is worth knowing.

    Attributes
    ----------
    gate : Gate
    vents : tuple of Channel
        In the order of their pockets; a breather comes last.
    fates : tuple of PocketFate
        One for each pocket.
    findings : tuple of Finding
    """

    gate: Gate
    vents: tuple[Channel, ...]
    fates: tuple[PocketFate, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class _Task:
    """What stays the same while channels are laid."""

    terrain: Terrain
    wishes: ChannelWishes
    pockets: tuple[Pocket, ...]
    kept_clear: Laid
    breathing: Breathing | None = None

    def search(
        self, pocket: Pocket, level: Level, laid: Laid, funnel: Funnel | None = None
    ) -> Search:
        return Search(self.terrain, laid, self.terrain.mouth(pocket, level), level, funnel)

    def funnel(self, level: Level, share: float = 1.0) -> Funnel:
        widest = max(share * self.wishes.funnel_diameter_mm / 2.0, level.radius_mm)
        least = min(widest, LEAST_FUNNEL * level.radius_mm)
        return Funnel(self.wishes.funnel_height_mm, widest, least)


def plan_channels(
    mesh: Mesh,
    pockets: PocketList,
    block: Block,
    wishes: ChannelWishes,
    keep_clear: Sequence[Taper] = (),
    between: Between | None = None,
    breathing: Breathing | None = None,
) -> ChannelPlan:
    """Lay a gate and vents so that every pocket opens at the top of the block.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    pockets : PocketList
        Its resin pockets above the limit.
    block : Block
        Its top lies well above the part.
    wishes : ChannelWishes
    keep_clear : sequence of Taper
        Round bars in the block that no channel may come near.
    between : Between, optional
        For a mold in two halves: every channel lies between them.
    breathing : Breathing, optional
        The gate gets a breather beside it, held to this.

    Raises
    ------
    NoBreatherError
        If a breather is asked for and finds no place beside any gate.
    NoWayError
        If a pocket cannot be reached; it names the pocket, what it would trap, the widest room
        and the need, and says whether a wider block would do.
    """
    task = replace(
        _task(mesh, pockets.pockets, block, wishes, keep_clear, between), breathing=breathing
    )
    try:
        return _laid_out(task)
    except NoWayError as refused:
        wider = _in_wider_block(refused, task, mesh, keep_clear)
        if wider is None:
            raise
        raise too_narrow(refused, wider) from None


def _task(
    mesh: Mesh,
    pockets: tuple[Pocket, ...],
    block: Block,
    wishes: ChannelWishes,
    keep_clear: Sequence[Taper],
    between: Between | None,
) -> _Task:
    if not pockets:
        raise PlanError("the part has no pocket to put a gate on: lower the pocket limit")
    rooms = [level.room_mm for level in (*gate_ladder(wishes), *vent_ladder(wishes))]
    low = min(p.point_mm[2] for p in pockets)
    terrain = Terrain(mesh, block, wishes.side_rubber_mm, low, max(rooms), between)
    rows = [(*b.start, *b.end, b.start_radius_mm, b.end_radius_mm) for b in keep_clear]
    bars = np.array(rows, dtype=np.float64).reshape(-1, 8)
    return _Task(terrain, wishes, pockets, Laid(bars))


def _laid_out(task: _Task) -> ChannelPlan:
    """The first gate beside which every other pocket gets its vent, and its breather if asked."""
    refused: PlanError | None = None
    for gate in _gates(task):
        others = [p for p in task.pockets if p is not gate.channel.pocket]
        try:
            if task.breathing is not None:
                gate, vents = _breathed(task, task.breathing, gate, others)
            else:
                vents = _lay_vents(task, gate, others)
        except NoWayError as error:
            if error.is_alone:
                raise
            refused = refused or error
            continue
        except NoBreatherError as error:
            refused = refused or error
            continue
        return ChannelPlan(
            gate,
            vents,
            fates_of(task.pockets, gate, vents),
            findings_of(gate, vents, task.wishes, in_halves=task.terrain.between is not None),
        )
    raise refused or _no_gate(task)


# the gate


def _gates(task: _Task) -> Iterator[Gate]:
    """Gates to try: all that spare the show faces before any that does not."""
    for shown in (False, True):
        pockets = [p for p in task.pockets if p.on_show_face == shown]
        yield from _gates_at(task, sorted(pockets, key=lambda p: _gate_rank(task, p)))


def _gates_at(task: _Task, pockets: list[Pocket]) -> Iterator[Gate]:
    """The best pockets first, each with its best level, then a slimmer one."""
    ranked = pockets[:GATE_CANDIDATES]
    for pocket in ranked:
        levels = [lv for lv in gate_ladder(task.wishes) if _straight_gate(task, pocket, lv)]
        for level, share in _slimmer(levels):
            gate = _straight_gate(task, pocket, level, share)
            if gate is not None:
                yield gate
    for pocket in ranked:
        for level in gate_ladder(task.wishes):
            search = _gate_search(task, pocket, level)
            way = slanted_way(search) or bent_way(search)
            if way is not None:
                yield _gate(search, way)
                break


def _slimmer(levels: list[Level]) -> list[tuple[Level, float]]:
    if not levels:
        return []
    return [(levels[0], 1.0), (levels[0], CROWDED), (levels[-1], CROWDED)]


def _gate_rank(task: _Task, pocket: Pocket) -> tuple[object, ...]:
    """Ample section, wished size, short sprue, large section, volume; then the place decides."""
    ladder = gate_ladder(task.wishes)
    mouth = task.terrain.mouth(pocket, ladder[0])
    steps = [n for n, level in enumerate(ladder) if _straight_gate(task, pocket, level)]
    necks = mouth.section_mm2 / (math.pi * (task.wishes.neck_mm / 2.0) ** 2)
    sprue = task.terrain.block.high[2] - float(mouth.point[2])
    is_ample = necks >= AMPLE_NECKS
    return (
        not is_ample,
        steps[0] if steps else len(ladder),
        round(sprue) if is_ample else 0,
        -round(mouth.section_mm2, 3),
        -round(pocket.trapped_mm3, 3),
        pocket.point_mm,
    )


def _gate_search(task: _Task, pocket: Pocket, level: Level, share: float = 1.0) -> Search:
    return task.search(pocket, level, task.kept_clear, task.funnel(level, share))


def _straight_gate(task: _Task, pocket: Pocket, level: Level, share: float = 1.0) -> Gate | None:
    search = _gate_search(task, pocket, level, share)
    way = straight_way(search)
    return _gate(search, way) if way else None


def _gate(search: Search, way: Way) -> Gate:
    channel = _channel(search, way)
    x, y, _ = channel.points[-1]
    radius = search.funnel_mm(np.array([x, y, search.goal_mm]))
    assert radius is not None and search.funnel is not None
    return Gate(
        channel,
        2.0 * channel.radii_mm[0],
        channel.bore_mm,
        2.0 * radius,
        search.funnel.height_mm,
    )


def _channel(search: Search, way: Way) -> Channel:
    points, radii = stations(search.terrain.tree, search.rule, way.corners)
    mouth, rubber = search.mouth, search.level.rubber_mm
    return Channel(points, radii, mouth.pocket, way.kind, rubber, mouth.sunk_mm)


# the vents


def _lay_vents(task: _Task, gate: Gate, others: list[Pocket]) -> tuple[Channel, ...]:
    """A vent for each pocket, in their order; those that fail go first the next time."""
    order = others
    for _ in range(_ROUNDS):
        laid, vents = _with_gate(task.kept_clear, gate), dict[int, Channel]()
        failed: list[tuple[Pocket, Laid]] = []
        for pocket in order:
            vent = _lay_vent(task, pocket, laid)
            if vent is None:
                failed.append((pocket, laid))
                continue
            vents[id(pocket)] = vent
            laid = _with_vent(laid, vent)
        if not failed:
            return tuple(vents[id(p)] for p in others)
        stuck = [p for p, _ in failed]
        _refuse_hopeless(task, stuck)
        order = stuck + [p for p in order if not any(p is q for q in stuck)]
    raise _refusal(task, *failed[0], is_alone=False)


def _lay_vent(task: _Task, pocket: Pocket, laid: Laid) -> Channel | None:
    found = find_way([task.search(pocket, level, laid) for level in vent_ladder(task.wishes)])
    return _channel(*found) if found else None


# the breather


def _breathed(
    task: _Task, breathing: Breathing, gate: Gate, others: list[Pocket]
) -> tuple[Gate, tuple[Channel, ...]]:
    """The gate, moved if it has to be, with vents and a breather; least air above it first."""
    ladder = vent_ladder(task.wishes)
    vents = _lay_vents(task, gate, others)
    mouths = np.array([v.points[0] for v in vents]).reshape(-1, 3)
    top = np.array(gate.channel.pocket.point_mm)
    for site in sites(task.terrain, gate, ladder[0].neck_mm):
        above = breathing.above_mm3(site.breather, top, mouths)
        if above > breathing.limit_mm3:
            continue
        moved = _moved(task, gate, site.gate) if site.moves_gate else gate
        if moved is None:
            continue
        try:
            beside = _lay_vents(task, moved, others) if site.moves_gate else vents
        except NoWayError:
            continue
        laid = _with_gate(task.kept_clear, moved)
        for vent in beside:
            laid = _with_vent(laid, vent)
        found = breather_way(task.terrain, laid, gate.channel.pocket, site.breather, ladder)
        if found is not None:
            return moved, (*beside, replace(_channel(*found), above_mm3=above))
    raise NoBreatherError("no breather finds a place beside the gate")


def _moved(task: _Task, gate: Gate, foot: FloatArray) -> Gate | None:
    """The same gate on another foot, (3,) [mm], upright."""
    way, terrain = gate.channel, task.terrain
    level = next(
        lv
        for lv in gate_ladder(task.wishes)
        if lv.radius_mm == way.radii_mm[-1] and lv.rubber_mm == way.rubber_mm
    )
    mouth = mouth_beside(terrain.part, terrain.tree, way.pocket, foot, way.radii_mm[0])
    funnel = task.funnel(level, gate.funnel_diameter_mm / task.wishes.funnel_diameter_mm)
    search = Search(terrain, task.kept_clear, mouth, level, funnel)
    found = straight_way(search)
    return _gate(search, found) if found else None


def _with_gate(laid: Laid, gate: Gate) -> Laid:
    """The gate's bars, cut off where its funnel begins, and the funnel."""
    x, y, top = gate.channel.points[-1]
    bore, wide = gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0
    cone = [[x, y, top - gate.funnel_height_mm, x, y, top, bore, wide]]
    bars = np.concatenate([bars_of(gate.channel.points, gate.channel.radii_mm), cone])
    return laid.with_channel(bars, Opening(np.array([x, y]), wide))


def _with_vent(laid: Laid, vent: Channel) -> Laid:
    ends: list[FloatArray] = [np.array(p) for p in vent.points[-2:]]
    opening = opening_of(ends[0], ends[1], vent.radii_mm[-1])
    return laid.with_channel(bars_of(vent.points, vent.radii_mm), opening)


# refusals


def _least_need(task: _Task) -> Level:
    return vent_ladder(task.wishes)[-1]


def _refuse_hopeless(task: _Task, stuck: list[Pocket]) -> None:
    """Give up at once if no vent reaches a pocket even with the block to itself."""
    need = _least_need(task)
    for pocket in stuck:
        room = widest_way_mm(task.search(pocket, need, task.kept_clear))
        if room < need.room_mm - CELL_MM or _lay_vent(task, pocket, task.kept_clear) is None:
            raise _refusal(task, pocket, task.kept_clear, is_alone=True)


def _refusal(task: _Task, pocket: Pocket, laid: Laid, *, is_alone: bool) -> NoWayError:
    need = _least_need(task)
    room = widest_way_mm(task.search(pocket, need, laid))
    return no_vent(pocket, room, need.room_mm, is_alone=is_alone)


def _no_gate(task: _Task) -> NoWayError:
    least = gate_ladder(task.wishes)[-1]
    pocket = min(task.pockets, key=lambda p: _gate_rank(task, p))
    room = widest_way_mm(_gate_search(task, pocket, least))
    return no_gate(pocket, room, least.room_mm, task.wishes.funnel_height_mm)


# a wider block


def _in_wider_block(
    refused: NoWayError, task: _Task, mesh: Mesh, keep_clear: Sequence[Taper]
) -> dict[str, float] | None:
    """What each side lacks so that everything fits; None if the widest block does not do [mm]."""
    block = task.terrain.block
    wide = replace(
        block,
        low=(block.low[0] - WIDER_MM, block.low[1] - WIDER_MM, block.low[2]),
        high=(block.high[0] + WIDER_MM, block.high[1] + WIDER_MM, block.high[2]),
    )
    roomy = _task(mesh, task.pockets, wide, task.wishes, keep_clear, task.terrain.between)
    try:
        _refuse_hopeless(roomy, [refused.pocket])
        plan = _laid_out(roomy)
    except NoWayError:
        return None
    lacks = _lacks(plan, block, task.wishes.side_rubber_mm)
    return {side: more for side, more in lacks.items() if more > 0.0} or None


def _lacks(plan: ChannelPlan, block: Block, side_mm: float) -> dict[str, float]:
    rows = [row for v in (plan.gate.channel, *plan.vents) for row in bars_of(v.points, v.radii_mm)]
    bars = np.array(rows)
    radii = np.maximum(bars[:, 6], bars[:, 7])[:, None] + side_mm
    low = np.minimum(bars[:, 0:2], bars[:, 3:5]) - radii
    high = np.maximum(bars[:, 0:2], bars[:, 3:5]) + radii
    return {
        "-x": block.low[0] - float(low[:, 0].min()),
        "+x": float(high[:, 0].max()) - block.high[0],
        "-y": block.low[1] - float(low[:, 1].min()),
        "+y": float(high[:, 1].max()) - block.high[1],
    }
