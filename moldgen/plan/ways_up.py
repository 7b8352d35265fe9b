"""Ways a part of a mold in halves can lie: pull and way up together, and what speaks for each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import placement, unit_vector
from moldgen.geometry.shadow import shadow_of
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job
from moldgen.plan.hidden import is_hidden
from moldgen.plan.pull import Pull, different
from moldgen.plan.pull_task import CELLS_FINE, PullTask
from moldgen.study.directions import flat_directions
from moldgen.study.pocket import Liquid
from moldgen.study.pockets import PocketFinder

N_UPS = 48  # round the pull
# Pulls that are tried with every way up, and how much more than the best they may cost; more of
# them where those leave a high point without way.
TRIED = ((4, 0.02), (10, 0.1))
CLASS = 0.01  # pulls within this are told apart by gate and vents
APART_DEG = 8.0  # pulls nearer than this are one
N_OTHERS, OTHERS_APART_DEG = 2, 30.0
LOOKED_AT = 10  # ways up that are leant and whose gate is measured
UPS_APART_DEG = 9.0
SHAKY = 1.5  # vents that a way up is worth that stands the bench's error
NARROW = 0.5  # and one whose gate has an ample place
UNDER_MM = 2.0  # the top, where the gate's place is measured
AMPLE_NECKS = 2.0  # a section of this many necks lets resin through freely
HEIGHT_STEP_MM = 2.0
_ALIKE = 1e-6


@dataclass(frozen=True)
class WayUp:
    """One way to lie and to come apart.

    Attributes
    ----------
    up : (3,) float
        What points up while resin is poured, in the part file's frame.
    pull : Pull
    connections : int
        Gate and vents.
    height_mm : float
        Of the part, so lying [mm].
    cost : float
        Of the pull, 1 for a part that is all stuck [-].
    cost_over : int
        By how many classes that is more than the best pull's.
    is_steady : bool or None
        Whether it stands what the bench may be off; None where that was not looked at.
    gate_mm2 : float or None
        Section of the part under its amplest high point; None where that was not looked at [mm²].
    is_ample : bool
        Whether a gate finds an ample place there.
    """

    up: Point3
    pull: Pull
    connections: int
    height_mm: float
    cost: float
    cost_over: int = 0
    is_steady: bool | None = None
    gate_mm2: float | None = None
    is_ample: bool = True

    @property
    def rank(self) -> tuple[float, ...]:
        """Best least: hidden points, the pull's class, connections, show faces, height.

        A shaky way up and a narrow gate count as more vents.
        """
        shaky = SHAKY if self.is_steady is False else 0.0
        narrow = 0.0 if self.is_ample else NARROW
        return (
            self.pull.hidden,
            self.cost_over,
            self.connections + shaky + narrow,
            round(self.pull.shown_share, 1),
            round(self.height_mm / HEIGHT_STEP_MM),
            round(self.cost, 4),
            *(-round(c, 4) for c in self.up),
        )


@dataclass(frozen=True, eq=False)
class Judge:
    """What ways up are judged by.

    Attributes
    ----------
    finder : PocketFinder
        Of the part or a lighter copy.
    task : PullTask
    job : Job
    """

    finder: PocketFinder
    task: PullTask
    job: Job

    @property
    def half_width_mm(self) -> float:
        """Half of the strip of sheet that a vent needs [mm]."""
        return self.task.half_width_mm

    def ranked(self, pulls: Sequence[Pull]) -> list[WayUp]:
        """The ways up square to pulls, best first; the best ones looked at closely.

        Parameters
        ----------
        pulls : sequence of Pull
            Best first.
        """
        for most, dearer in TRIED:
            good = self._good(pulls, most, dearer)
            rows = [way for pull in good for way in self._round(pull, good[0])]
            rows.sort(key=lambda way: way.rank)
            if not rows[0].pull.hidden:
                break
        return self._looked_at(rows)

    def of_up(self, up: FloatArray, pulls: Sequence[Pull]) -> list[WayUp]:
        """One way up, (3,), with several pulls level to it, best first."""
        best = min(pulls, key=lambda p: p.cost(self._volume))
        rows = [self._way(pull, up, self.tops(up), best, pull.hidden) for pull in pulls]
        return sorted(rows, key=lambda way: way.rank)

    @property
    def _volume(self) -> float:
        return self.finder.mesh.volume_mm3

    def _good(self, pulls: Sequence[Pull], most: int, dearer: float) -> list[Pull]:
        """The best pull, those hardly worse, and a few quite different ones to weigh it against."""
        limit = min(p.cost(self._volume) for p in pulls) + dearer
        near = [p for p in pulls if p.cost(self._volume) <= limit]
        good = different(near, APART_DEG)[:most]
        same = len(different(good, OTHERS_APART_DEG))
        return good + different([*good, *pulls], OTHERS_APART_DEG)[same:][:N_OTHERS]

    def _round(self, pull: Pull, best: Pull) -> list[WayUp]:
        """All ways up square to a pull."""
        way = np.array(pull.direction)
        seen = self.task.seen(way, CELLS_FINE)
        found = []
        for up in _ups(self.finder, way):
            tops = self.tops(up)
            hidden = sum(is_hidden(seen, top, up, self.half_width_mm) for top in tops)
            found.append(self._way(pull, up, tops, best, hidden))
        return found

    def _way(self, pull: Pull, up: FloatArray, tops: FloatArray, best: Pull, hidden: int) -> WayUp:
        cost = pull.cost(self._volume)
        return WayUp(
            up=(float(up[0]), float(up[1]), float(up[2])),
            pull=replace(pull, hidden=hidden),
            connections=max(len(tops), 1),
            height_mm=float(np.ptp(self.finder.outermost @ up)),
            cost=cost,
            cost_over=int(max(cost - best.cost(self._volume), 0.0) / CLASS),
        )

    def tops(self, up: FloatArray) -> FloatArray:
        """High points of the resin poured along up, (3,): a channel for each, (k, 3) [mm]."""
        pockets = self.finder.find(up, Liquid.RESIN, self.job.channels.limit_mm3).pockets
        return np.array([p.point_mm for p in pockets]).reshape(-1, 3)

    def _looked_at(self, rows: list[WayUp]) -> list[WayUp]:
        """The best that differ, leant and with their gate measured, in their new order."""
        first = differing(rows, UPS_APART_DEG)[:LOOKED_AT]
        looked = sorted((self._close(way) for way in first), key=lambda way: way.rank)
        rest = [way for way in rows if not any(way is other for other in first)]
        return [*looked, *rest]

    def _close(self, way: WayUp) -> WayUp:
        up = np.array(way.up)
        tops = self.tops(up)
        steady = self.finder.is_steady(
            up, tops, self.job.channels.limit_mm3, self.job.level_error_deg
        )
        area = self._gate_mm2(up, tops)
        neck = math.pi * (self.job.channels.neck_mm / 2.0) ** 2
        return replace(way, is_steady=steady, gate_mm2=area, is_ample=area >= AMPLE_NECKS * neck)

    def _gate_mm2(self, up: FloatArray, tops: FloatArray) -> float:
        """Section under the amplest of the high points [mm²]."""
        way = np.array([unit_vector(np.cross(up, np.eye(3)[int(np.abs(up).argmin())]))])
        frame = np.vstack([way, np.cross(up, way), [up]])
        part = Solid.from_mesh(self.finder.mesh.moved(placement(frame)))
        return max((_section_mm2(part, frame @ top) for top in tops), default=0.0)


def differing(rows: Sequence[WayUp], apart_deg: float) -> list[WayUp]:
    """The first of those that lie much alike with the same pull."""
    apart, kept = math.cos(math.radians(apart_deg)), list[WayUp]()
    for row in rows:
        if not any(
            np.dot(row.up, k.up) > apart
            and abs(np.dot(row.pull.direction, k.pull.direction)) > apart
            for k in kept
        ):
            kept.append(row)
    return kept


def _section_mm2(part: Solid, top: FloatArray) -> float:
    """Area of the piece of the part's section that lies under a high point [mm²]."""
    cut = shadow_of(part.section(float(top[2]) - UNDER_MM))
    here = shapely.Point(top[:2])
    pieces = shapely.get_parts(cut)
    return float(min(pieces, key=here.distance).area) if len(pieces) else 0.0


def _ups(finder: PocketFinder, pull: FloatArray) -> list[FloatArray]:
    """Ways up square to a pull, all round: even ones, and those across and along flat faces."""
    own = finder.frame[int(np.abs(finder.frame @ pull).argmin())]
    across = unit_vector(np.cross(pull, own))
    along = np.cross(pull, across)
    turns = np.arange(N_UPS) * (2.0 * math.pi / N_UPS)
    even = [math.cos(a) * across + math.sin(a) * along for a in turns]
    flats = [n for n in flat_directions(finder.mesh) if abs(n @ pull) < _ALIKE]
    return [*flats, *even]
