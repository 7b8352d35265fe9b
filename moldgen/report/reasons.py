"""Why each pose stands where it does, in one plain sentence, from the figures alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.report.phrases import UNKNOWN, count
from moldgen.study.judge import trapped_mm3
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.search import EASY

MOST_LEAN_DEG = 20.0  # no greater lean is tried
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


def lean_words(lean_deg: float | None) -> str:
    """A tilt tolerance as people read it [deg]."""
    if lean_deg is None:
        return UNKNOWN
    return f"{MOST_LEAN_DEG:g}° or more" if lean_deg >= MOST_LEAN_DEG else f"{lean_deg:.1f}°"


def ease(lean_deg: float | None, level_error_deg: float) -> str:
    """How a pose takes the bench's own error, in two or three words; both angles [deg]."""
    if lean_deg is None:
        return UNKNOWN
    if lean_deg < level_error_deg:
        return "not on this bench"
    return "easy to level" if lean_deg >= EASY * level_error_deg else "level it with care"


def reasons(study: PoseStudy, level_error_deg: float) -> Said:
    """One sentence for each ranked pose: what put it there, and what speaks for it.

    Parameters
    ----------
    study : PoseStudy
    level_error_deg : float
        How far off level the bench may be [deg].
    """
    if not study.poses:
        return ()
    first = study.poses[0]
    others = (_against(pose, first, level_error_deg) for pose in study.poses[1:])
    return (_of_the_first(study, level_error_deg), *others)


def choices(study: PoseStudy) -> tuple[Choice, ...]:
    """Poses to prefer to the first one where faces show, the bench is poor or rubber is dear."""
    first = study.poses[0]
    rivals = [p for p in study.poses[1:] if p.connections == first.connections]
    found = []
    cleanest = min(study.poses, key=lambda p: p.scars)
    if cleanest.scars < first.scars:
        marks = f"{count(cleanest.scars, 'mark') if cleanest.scars else 'no mark'} there"
        advice = f"take pose {_rank(study, cleanest)}: {marks} instead of {first.scars}"
        found.append(Choice("If the show faces must stay clean", advice))
    steadiest = max(rivals, key=_lean, default=first)
    if _lean(steadiest) >= STEADIER * _lean(first) and first.tilt_tolerance_deg is not None:
        may = f"it may lean {lean_words(steadiest.tilt_tolerance_deg)} instead of "
        advice = f"take pose {_rank(study, steadiest)}: {may}{lean_words(first.tilt_tolerance_deg)}"
        found.append(Choice("If your bench is hard to level", advice))
    leanest = min(rivals, key=lambda p: p.rubber_mm3, default=first)
    saved = 1.0 - leanest.rubber_mm3 / first.rubber_mm3
    if saved >= MUCH:
        advice = f"take pose {_rank(study, leanest)}: {_percent(saved)} less"
        found.append(Choice("If rubber is dear", advice))
    return tuple(found)


def _rank(study: PoseStudy, pose: RankedPose) -> int:
    return next(i for i, p in enumerate(study.poses, start=1) if p is pose)


def _lean(pose: RankedPose) -> float:
    return pose.tilt_tolerance_deg or 0.0


def _of_the_first(study: PoseStudy, level_error_deg: float) -> str:
    first = study.poses[0]
    air = trapped_mm3(first.rubber)
    kept = [f"{air:.0f} mm³ of air stays under the rubber"] if air else []
    marks = [f"{first.scars} of them on faces that show"] if first.scars else []
    parts = [_fewness(study, level_error_deg), *marks, _levelling(first, level_error_deg), *kept]
    return "; ".join([*parts, *_least_of(study)]) + "."


def _fewness(study: PoseStudy, level_error_deg: float) -> str:
    """How its connections compare with all that was counted."""
    first = study.poses[0]
    n = first.connections
    if n == 1:
        return "One connection, the gate alone, so no vent to make or to trim"
    need = count(n, "connection").capitalize()
    if n > min(p.connections for p in study.poses) and _lean(first) >= level_error_deg:
        return f"{need}, the fewest of the poses here that your bench can hold level"
    if n > min(study.tried.connections.min(), *(p.connections for p in study.poses)):
        return f"{need}"
    return f"{need}, the fewest {'possible' if study.claim == 'fewest possible' else 'found'}"


def _levelling(pose: RankedPose, level_error_deg: float) -> str:
    lean = pose.tilt_tolerance_deg
    if lean is None:
        return "how far it may lean was not computed"
    bench = f"what your bench may be off ({level_error_deg:g}°)"
    if lean < level_error_deg:
        return f"but a lean of {lean:.2f}° shuts in more air, less than {bench}"
    if lean < 2.0 * level_error_deg or level_error_deg == 0.0:
        return f"it may lean {lean_words(lean)}, more than {bench}"
    return (
        f"it may lean {lean_words(lean)}, over {math.floor(lean / level_error_deg)} times {bench}"
    )


def _least_of(study: PoseStudy) -> Said:
    """Its height and rubber, where they are the least among poses with as few connections."""
    first, *others = (p for p in study.poses if p.connections == study.poses[0].connections)
    if not others:
        return ()
    lowest = all(first.height_mm <= p.height_mm for p in others)
    least = all(first.rubber_mm3 <= p.rubber_mm3 for p in others)
    words = ["the lowest"] * lowest + ["the least rubber"] * least
    return (f"{' and '.join(words)} of those with as few",) if words else ()


def _against(pose: RankedPose, first: RankedPose, level_error_deg: float) -> str:
    worse, better = _differences(pose, first, level_error_deg, MUCH)
    if not worse and pose.connections <= first.connections:
        worse = _differences(pose, first, level_error_deg, SOME)[0]
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
    pose: RankedPose, first: RankedPose, level_error_deg: float, worth: float
) -> tuple[Said, Said]:
    """What is worse than in the first pose, and what is better, weightiest first."""
    air = _air(pose, first)
    lean = _leaning(pose, first, level_error_deg)
    taller = pose.height_mm / first.height_mm - 1.0
    tall = _share(taller, worth, "is {} taller", "is {} lower")
    more = pose.rubber_mm3 / first.rubber_mm3 - 1.0
    rubber = _share(more, worth, "needs {} more rubber", "needs {} less rubber")
    said = [_scarring(pose, first), lean, air, tall, rubber]
    worse = tuple(words for words, is_worse in said if words and is_worse)
    better = tuple(words for words, is_worse in said if words and not is_worse)
    return worse[:MOST_SAID], better[:MOST_SAID]


def _leaning(pose: RankedPose, first: RankedPose, level_error_deg: float) -> tuple[str, bool]:
    one, other = pose.tilt_tolerance_deg, first.tilt_tolerance_deg
    if one is None or other is None:
        return "", False
    if one < level_error_deg <= other:
        return f"shuts in more air at a lean of {one:.2f}°, and your bench is no better", True
    if one * STEADIER <= other:
        return f"may lean only {lean_words(one)}", True
    if one >= other * STEADIER:
        return f"may lean {lean_words(one)} instead of {lean_words(other)}", False
    return "", False


def _scarring(pose: RankedPose, first: RankedPose) -> tuple[str, bool]:
    mine, theirs = pose.scars, first.scars
    if mine == theirs:
        return "", False
    left = count(mine, "mark") if mine else "no mark"
    return f"leaves {left} on faces that show instead of {theirs or 'none'}", mine > theirs


def _air(pose: RankedPose, first: RankedPose) -> tuple[str, bool]:
    mine, theirs = trapped_mm3(pose.rubber), trapped_mm3(first.rubber)
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
