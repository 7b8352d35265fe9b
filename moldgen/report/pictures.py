"""Which pictures a mold set gets."""

from __future__ import annotations

from collections.abc import Callable

from moldgen.build.nouns import MoldSet
from moldgen.report.box_views import assembled_view, exploded_view
from moldgen.report.draft_view import draft_view
from moldgen.report.opened_view import opened_view
from moldgen.report.paper import Paper
from moldgen.report.pose_view import pose_view
from moldgen.report.seam_view import seam_view
from moldgen.report.section_view import section_view

Progress = Callable[[str, float], None]

VIEWS: dict[str, Callable[[MoldSet], Paper]] = {
    "pose.png": lambda mold_set: pose_view(mold_set.plan),
    "assembled.png": assembled_view,
    "exploded.png": exploded_view,
    "section.png": section_view,
}
OF_HALVES: dict[str, Callable[[MoldSet], Paper]] = {
    "seam.png": seam_view,
    "opened.png": opened_view,
}
RIGID: dict[str, Callable[[MoldSet], Paper]] = {
    "pose.png": VIEWS["pose.png"],
    "draft.png": draft_view,
    "opened.png": opened_view,
    "section.png": section_view,
}


def views_of(mold_set: MoldSet) -> dict[str, Callable[[MoldSet], Paper]]:
    """The pictures of a mold set by file name; one in two halves is shown open as well."""
    if mold_set.plan.rigid:
        return RIGID
    return VIEWS | OF_HALVES if mold_set.plan.two_part else VIEWS


def draw_pictures(mold_set: MoldSet, progress: Progress | None = None) -> dict[str, bytes]:
    """Draw every picture of a mold set.

    Parameters
    ----------
    mold_set : MoldSet
    progress : callable, optional
        Called with (label, share done).

    Returns
    -------
    dict
        PNG files by name: "pose.png", "assembled.png", "exploded.png", "section.png", and
        "seam.png" and "opened.png" of a mold in halves; 1600 px wide and as high as they need to
        be, at most 1200 px.
    """
    tell = progress or (lambda _label, _share: None)
    drawn, views = {}, views_of(mold_set)
    for k, (name, view) in enumerate(views.items()):
        tell(f"drawing {name}", k / len(views))
        drawn[name] = view(mold_set).png()
    return drawn
