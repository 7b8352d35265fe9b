"""Which of the ways to lie and come apart is taken: the first through which the resin's pour goes.

A way that looks best may fail when its channels are laid: no vent fits between the halves, or the
resin gels in a narrow gate. Then the next one that differs is tried.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from moldgen.errors import PlanError
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.plan.channel_notes import point_text
from moldgen.plan.no_way import NoWayError
from moldgen.plan.pull import different
from moldgen.plan.resin_pour import ResinPour, plan_resin_pour
from moldgen.plan.two_part_nouns import Considered
from moldgen.plan.two_part_pose import Lie
from moldgen.plan.ways_up import WayUp, differing

Progress = Callable[[str, float], None]

MOST_TRIED = 4
APART_DEG = 20.0  # what failed is not tried again nearer than this
MOST_SHOWN = 5


@dataclass(frozen=True, eq=False)
class Settled:
    """The way taken, the resin's pour in it, and what it was weighed against."""

    lie: Lie
    pour: ResinPour
    considered: tuple[Considered, ...]


def settle_lie(
    part: Part,
    job: Job,
    lies: Sequence[Lie],
    progress: Progress | None = None,
    *,
    up_is_given: bool = False,
) -> Settled:
    """Lay the channels in the best way; where that fails, in the next that differs.

    Parameters
    ----------
    part : Part
    job : Job
    lies : sequence of Lie
        Best first.
    progress : callable, optional
        Called with (label, share done).
    up_is_given : bool
        Whether the maker gave the way up, so that leaving it open may help.

    Raises
    ------
    PlanError
        If none of those tried goes; it tells why the best one does not.
    """
    refused: list[_Refused] = []
    differing_lies = _differing(lies)
    for lie in differing_lies:
        if len(refused) == MOST_TRIED:
            break
        if any(other.rules_out(lie) for other in refused):
            continue
        try:
            pour = plan_resin_pour(part, lie.pose, job, progress, in_halves=True)
        except PlanError as error:
            refused.append(_Refused(lie, error))
            continue
        return Settled(lie, pour, _considered(lie, refused, differing_lies))
    raise _refusal(refused[0].error, len(refused), up_is_given) from refused[0].error


@dataclass(frozen=True, eq=False)
class _Refused:
    lie: Lie
    error: PlanError

    def rules_out(self, lie: Lie) -> bool:
        """Whether another lie fails for the same reason: a narrow gate, whatever the pull."""
        near = float(lie.pose.up @ self.lie.pose.up) > math.cos(math.radians(APART_DEG))
        return near and not isinstance(self.error, NoWayError)


def _differing(lies: Sequence[Lie]) -> list[Lie]:
    of = {id(lie.way): lie for lie in lies if lie.way}
    return [of[id(way)] for way in differing([lie.way for lie in lies if lie.way], APART_DEG)]


def _considered(
    taken: Lie, refused: Sequence[_Refused], lies: Sequence[Lie]
) -> tuple[Considered, ...]:
    """The one taken, those that were tried before it, and the next ones."""
    failed = [Considered(r.lie.way, False, str(r.error)) for r in refused if r.lie.way]
    known = {id(taken), *(id(r.lie) for r in refused)}
    rest = [lie.way for lie in lies if lie.way and id(lie) not in known]
    assert taken.way is not None
    others = _of_every_pull(taken.way, rest)[: MOST_SHOWN - 1]
    return (Considered(taken.way, True), *failed, *map(Considered, others))


def _of_every_pull(taken: WayUp, ways: Sequence[WayUp]) -> list[WayUp]:
    """The next best way up, then the best of every other pull, then the rest."""
    pulls, first, later = [taken.pull], list[WayUp](), list[WayUp]()
    for way in ways:
        kept = different([*pulls, way.pull], APART_DEG)
        (first if len(kept) > len(pulls) else later).append(way)
        pulls = kept
    return [*later[:1], *first, *later[1:]]


def _refusal(error: PlanError, tried: int, up_is_given: bool) -> PlanError:
    """The first refusal, told for halves, with how many others failed too, and a cure."""
    text = str(error)
    if isinstance(error, NoWayError):
        place, held = point_text(error.pocket.point_mm), error.pocket.trapped_mm3
        text = (
            f"between the halves no channel reaches the pocket at {place} that would trap "
            f"{held:.0f} mm³: every rising way passes before or behind the part or finds no room; "
            "take another way up, another --pull, thinner vents, or --kind block"
        )
    others = tried - 1
    if others:
        ways = "1 other way" if others == 1 else f"{others} other ways"
        text = f"{text}; {ways} to lie and come apart failed too"
    if up_is_given:
        text = f"{text}; leave the way up open, and moldgen looks for one that goes"
    return PlanError(text)
