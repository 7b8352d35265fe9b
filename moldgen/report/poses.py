"""The content of the pose sheet: a card for each ranked pose, and the map of directions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.errors import Finding
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.job.job import Arrangement, Job
from moldgen.report.drawing import INK
from moldgen.report.lean_gauge import lean_gauge
from moldgen.report.leaning import Bench, lean_words
from moldgen.report.map_view import RADIUS_PX, axis_name, map_view
from moldgen.report.paper import Paper
from moldgen.report.phrases import UNKNOWN, Figure, count, mm
from moldgen.report.ranked_view import Stage, caption, ranked_view
from moldgen.report.reasons import reasons
from moldgen.report.small_view import thumbnail
from moldgen.report.sphere_map import FROM_ABOVE, FROM_BELOW, Band, bands, disc_counts
from moldgen.study.lighter import lighter
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.units import MM3_PER_CM3

SWATCH_PX = (60, 40)
_CARRIED = {
    Arrangement.STANDING: "molded upside down, on formers",
    Arrangement.HUNG: "molded hung, this way up",
}


@dataclass(frozen=True, eq=False)
class PoseCard:
    """One pose on the sheet: its pictures, its figures, why it stands there, what was found.

    `gauge` is the lean gauge with its figures, `scale` the same without.
    """

    rank: int
    png: bytes
    thumb: bytes
    caption: str
    gauge: bytes
    scale: bytes
    reason: str
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class Map:
    """The map of directions: a picture of each half with its caption, and the key to its tones."""

    halves: tuple[tuple[str, bytes], ...]
    key: tuple[tuple[str, bytes], ...]


def pose_cards(study: PoseStudy, mesh: Mesh, job: Job) -> tuple[PoseCard, ...]:
    """A card for each ranked pose, best first.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    job : Job
        What the study was made for.
    """
    light, bench = lighter(mesh), Bench.of(job)
    scarred = bool(job.show_faces) or any(p.scars for p in study.poses)
    said = zip(study.poses, reasons(study, bench), strict=True)
    cards = []
    for rank, (pose, reason) in enumerate(said, start=1):
        stage, lean = Stage.of(pose, mesh), pose.tilt_tolerance_deg
        cards.append(
            PoseCard(
                rank=rank,
                png=ranked_view(pose, stage).png(),
                caption=caption(pose, stage),
                thumb=thumbnail(pose, light).png(),
                gauge=lean_gauge(lean, bench).png(),
                scale=lean_gauge(lean, bench, lettered=False).png(),
                reason=reason,
                figures=pose_figures(pose, job, scarred),
                findings=pose.findings,
            )
        )
    return tuple(cards)


def pose_figures(pose: RankedPose, job: Job, scarred: bool = False) -> tuple[Figure, ...]:
    """What ranked the pose, in the order that people ask; scars only where any were counted."""
    hollows = pose.rubber.pockets
    held = pose.rubber.held_mm3
    carried = _CARRIED[pose.arrangement]
    place = f"in {count(len(hollows), 'hollow')}, {carried}" if hollows else carried
    up = ", ".join(f"{v:.2f}" for v in pose.pose.up.round(2) + 0.0)
    vents = pose.connections - 1
    each = f"1 gate, {count(vents, 'vent')}" if vents else "the gate alone"
    share = pose.undercut_share
    undercut = UNKNOWN if share is None else f"{100.0 * share:.0f} %"
    mark = Figure("on faces that show", str(pose.scars))
    return (
        Figure("connections", str(pose.connections), each),
        *([mark] if scarred else []),
        Figure(
            "may lean by",
            lean_words(pose.tilt_tolerance_deg),
            Bench.of(job).ease(pose.tilt_tolerance_deg),
        ),
        Figure("air under rubber", f"{held:.0f} mm³" if hollows else "none", place),
        Figure("part height", mm(pose.height_mm)),
        Figure("rubber", f"{pose.rubber_mm3 / MM3_PER_CM3:.0f} cm³"),
        Figure("undercut", undercut, "no straight pull clears it"),
        Figure("up in the part's file", f"({up})"),
    )


def direction_map(study: PoseStudy, mesh: Mesh) -> Map:
    """Both halves of the map of directions and its key.

    Parameters
    ----------
    study : PoseStudy
    mesh : Mesh
        The part in its file's frame.
    """
    light = lighter(mesh)
    discs = (FROM_ABOVE, FROM_BELOW)
    counts = [disc_counts(study.tried, disc, 2 * RADIUS_PX) for disc in discs]
    layers = bands(study.tried, np.concatenate([c[~np.isnan(c)] for c in counts]))
    halves = [
        (_half_caption(disc.axes[2]), map_view(disc, c, layers, study.poses, light).png())
        for disc, c in zip(discs, counts, strict=True)
    ]
    return Map(tuple(halves), tuple((_key_words(b), _swatch(b)) for b in layers))


def _half_caption(toward: FloatArray) -> str:
    return f"Half of all directions, seen from {axis_name(toward)} of the part's file."


def _key_words(band: Band) -> str:
    what = "connection" if band.most == 1 else "connections"
    share = 100.0 * band.share
    near = f"{share:.0f} %" if share >= 1.0 else "under 1 %"
    many = f"{band.fewest} to {band.most}" if band.most > band.fewest else str(band.fewest)
    return f"{many} {what}: {near} of all directions"


def _swatch(band: Band) -> bytes:
    """A patch of the band's tone with its name, for the key."""
    wide, tall = (float(v) for v in SWATCH_PX)
    paper = Paper(*SWATCH_PX)
    paper.shape([(1, 1), (wide - 2, 1), (wide - 2, tall - 2), (1, tall - 2)], band.tone, INK, 2.0)
    paper.text(paper.whole.shrunk(0.0, 4.0, 0.0, 4.0), band.name, band.ink, 27)
    return paper.png()
