"""The coat of the pose sheet: one HTML file, nothing fetched."""

from __future__ import annotations

import math

from moldgen.geometry.mesh import Mesh
from moldgen.job.job import Job
from moldgen.job.ranking import Criterion
from moldgen.report.phrases import Figure, count
from moldgen.report.poses import Map, PoseCard, direction_map, pose_cards
from moldgen.report.reasons import Choice, choices
from moldgen.report.tags import figures, image, join, page, plate, remark, section, tag, text
from moldgen.study.ranking import PoseStudy


def poses_sheet(study: PoseStudy, mesh: Mesh, job: Job, name: str) -> str:
    """The ranked poses of a part as one self-contained HTML page.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    job : Job
        What the study was made for.
    name : str
        What the part is called.
    """
    cards = pose_cards(study, mesh, job)
    body = [
        tag("header", text("h1", f"{name}: which way up?") + text("p", _INTRODUCTION, "sub")),
        _verdict(cards[0], choices(study)),
        section("The poses side by side", _table(cards, job) + _notes(study, job)),
        section("All directions on one map", _map(direction_map(study, mesh)), "map"),
        *(_card(c) for c in cards),
    ]
    return page(f"{name}: poses", join(body))


NO_BREAK = "\N{NO-BREAK SPACE}"
_INTRODUCTION = (
    "A pose is the way up in which the part is cast. Resin runs in at the gate and pushes the "
    "air up; it stays at every high point that has no way out. So one high point takes the gate "
    "and each other one a vent. Each leaves a stub to trim, so fewer are better."
)
_READ_THE_MAP = (
    "Each point of a disc is a direction of the part; where it is light, few connections suffice "
    "if that direction points up. The small parts round the rim show how the part stands at "
    "those places; the black flags are the ranked poses. How far a pose may lean is not on the "
    "map but in the table."
)
_ON_THE_MAP = (
    "Each direction carries the count of the nearest one tried, on a lighter copy of the part "
    "where it is large; the figures of the ranked poses are counted on the whole part."
)


def _verdict(best: PoseCard, others: tuple[Choice, ...]) -> str:
    """The pose to take, and why, and when to take another one."""
    words = tag("p", text("b", f"Take pose {best.rank}.") + " " + text("span", best.reason))
    cases = [tag("p", text("b", c.case) + ", " + text("span", f"{c.advice}.")) for c in others]
    picture = image(best.thumb, f"Pose {best.rank}", "thumb")
    return tag("div", picture + tag("div", words + join(cases)), "verdict")


def _table(cards: tuple[PoseCard, ...], job: Job) -> str:
    """The figures of each pose in one row, and below them why it stands there."""
    heads = [_head(f, job) for f in _shown(cards[0])]
    head = tag("thead", tag("tr", "".join(text("th", h) for h in ("pose", *heads))))
    return tag("div", tag("table", head + join(_rows(c) for c in cards), "poses"), "wide")


def _shown(card: PoseCard) -> tuple[Figure, ...]:
    """The figures worth comparing: all but the undercut and the direction, which are last."""
    return card.figures[:-2]


def _head(figure: Figure, job: Job) -> str:
    if figure.name == "may lean by":
        return f"{figure.name} (▲ your bench, {job.level_error_deg:g}°)"
    return figure.name


def _rows(card: PoseCard) -> str:
    rank, thumb = text("b", str(card.rank), "rank"), image(card.thumb, "", "thumb")
    link = tag("a", rank + thumb, href=f"#pose-{card.rank}")
    which = tag("td", link, "which", rowspan="2")
    cells = "".join(_cell(card, f) for f in _shown(card))
    words = "The pose to take: see above." if card.rank == 1 else card.reason
    reason = tag("td", text("span", words), "why", colspan=str(len(_shown(card))))
    return tag("tbody", tag("tr", which + cells) + tag("tr", reason))


def _cell(card: PoseCard, figure: Figure) -> str:
    inner = text("b", figure.value.replace(" ", NO_BREAK))
    if figure.name == "connections":
        inner = text("b", figure.value, "big") + " " + text("span", figure.note, "ease")
    elif figure.name == "may lean by":
        inner += " " + text("span", figure.note, "ease") + image(card.scale, "", "scale")
    return tag("td", inner, data_name=figure.name)


def _notes(study: PoseStudy, job: Job) -> str:
    """What was tried, what was counted, how it was ranked, how to take a pose."""
    said = (
        f"{study.directions} directions were tried; {count(len(study.poses), 'pose')} that differ "
        f"are shown. {_claim(study)} Pockets below {study.limit_mm3:g} mm³ are not counted. Poses "
        f"that stand a bench off by {job.level_error_deg:g}° come first; then counts, in this "
        f"order: {', '.join(_order(job))}. To make the mold for pose N, give --pose N to moldgen "
        "make."
    )
    return text("p", said, "note")


_CRITERIA = {
    Criterion.SCARS: "few marks on faces that show",
    Criterion.CONNECTIONS: "few connections",
    Criterion.AIR: "little air under the rubber",
    Criterion.EASE: "easy leveling",
    Criterion.BULK: "low height and little rubber",
}


def _order(job: Job) -> list[str]:
    """What poses are ranked by, in words; scars count only where faces are marked."""
    order = [c for c in job.ranking.order if c is not Criterion.SCARS or job.show_faces]
    return [_CRITERIA[c] for c in order]


def _claim(study: PoseStudy) -> str:
    """What is known about the least number of connections."""
    if min(p.connections for p in study.poses) == 1:
        return "No pose can need fewer connections than one."
    if study.claim == "fewest possible":
        return "Pose 1 has the fewest connections possible."
    known = math.floor(100.0 * (1.0 - study.open_share))
    if known:
        proven = f"Of {known} % of all directions it is known that they need no fewer than pose 1"
        return f"{proven}; of the rest only those tried."
    return "A direction that was not tried may need fewer connections."


def _map(drawn: Map) -> str:
    halves = join(plate(caption, png) for caption, png in drawn.halves)
    key = [tag("li", image(png, "", "swatch") + text("span", words)) for words, png in drawn.key]
    return join(
        [
            text("p", _READ_THE_MAP),
            tag("ul", join(key), "key"),
            tag("div", halves, "halves"),
            text("p", _ON_THE_MAP, "note"),
        ]
    )


def _card(card: PoseCard) -> str:
    head = tag("h2", f"Pose {card.rank}", id=f"pose-{card.rank}") + text("p", card.reason)
    gauge = image(card.gauge, f"Lean gauge of pose {card.rank}", "gauge")
    side = figures(card.figures, "facts") + gauge
    both = plate(card.caption, card.png) + tag("div", side)
    found = join(remark(f.grade.value, f.text) for f in card.findings)
    remarks = tag("ul", found, "remarks") if found else ""
    return tag("section", head + tag("div", both, "halves") + remarks, "pose")
