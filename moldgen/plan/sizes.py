"""The size of gate and vents: the narrowest that fill the mold in time, laid and marched.

A bore is judged on the channel that was really laid, with the neck the part has room for. A
model of the gate only says where in the row of standard bores to begin.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from moldgen.errors import PlanError
from moldgen.job.job import USUAL_SPRUE_MM, ChannelWishes, Job
from moldgen.materials.kinds import CastingResin
from moldgen.physics.vents import capillary_pressure
from moldgen.plan.bores import Bore, bores_for, vents_for
from moldgen.plan.cavity import Filling, Hollow
from moldgen.plan.channels import ChannelPlan
from moldgen.plan.clearance import WIDENING
from moldgen.plan.fill import FillForecast
from moldgen.plan.forecast import forecast_fill
from moldgen.plan.liquid import MixedLiquid
from moldgen.plan.nouns import Block, Channel, Gate
from moldgen.plan.passage import airway, vent_passage
from moldgen.units import GRAVITY_MM_S2

AIR_SHARE = 0.1  # of the head: what air may need at most; common practice, no source
FUNNEL_OVER_SPRUE = 1.25  # a funnel is at least this much wider than its sprue
_MN_PER_N = 1000.0
_SAME_MM = 1e-6

_TRIES = 16  # bores laid upward from the guess before it is given up

Lay = Callable[[ChannelWishes], tuple[Block, ChannelPlan]]


@dataclass(frozen=True, eq=False)
class Laid:
    """Channels as they were laid for one bore, and what becomes of the pour through them.

    Attributes
    ----------
    bore : Bore
        What was asked for; the channel may be slimmer.
    block : Block
    channels : ChannelPlan
    filling : Filling
    forecast : FillForecast
    """

    bore: Bore
    block: Block
    channels: ChannelPlan
    filling: Filling
    forecast: FillForecast

    @property
    def rank(self) -> tuple[float, float]:
        """Best least: by what stays empty, then by when it is full [-, s]."""
        time = self.forecast.fill_time_s
        return (0.0, time) if time is not None else (1.0 - self.forecast.filled_fraction, 0.0)


def _is_as_asked(laid: Laid) -> bool:
    """Whether the sprue has the standard bore; a slimmer one was laid where it has no room."""
    return laid.channels.gate.sprue_diameter_mm > laid.bore.sprue_mm - _SAME_MM


class Sizing:
    """The search for a size: lays a bore once and remembers it.

    Parameters
    ----------
    lay : callable
        From wishes with given bores to the block and the channels in it.
    hollow : Hollow
        Of the part in the casting frame.
    job : Job
    resin : CastingResin
    liquid : MixedLiquid
        The same resin, mixed.
    wished_s : float
        A size that takes longer is taken only where none is as quick [s].

    Attributes
    ----------
    liquid : MixedLiquid
    """

    def __init__(
        self,
        lay: Lay,
        hollow: Hollow,
        job: Job,
        resin: CastingResin,
        liquid: MixedLiquid,
        wished_s: float = math.inf,
    ) -> None:
        self._lay, self._hollow, self._job = lay, hollow, job
        self._resin, self.liquid, self._wished_s = resin, liquid, wished_s
        self._laid: dict[Bore, Laid | PlanError] = {}

    def best(self) -> Laid:
        """The narrowest bore in time; else the one that fills soonest, or most.

        Raises
        ------
        PlanError
            If nothing can be laid.
        """
        bores = bores_for(self._job.channels)
        if not bores:
            raise PlanError("no standard sprue is as wide as the neck wished: wish a narrower neck")
        return self._vented(self._narrowest(bores) or self._least_bad())

    def free(self) -> Sizing:
        """The same search with the sizes of the gate left to it."""
        free = replace(self._job.channels, sprue_diameter_mm=None, neck_diameter_mm=None)
        job = replace(self._job, channels=free)
        return Sizing(self._lay, self._hollow, job, self._resin, self.liquid, self._wished_s)

    def with_breather(self, lay: Lay, wished_s: float) -> Sizing:
        """The same search for channels that are laid with a breather, quick if they can be [s]."""
        return Sizing(lay, self._hollow, self._job, self._resin, self.liquid, wished_s)

    def _is_good(self, laid: Laid) -> bool:
        time = laid.forecast.fill_time_s
        is_quick = time is not None and time <= self._wished_s
        return is_quick and laid.forecast.is_in_time and _is_as_asked(laid)

    def smaller(self, bore: Bore) -> Laid | None:
        """The next narrower bore of those to choose from, laid; None where there is none."""
        narrower = [b for b in bores_for(self._job.channels) if b < bore]
        return self._or_none(narrower[-1]) if narrower else None

    def _narrowest(self, bores: tuple[Bore, ...]) -> Laid | None:
        """The first bore in time, sought from where the model of the gate has it."""
        at = self._first_guess(bores)
        for _ in range(_TRIES):
            laid = self._or_none(bores[at])
            if laid is not None and self._is_good(laid):
                break
            if laid is None or at + 1 == len(bores):
                break
            at += 1
        while at > 0 and self._or_none(bores[at]) is None:
            at -= 1
        good = self._or_none(bores[at])
        if good is None or not self._is_good(good):
            return None
        while at > 0 and (less := self._or_none(bores[at - 1])) is not None and self._is_good(less):
            at, good = at - 1, less
        return good

    def _or_none(self, bore: Bore) -> Laid | None:
        try:
            return self.at(bore)
        except PlanError:
            return None

    def at(self, bore: Bore) -> Laid:
        """Channels laid for a bore.

        Raises
        ------
        PlanError
            If they find no way.
        """
        if bore not in self._laid:
            try:
                self._laid[bore] = self._tried(bore, vents_for(self._job.channels)[0])
            except PlanError as refused:
                self._laid[bore] = refused
        found = self._laid[bore]
        if isinstance(found, PlanError):
            raise found
        return found

    def _tried(self, bore: Bore, vent_mm: float) -> Laid:
        wishes = self._job.channels
        block, channels = self._lay(
            replace(
                wishes,
                sprue_diameter_mm=bore.sprue_mm,
                neck_diameter_mm=bore.neck_mm,
                funnel_diameter_mm=max(
                    wishes.funnel_diameter_mm, FUNNEL_OVER_SPRUE * bore.sprue_mm
                ),
                vent_diameter_mm=vent_mm,
            )
        )
        filling = self._hollow.filling(channels.gate, channels.vents)
        forecast = forecast_fill(filling, channels.gate, block.high[2], self.liquid, self._job)
        return Laid(bore, block, channels, filling, forecast)

    def _first_guess(self, bores: tuple[Bore, ...]) -> int:
        """The first bore whose model is in time, over a gate that was laid; else the best."""
        start = min(range(len(bores)), key=lambda i: abs(bores[i].sprue_mm - USUAL_SPRUE_MM))
        laid = self._or_none(bores[start])
        if laid is None:
            return 0
        models = [self._modelled(laid, bore) for bore in bores]
        timely = [i for i, model in enumerate(models) if self._is_good(model)]
        return timely[0] if timely else start

    def _modelled(self, laid: Laid, bore: Bore) -> Laid:
        """What a bore would do on the line of a gate that was laid."""
        gate = modelled(laid.channels.gate, bore)
        forecast = forecast_fill(laid.filling, gate, laid.block.high[2], self.liquid, self._job)
        return replace(
            laid, bore=bore, channels=replace(laid.channels, gate=gate), forecast=forecast
        )

    def _least_bad(self) -> Laid:
        laid = [found for found in self._laid.values() if isinstance(found, Laid)]
        timely = [one for one in laid if one.forecast.is_in_time]
        if timely and math.isinf(self._wished_s):
            return min(timely, key=lambda one: one.bore)
        if laid:
            return min(laid, key=lambda one: (one.rank, one.bore))
        refused = next(found for found in self._laid.values() if isinstance(found, PlanError))
        raise refused

    def _vented(self, laid: Laid) -> Laid:
        """The same with vents wide enough for the air and for the resin to enter them."""
        sizes = vents_for(self._job.channels)
        for vent_mm in sizes:
            if not too_narrow(laid, self._resin):
                return laid
            if vent_mm > sizes[0]:
                try:
                    wider = self._tried(laid.bore, vent_mm)
                except PlanError:
                    return laid
                laid = wider if wider.forecast.is_in_time or not laid.forecast.is_in_time else laid
        return laid


def too_narrow(laid: Laid, resin: CastingResin) -> tuple[Channel, ...]:
    """Vents that hold back the air, or that the resin cannot enter.

    Parameters
    ----------
    laid : Laid
    resin : CastingResin

    Notes
    -----
    Air may take a tenth of the head at the flow with which the pour begins, each vent taking its
    share; and where the resin does not wet rubber, the head left at the end must push it in
    against 2 sigma cos(theta) / r.
    """
    forecast, vents = laid.forecast, laid.channels.vents
    weight = forecast.liquid.density_g_mm3 * GRAVITY_MM_S2
    back = airway([vent_passage(v) for v in vents]).back_pressure(forecast.first_flow_mm3_s)
    if back > AIR_SHARE * weight * forecast.head_mm:
        return vents
    tension, angle = resin.surface_tension_mn_m / _MN_PER_N, resin.contact_angle_deg
    left = weight * (laid.block.high[2] - max((v.points[0][2] for v in vents), default=0.0))
    return tuple(v for v in vents if -capillary_pressure(tension, angle, v.radii_mm[0]) > left)


def modelled(gate: Gate, bore: Bore) -> Gate:
    """A gate of another bore along the same straight line: neck, taper, sprue, funnel."""
    foot, top = gate.channel.points[0], gate.channel.points[-1]
    neck, sprue = bore.neck_mm / 2.0, bore.sprue_mm / 2.0
    rise = top[2] - foot[2]
    straight = min(neck / WIDENING, rise / 2.0)
    wide = min(sprue / WIDENING, rise - _SAME_MM)
    heights = (0.0, straight, max(wide, straight + _SAME_MM), rise)
    points = tuple(
        (*(a + h / rise * (b - a) for a, b in zip(foot[:2], top[:2], strict=True)), foot[2] + h)
        for h in heights
    )
    channel = replace(gate.channel, points=points, radii_mm=(neck, neck, sprue, sprue))  # type: ignore[arg-type]
    funnel = max(gate.funnel_diameter_mm, FUNNEL_OVER_SPRUE * bore.sprue_mm)
    return Gate(channel, bore.neck_mm, bore.sprue_mm, funnel, gate.funnel_height_mm)
