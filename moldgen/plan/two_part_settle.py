"""Which of the ways to lie and come apart is taken: the first through which the resin's pour goes.

A way that looks best may fail when its channels are laid: no vent fits between the halves, or the
resin gels in a narrow gate. Then the next one that differs is tried.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from moldgen.errors import PlanError
from moldgen.job.job import Job
from moldgen.part.part import Part
from moldgen.plan.no_way import NoWayError
from moldgen.plan.resin_pour import ResinPour, plan_resin_pour
from moldgen.plan.two_part_nouns import Considered
from moldgen.plan.two_part_pose import Lie
from moldgen.plan.ways_up import differing

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
    part: Part, job: Job, lies: Sequence[Lie], progress: Progress | None = None
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

    Raises
    ------
    PlanError
        If none of those tried goes; it tells why the best one does not.
    """
    first: PlanError | None = None
    shown = _differing(lies)
    refused: dict[int, str] = {}
    for n, lie in enumerate(shown[:MOST_TRIED]):
        try:
            pour = plan_resin_pour(part, lie.pose, job, progress, in_halves=True)
        except PlanError as error:
            first, refused[n] = first or error, str(error)
            continue
        return Settled(lie, pour, _considered(shown, refused))
    assert first is not None
    raise _refusal(first, len(refused)) from first


def _differing(lies: Sequence[Lie]) -> list[Lie]:
    of = {id(lie.way): lie for lie in lies if lie.way}
    return [of[id(way)] for way in differing([lie.way for lie in lies if lie.way], APART_DEG)]


def _considered(shown: Sequence[Lie], refused: dict[int, str]) -> tuple[Considered, ...]:
    last = max(MOST_SHOWN, len(refused) + 1)
    return tuple(
        Considered(lie.way, refused.get(n, "")) for n, lie in enumerate(shown[:last]) if lie.way
    )


def _refusal(error: PlanError, tried: int) -> PlanError:
    """The first refusal, told for halves, with how many others failed too."""
    text = str(error)
    if isinstance(error, NoWayError):
        text = f"between the halves {text}, another --pull, or --kind block"
    others = tried - 1
    if others:
        ways = "1 other way" if others == 1 else f"{others} other ways"
        text = f"{text}; {ways} to lie and come apart failed too"
    return PlanError(text)
