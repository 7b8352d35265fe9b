"""The resin's pour: the part in its pose, its pockets, and gate and vents laid and sized for it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from moldgen.errors import Finding, Grade, PlanError
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import ChannelWishes, Job
from moldgen.part.part import Part
from moldgen.plan.between import Between
from moldgen.plan.block import plan_block
from moldgen.plan.breathed import Chosen, breather_findings, choose_channels
from moldgen.plan.breather import Breathing
from moldgen.plan.cavity import Hollow
from moldgen.plan.channels import ChannelPlan, plan_channels
from moldgen.plan.fill_notes import fill_findings, require_fill
from moldgen.plan.liquid import mixed_liquid
from moldgen.plan.nouns import Block, Channel, Gate, PocketFate
from moldgen.plan.scars import with_scars
from moldgen.plan.sizes import Laid, Lay, Sizing
from moldgen.pose.pose import Pose
from moldgen.study.judge import finder_for
from moldgen.study.marked import marked_faces
from moldgen.study.pocket import Liquid, PocketList
from moldgen.study.pockets import PocketFinder

Progress = Callable[[str, float], None]

UP = np.array([0.0, 0.0, 1.0])
WORTH_NAMING_MM3 = 1.0  # smaller pockets are below what a bench can see (sphere of 1.2 mm)
SAME_POINT_MM = 1e-6
WIDENINGS_MM = (0.0, 8.0, 16.0, 28.0)


@dataclass(frozen=True, eq=False)
class ResinPour:
    """Everything decided for the resin's pour.

    Attributes
    ----------
    job : Job
    pose : Pose
    matrix : (4, 4) float
        Part file's frame to casting frame.
    mesh : Mesh
        The part in the casting frame.
    finder : PocketFinder
    pockets : PocketList
        Those above the limit.
    chosen : Chosen
        Channels as they were laid, what becomes of the pour through them, and the search that
        found them.
    channels : ChannelPlan
        The same with the scars they leave.
    tilt_tolerance_deg : float
    """

    job: Job
    pose: Pose
    matrix: FloatArray
    mesh: Mesh
    finder: PocketFinder
    pockets: PocketList
    chosen: Chosen
    channels: ChannelPlan
    tilt_tolerance_deg: float

    @property
    def laid(self) -> Laid:
        """Channels as they were laid, and what becomes of the pour through them."""
        return self.chosen.laid

    @property
    def block(self) -> Block:
        """The rubber block that has room for the channels."""
        return self.laid.block

    @property
    def bores_mm3(self) -> float:
        """Volume of gate and vents between the part and the top of the block [mm³]."""
        return channels_volume_mm3(self.channels.gate, self.channels.vents)

    @property
    def fates(self) -> tuple[PocketFate, ...]:
        """What becomes of each pocket of the resin, those too small to need a vent last."""
        return (*self.channels.fates, *_ignored(self.finder, self.pockets))

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is worth knowing about channels, fill and lean."""
        return (
            *self.channels.findings,
            *breather_findings(self.chosen, self.job),
            *fill_findings(self.laid, self.chosen.sizing, self.job, self.job.casting_resin),
            *_tilt_findings(self.tilt_tolerance_deg, self.pockets, self.job),
        )


def plan_resin_pour(
    part: Part, pose: Pose, job: Job, progress: Progress | None = None, *, in_halves: bool = False
) -> ResinPour:
    """Lay and size gate and vents for a part in its pose.

    Parameters
    ----------
    part : Part
    pose : Pose
        With its azimuth settled.
    job : Job
    progress : callable, optional
        Called with (label, share done).
    in_halves : bool
        Whether the mold comes apart along Y of the casting frame, so that every channel has to
        lie between its halves.

    Raises
    ------
    PlanError
        If a pocket cannot be reached, the resin gels before the mold is full, or the part is
        unsound in this pose.
    JobError
        If a material is not known, or a show face takes no triangle of the part.
    """
    tell = progress or (lambda _label, _share: None)
    tell("looking for air pockets", 0.1)
    matrix = pose.matrix_for(part.mesh)
    mesh = part.mesh.moved(matrix)
    finder = finder_for(mesh, job, marked_faces(part, job.show_faces))
    pockets = finder.find(UP, Liquid.RESIN, job.channels.limit_mm3)
    _require_sound(pockets)
    tell("laying gate and vents", 0.3)
    between = Between.of(mesh) if in_halves else None
    chosen = _chosen(mesh, pockets, job, between, Breathing(finder, job.channels.limit_mm3))
    require_fill(chosen.laid, chosen.sizing, job)
    channels = with_scars(chosen.laid.channels, finder.show)
    outlets = [c.points[0] for c in (channels.gate.channel, *channels.vents)]
    tolerance = finder.tilt_tolerance(UP, outlets, job.channels.limit_mm3)
    return ResinPour(job, pose, matrix, mesh, finder, pockets, chosen, channels, tolerance)


