"""Draft: how far each bit of skin leans from the pull."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.rigid import unit_vector
from moldgen.plan.rigid_nouns import Draft

BOUNDS_DEG = (1.0, 2.0, 3.0)  # a rigid mold asks for a draft of 1 to 3 degrees: common practice
TOLD_SHARE = 0.01  # of the skin; less is the grain of the mesh


def draft_deg(mesh: Mesh, pull: ArrayLike) -> FloatArray:
    """Lean of each triangle from a pull both ways, (m,) [deg]: 0 upright, 90 square to the pull.

    Parameters
    ----------
    mesh : Mesh
    pull : (3,) float

    Notes
    -----
    |asin(n d)| with the normal n and the pull d: each triangle leaves with the half it faces.
    """
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    along = mesh.area_vectors @ unit_vector(pull) / np.maximum(areas, 1e-30)
    return np.asarray(np.degrees(np.abs(np.arcsin(np.clip(along, -1.0, 1.0)))))


def plan_draft(mesh: Mesh, pull: ArrayLike) -> Draft:
    """The skin by its lean.

    Parameters
    ----------
    mesh : Mesh
    pull : (3,) float
    """
    areas = np.linalg.norm(mesh.area_vectors, axis=1)
    lean = draft_deg(mesh, pull)
    one, two, three = (float(areas[lean < bound].sum()) for bound in BOUNDS_DEG)
    return Draft(float(areas.sum()), (one, two, three))


def draft_findings(draft: Draft) -> tuple[Finding, ...]:
    """What the maker has to know of walls that hardly lean.

    Parameters
    ----------
    draft : Draft
    """
    share, least = draft.shares[0], BOUNDS_DEG[0]
    if share < TOLD_SHARE:
        return ()
    text = (
        f"{draft.below_mm2[0]:.0f} mm² of the part, {100.0 * share:.0f} % of its skin, lean less "
        f"than {least:g}° from the pull: the casting scrapes there on its whole way out and may "
        "stick; draw the part with a draft of 1 to 3° (common practice, no source), or polish "
        "these walls of the mold and use release agent, or take --kind two-part"
    )
    return (Finding(Grade.CAUTION, text, share, TOLD_SHARE),)
