"""Why each pose stands where it does, in one plain sentence, from the figures alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.report.leaning import Bench, lean_words
from moldgen.report.phrases import count
from moldgen.study.ranking import PoseStudy, RankedPose

MUCH = 0.05  # a difference worth a word, as a share
SOME = 0.01  # the same where nothing differs much
STEADIER = 1.25  # times the lean of another pose: worth a word
MOST_SAID = 2  # of what is worse, and of what is better

Said = tuple[str, ...]


@dataclass(frozen=True)
class Choice:
    """A pose to prefer in a case that the ranking does not know of: "if ...", "take ..."."""

    case: str
    advice: str


def reasons(study: PoseStudy, bench: Bench) -> Said:
    """One sentence for each ranked pose: what put it there, and what speaks for it.

    Parameters
    ----------
    study : PoseStudy
    bench : Bench
    """
    if not study.poses:
        return ()
    first = study.poses[0]
    others = (_against(pose, first, bench) for pose in study.poses[1:])
    return (_of_the_first(study, bench), *others)


def choices(study: PoseStudy) -> tuple[Choice, ...]:
    """Poses to prefer to the first one where faces show, the bench is poor or rubber is dear."""
    first = study.poses[0]
    rivals = [
        p for p in study.poses[1:] if p.connections == first.connections and p.scars <= first.scars
    ]
    found = []
    cleanest = min(study.poses, key=lambda p: p.scars)
    if cleanest.scars < first.scars:
        marks = f"{count(cleanest.scars, 'mark') if cleanest.scars else 'no mark'} there"
        advice = f"take pose {_rank(study, cleanest)}: {marks} instead of {first.scars}"
        found.append(Choice("If the show faces must stay clean", advice))
    steadiest = max(rivals, key=_lean, default=first)
    if first.tilt_tolerance_deg is not None and _is_steadier(steadiest, first):
        instead = f"{_lean_said(steadiest)} instead of {_lean_said(first)}"
        advice = f"take pose {_rank(study, steadiest)}: it may lean {instead}"
        found.append(Choice("If your bench is hard to level", advice))
    leanest = min(rivals, key=lambda p: p.rubber_mm3, default=first)
    saved = 1.0 - leanest.rubber_mm3 / first.rubber_mm3
    if saved >= MUCH:
        advice = f"take pose {_rank(study, leanest)}: {_percent(saved)} less"
        found.append(Choice("If rubber is dear", advice))
    return tuple(found)


def _rank(study: PoseStudy, pose: RankedPose) -> int:
    return next(i for i, p in enumerate(study.poses, start=1) if p is pose)


def _is_steadier(one: RankedPose, other: RankedPose) -> bool:
    """Whether one may lean so much farther than another that it is worth a word."""
    return _lean(one) > _lean(other) and _lean(one) >= STEADIER * _lean(other)


def _lean_said(pose: RankedPose) -> str:
    return lean_words(pose.tilt_tolerance_deg)


def _lean(pose: RankedPose) -> float:
    return pose.tilt_tolerance_deg or 0.0


def _of_the_first(study: PoseStudy, bench: Bench) -> str:
    first = study.poses[0]
    air = first.rubber.held_mm3
    kept = [f"{air:.0f} mm³ of air stays under the rubber"] if air else []
    marks = [f"{first.scars} of them on faces that show"] if first.scars else []
    parts = [_fewness(study, bench), *marks, _leveling(first, bench), *kept]
    return "; ".join([*parts, *_least_of(study)]) + "."


def _fewness(study: PoseStudy, bench: Bench) -> str:
    """How its connections compare with all that was counted."""
    first = study.poses[0]
    n = first.connections
    if n == 1:
        return "One connection, the gate alone, so no vent to make or to trim"
    need = count(n, "connection")
    fewer = [p for p in study.poses if p.connections < n]
    if fewer and _lean(first) >= bench.off_deg > max(map(_lean, fewer)):
        return f"{need}, the fewest of the poses here that your bench can hold level"
    if fewer and first.scars < min(p.scars for p in fewer):
        return f"{need}, the fewest of the poses here with so few marks on faces that show"
    if fewer or n > study.tried.connections.min():
        return need
    return f"{need}, the fewest {'possible' if study.claim == 'fewest possible' else 'found'}"


def _leveling(pose: RankedPose, bench: Bench) -> str:
    lean = pose.tilt_tolerance_deg
    if lean is None:
        return "how far it may lean was not computed"
    your = f"what your bench may be off ({bench.off_deg:g}°)"
    if lean < bench.off_deg:
        return f"but a lean of {lean:.2f}° shuts in more air, less than {your}"
    if lean < 2.0 * bench.off_deg or bench.off_deg == 0.0:
        return f"it may lean {lean_words(lean)}, more than {your}"
    return f"it may lean {lean_words(lean)}, over {math.floor(lean / bench.off_deg)} times {your}"


def _least_of(study: PoseStudy) -> Said:
    """Its height and rubber, where they are the least among poses with as few connections."""
    first, *others = (p for p in study.poses if p.connections == study.poses[0].connections)
    if not others:
        return ()
    lowest = all(first.height_mm <= p.height_mm for p in others)
    least = all(first.rubber_mm3 <= p.rubber_mm3 for p in others)
    words = ["the lowest"] * lowest + ["the least rubber"] * least
    return (f"{' and '.join(words)} of those with as few",) if words else ()


def _against(pose: RankedPose, first: RankedPose, bench: Bench) -> str:
    worse, better = _differences(pose, first, bench, MUCH)
    if not worse and pose.connections <= first.connections:
        worse = _differences(pose, first, bench, SOME)[0]
    head = _connections(pose.connections - first.connections)
    joint = "but" if pose.connections <= first.connections else "and"
    tail = f", {joint} it {' and '.join(worse)}" if worse else ""
    if not worse and not better:
        tail = " and much the same otherwise"
    return head + tail + (f"; in return it {' and '.join(better)}" if better else "") + "."


def _connections(more: int) -> str:
    if more > 0:
        return f"{count(more, 'more connection')} than pose 1"
    if more < 0:
        return f"{count(-more, 'connection')} fewer than pose 1"
    return "As few connections as pose 1"


def _differences(
    pose: RankedPose, first: RankedPose, bench: Bench, worth: float
) -> tuple[Said, Said]:
    """What is worse than in the first pose, and what is better, weightiest first."""
    air = _air(pose, first)
    lean = _leaning(pose, first, bench)
    taller = pose.height_mm / first.height_mm - 1.0
    tall = _share(taller, worth, "is {} taller", "is {} lower")
    more = pose.rubber_mm3 / first.rubber_mm3 - 1.0
    rubber = _share(more, worth, "needs {} more rubber", "needs {} less rubber")
    said = [_scarring(pose, first), lean, air, tall, rubber]
    worse = tuple(words for words, is_worse in said if words and is_worse)
    better = tuple(words for words, is_worse in said if words and not is_worse)
    return worse[:MOST_SAID], better[:MOST_SAID]


def _leaning(pose: RankedPose, first: RankedPose, bench: Bench) -> tuple[str, bool]:
    if pose.tilt_tolerance_deg is None or first.tilt_tolerance_deg is None:
        return "", False
    one = pose.tilt_tolerance_deg
    if one < bench.off_deg <= first.tilt_tolerance_deg:
        return f"shuts in more air at a lean of {one:.2f}°, and your bench is no better", True
    if _is_steadier(first, pose):
        return f"may lean only {_lean_said(pose)}", True
    if _is_steadier(pose, first):
        return f"may lean {_lean_said(pose)} instead of {_lean_said(first)}", False
    return "", False


def _scarring(pose: RankedPose, first: RankedPose) -> tuple[str, bool]:
    mine, theirs = pose.scars, first.scars
    if mine == theirs:
        return "", False
    left = count(mine, "mark") if mine else "no mark"
    return f"leaves {left} on faces that show instead of {theirs or 'none'}", mine > theirs


def _air(pose: RankedPose, first: RankedPose) -> tuple[str, bool]:
    mine, theirs = pose.rubber.held_mm3, first.rubber.held_mm3
    if mine > theirs * (1.0 + MUCH):
        return f"keeps {mine:.0f} mm³ of air under the rubber", True
    if theirs > mine * (1.0 + MUCH):
        rest = f"{mine:.0f} mm³ of air" if mine else "no air"
        return f"keeps {rest} under the rubber instead of {theirs:.0f} mm³", False
    return "", False


def _share(more: float, worth: float, up: str, down: str) -> tuple[str, bool]:
    if abs(more) < worth:
        return "", False
    return (up if more > 0.0 else down).format(_percent(abs(more))), more > 0.0


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"