def channels_volume_mm3(gate: Gate, vents: tuple[Channel, ...]) -> float:
    """Volume of gate and vents between the part's skin and the top of the block [mm³].

    Each leg is a frustum, pi h (a² + a b + b²)/3; the funnel adds what it has over the sprue.
    """
    total = sum(_channel_volume_mm3(c) for c in (gate.channel, *vents))
    top, bore = gate.funnel_diameter_mm / 2, gate.sprue_diameter_mm / 2
    funnel = _frustum_mm3(bore, top, gate.funnel_height_mm)
    return total + funnel - _frustum_mm3(bore, bore, gate.funnel_height_mm)


def _channel_volume_mm3(channel: Channel) -> float:
    stations = zip(channel.points, channel.radii_mm, strict=True)
    return sum(_frustum_mm3(a, b, math.dist(p, q)) for (p, a), (q, b) in pairwise(stations))


def _frustum_mm3(a_mm: float, b_mm: float, height_mm: float) -> float:
    return math.pi * height_mm * (a_mm * a_mm + a_mm * b_mm + b_mm * b_mm) / 3.0


def _require_sound(pockets: PocketList) -> None:
    if pockets.ray_misses:
        raise PlanError(
            f"{pockets.ray_misses} places inside the part have no surface above them: the surface "
            "crosses itself; unite or rebuild it in the program it came from"
        )


def _chosen(
    mesh: Mesh, pockets: PocketList, job: Job, between: Between | None, breathing: Breathing
) -> Chosen:
    """The bores of gate and vents, with a breather where the gate needs one."""

    def laying(held: Breathing | None) -> Lay:
        def lay(wishes: ChannelWishes) -> tuple[Block, ChannelPlan]:
            return _plan_channels(mesh, pockets, replace(job, channels=wishes), between, held)

        return lay

    resin = job.casting_resin
    liquid = mixed_liquid(resin, job.shop_c)
    sizing = Sizing(laying(None), Hollow(mesh), job, resin, liquid)
    return choose_channels(sizing, laying(breathing), job)


def _plan_channels(
    mesh: Mesh,
    pockets: PocketList,
    job: Job,
    between: Between | None,
    breathing: Breathing | None,
) -> tuple[Block, ChannelPlan]:
    """Lay the channels in the least block; give leaning ones more rubber only if they need it."""
    refused: PlanError | None = None
    for wider in WIDENINGS_MM:
        block = plan_block(mesh, job.rubber, wider)
        try:
            return block, plan_channels(mesh, pockets, block, job.channels, (), between, breathing)
        except PlanError as error:
            refused = refused or error
            if getattr(error, "wider_mm", None) is None:
                break
    assert refused is not None
    raise refused


def _ignored(finder: PocketFinder, needed: PocketList) -> tuple[PocketFate, ...]:
    """The pockets too small to be worth a vent, so that nobody has to wonder about them."""
    every = finder.find(UP, Liquid.RESIN, WORTH_NAMING_MM3).pockets
    return tuple(
        PocketFate(p, "ignored", f"holds {p.trapped_mm3:.1f} mm³, under the limit")
        for p in every
        if not any(math.dist(p.point_mm, q.point_mm) < SAME_POINT_MM for q in needed.pockets)
    )


def _tilt_findings(
    tolerance_deg: float | None, pockets: PocketList, job: Job
) -> tuple[Finding, ...]:
    if tolerance_deg is None or tolerance_deg >= job.level_error_deg:
        return ()
    level = sum(p.top_area_mm2 for p in pockets.pockets)
    cure = (
        "the top is level: lean the part a few degrees about both axes and vent its highest corner"
        if level > 0
        else "pick another pose, or level the mold with care"
    )
    return (
        Finding(
            Grade.CAUTION,
            f"a lean of {tolerance_deg:.2f}° already traps more than "
            f"{job.channels.limit_mm3:g} mm³ of air, and the bench may be off by "
            f"{job.level_error_deg:g}°; {cure}",
            tolerance_deg,
            job.level_error_deg,
        ),
    )
