"""The main job from end to end: a part in, a proven folder out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

from moldgen.files.deliver import check_out, write_set
from moldgen.files.document import Document
from moldgen.files.read import read_part
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan.board_plan import require_buildable
from moldgen.pose.pose import Pose
from moldgen.report.html import job_sheet
from moldgen.report.pictures import draw_pictures
from moldgen.workflow import choose_pose, make_set, require_built

Progress: TypeAlias = Callable[[str, float], None]


def make(
    part: Part | Path | str,
    out: Path | str,
    job: Job | None = None,
    pose: Pose | int | None = None,
    force: bool = False,
    progress: Progress | None = None,
    keep: Sequence[Path] = (),
) -> Document:
    """Make a mold set for a part and write its folder.

    Parameters
    ----------
    part : Part or path
        The part, or the file to read it from.
    out : path
        The folder to make.
    job : Job, optional
        The wishes; the defaults where left out.
    pose : Pose or int, optional
        A pose, or the rank of one that the study finds [-]; None for the best.
    force : bool
        Replace a folder that moldgen did not write.
    progress : callable, optional
        Called with (label, share done).
    keep : sequence of Path
        Files that must not be lost with a folder that is replaced.

    Returns
    -------
    dict
        The content of set.json.

    Raises
    ------
    MoldError
        Its kinds say what went wrong: see `moldgen.errors`.
    """
    out, job = Path(out), job or Job()
    require_built(job.kind)
    require_buildable(job)
    check_out(out, force, keep)
    tell = progress or (lambda _label, _share: None)
    if not isinstance(part, Part):
        tell("reading the part", 0.0)
        part = read_part(Path(part))
    if pose is None and job.kind is MoldKind.BLOCK:
        pose = 1
    if isinstance(pose, int):
        pose = choose_pose(part, job, pose, _stage(tell, 0.05, 0.35))
    mold_set = make_set(part, job, pose, _stage(tell, 0.35, 0.65))
    pictures = draw_pictures(mold_set, _stage(tell, 0.65, 0.8))
    return write_set(
        mold_set,
        pictures,
        lambda document: job_sheet(mold_set, pictures, document),
        out,
        force,
        _stage(tell, 0.8, 1.0),
        keep,
    )


def _stage(tell: Progress, low: float, high: float) -> Progress:
    """Progress of one step, from 0 to 1, as a share of the whole."""
    return lambda label, share: tell(label, low + (high - low) * min(max(share, 0.0), 1.0))
