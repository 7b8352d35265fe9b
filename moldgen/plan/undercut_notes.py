"""What undercuts ask of the rubber, and of whoever takes the mold off."""

from __future__ import annotations

import math

from moldgen.errors import Finding, Grade
from moldgen.materials.kinds import MoldRubber
from moldgen.plan.channel_notes import point_text
from moldgen.plan.undercut import Undercut

BORNE_SHARE = 1.0 / 3.0  # of the strain at break, again and again: common practice, no source
BORNE_ONCE = 1.0 / 2.0  # and once: common practice, no source


def undercut_findings(
    undercuts: tuple[Undercut, ...], rubber: MoldRubber, loops: tuple[int, int] = (0, 0)
) -> tuple[Finding, ...]:
    """What the maker has to know of undercuts.

    Parameters
    ----------
    undercuts : tuple of Undercut
        Points in the casting frame.
    rubber : MoldRubber
    loops : (int, int)
        How often each half closes round the part.

    Notes
    -----
    Rubber bears a third of its strain at break again and again, a half once (common practice, no
    source). The thickness of the rubber changes the force, hardly the strain.
    """
    closed = _closed(undercuts, sum(loops))
    found = [*_cut_open(closed, loops), *(_shut_in(u) for u in undercuts if math.isinf(u.depth_mm))]
    if rubber.elongation_percent is None:
        return tuple(found)
    at_break = rubber.elongation_percent / 100.0
    others = [u for u in undercuts if u not in closed and not math.isinf(u.depth_mm)]
    hard = [u for u in others if u.strain > BORNE_SHARE * at_break]
    easy = [u for u in others if u not in hard]
    return (*found, *(_hard(u, at_break) for u in hard), *_easy(easy, at_break))


def _closed(undercuts: tuple[Undercut, ...], count: int) -> list[Undercut]:
    """The undercuts in which the rubber most likely closes round the part."""
    likely = [u for u in undercuts if not math.isinf(u.depth_mm)]
    return sorted(likely, key=lambda u: (not u.is_bridge, -u.volume_mm3))[:count]


def _cut_open(closed: list[Undercut], loops: tuple[int, int]) -> list[Finding]:
    """Rubber that closes round the part: no stretch frees it."""
    if not sum(loops):
        return []
    pairs = [(name, count) for name, count in zip("AB", loops, strict=True) if count]
    halves = " and ".join(f"half {n} closes round the part {_times(k)}" for n, k in pairs)
    near = ", ".join(point_text(u.point) for u in closed)
    where = f", near {near}" if closed else ""
    return [
        Finding(
            Grade.CAUTION,
            f"{halves}{where}: the rubber has to be cut there to open the "
            "mold; fill those holes with wax and drill the casting, or give another --pull",
            float(sum(loops)),
            0.0,
        )
    ]


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _shut_in(cut: Undercut) -> Finding:
    return Finding(
        Grade.STOP,
        f"a hollow at {point_text(cut.point)}, {cut.volume_mm3:.0f} mm³, is shut in along the "
        "pull: no rubber comes out of it; fill it before molding, or give another --pull",
    )


def _hard(cut: Undercut, at_break: float) -> Finding:
    again, once = BORNE_SHARE * at_break, BORNE_ONCE * at_break
    grade = Grade.CAUTION if cut.strain <= once else Grade.STOP
    few = "expect few castings" if grade is Grade.CAUTION else "it tears"
    return Finding(
        grade,
        f"an undercut at {point_text(cut.point)}, {cut.volume_mm3:.0f} mm³ and {cut.depth_mm:.1f} "
        f"mm deep, stretches the rubber by up to {100 * cut.strain:.0f} % when the halves are "
        f"drawn off; it bears {_borne(at_break)}: {few}; take another --pull or a rubber that "
        "stretches more, or cut the rubber there",
        cut.strain,
        again if grade is Grade.CAUTION else once,
    )


def _borne(at_break: float) -> str:
    again, once = BORNE_SHARE * at_break, BORNE_ONCE * at_break
    return (
        f"{100 * again:.0f} % again and again and {100 * once:.0f} % once, a third and a half of "
        "its stretch at break (common practice)"
    )


def _easy(cuts: list[Undercut], at_break: float) -> list[Finding]:
    """One note for all that the rubber bears: the one that asks most."""
    if not cuts:
        return []
    worst = max(cuts, key=lambda u: u.strain)
    others = f", and {len(cuts) - 1} lesser" if len(cuts) > 1 else ""
    return [
        Finding(
            Grade.NOTE,
            f"an undercut at {point_text(worst.point)}, {worst.depth_mm:.1f} mm deep{others}, "
            f"stretches the rubber by up to {100 * worst.strain:.0f} % when the halves are drawn "
            f"off; it bears {_borne(at_break)}",
            worst.strain,
            BORNE_SHARE * at_break,
        )
    ]
