"""Make up for shrinkage: a part larger by what its mold and its casting lose."""

from __future__ import annotations

from dataclasses import replace

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job, MoldKind
from moldgen.materials.kinds import Material
from moldgen.part.part import Part
from moldgen.physics.mixing import shrink_scale


def compensated(part: Part, job: Job) -> Part:
    """The part as it must be molded for its castings to come out at its size.

    Parameters
    ----------
    part : Part
    job : Job
        Whether it is wished for, and the materials.

    Notes
    -----
    Larger by 1 / ((1 - s_rubber) (1 - s_resin)), linear shares; rigid halves do not
    shrink. A part that was made larger already stays as it is.
    """
    if not job.compensate_shrink:
        return part
    rubber, resin = job.mold_rubber, job.casting_resin
    is_rigid = job.kind is MoldKind.RIGID
    mold_share = 0.0 if is_rigid else rubber.shrink_percent / 100.0
    factor = shrink_scale(mold_share, resin.shrink_percent / 100.0)
    if part.shrink_scale == factor:
        return part
    way, share = ("larger", factor - 1.0) if factor >= 1.0 else ("smaller", 1.0 - factor)
    losses = _loss(resin) if is_rigid else f"{_loss(rubber)} and {_loss(resin)}"
    told = Finding(
        Grade.NOTE,
        f"the part was made {100.0 * share:.2f} % {way} than drawn, since {losses}: these are "
        "typical figures, so measure a first cast",
        factor,
    )
    return replace(part.grown(factor), findings=(*part.findings, told))


def _loss(material: Material) -> str:
    verb = "shrinks" if material.shrink_percent >= 0.0 else "grows"
    return f"{material.title} {verb} by {abs(material.shrink_percent):g} %"
