"""Which pictures a mold set gets."""

from __future__ import annotations

from collections.abc import Callable

from moldgen.build.nouns import MoldSet
from moldgen.report.box_views import assembled_view, exploded_view
from moldgen.report.paper import Paper
from moldgen.report.pose_view import pose_view
from moldgen.report.section_view import section_view

Progress = Callable[[str, float], None]

VIEWS: dict[str, Callable[[MoldSet], Paper]] = {
    "pose.png": lambda mold_set: pose_view(mold_set.plan),
    "assembled.png": assembled_view,
    "exploded.png": exploded_view,
    "section.png": section_view,
}


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
        PNG files by name: "pose.png", "assembled.png", "exploded.png", "section.png";
        1600 px wide and as high as they need to be, at most 1200 px.
    """
    tell = progress or (lambda _label, _share: None)
    drawn = {}
    for k, (name, view) in enumerate(VIEWS.items()):
        tell(f"drawing {name}", k / len(VIEWS))
        drawn[name] = view(mold_set).png()
    return drawn
