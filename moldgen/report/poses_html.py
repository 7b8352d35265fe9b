"""The coat of the pose sheet: one HTML file, nothing fetched."""

from __future__ import annotations

from moldgen.geometry.mesh import Mesh
from moldgen.report.phrases import count
from moldgen.report.poses import PoseCard, pose_cards
from moldgen.report.tags import figures, join, page, plate, remark, section, tag, text
from moldgen.study.ranking import PoseStudy


def poses_sheet(study: PoseStudy, mesh: Mesh) -> str:
    """The ranked poses of a part as one self-contained HTML page.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    """
    cards = pose_cards(study, mesh)
    return page("Poses", _poses(study, cards))


_CLAIMS = {
    "fewest possible": "the fewest connections possible",
    "best found": "the fewest connections found",
}


def _poses(study: PoseStudy, cards: tuple[PoseCard, ...]) -> str:
    lead = (
        f"{count(len(cards), 'pose')} out of {study.directions} directions tried, best first. "
        f"The first has {_CLAIMS[study.claim]}, counting pockets above {study.limit_mm3:g} mm³. "
        "At each high point air would stay: one of them takes the gate, each other one a vent."
    )
    head = tag("header", text("h1", "Poses") + text("p", lead, "sub"))
    return join([head, *(_card(c) for c in cards)])


def _card(card: PoseCard) -> str:
    picture = plate(f"Pose {card.rank} as it lies while resin is poured.", card.png)
    remarks = [remark(f.grade.value, f.text, "") for f in card.findings]
    found = tag("ul", "".join(remarks), "remarks") if remarks else ""
    return section(f"Pose {card.rank}", picture + figures(card.figures, "answers") + found)
