"""What touches the part is cut to its skin: the exact recipe, where the skin is not too fine."""

from __future__ import annotations

import numpy as np

from moldgen.errors import SolidError
from moldgen.geometry.recipe import Difference, Facets, Recipe
from moldgen.geometry.solids import Solid

PATCH_MARGIN_MM = 0.5  # the patch of the part's skin goes this far beyond what touches it
PATCH_TRIANGLES = 3000  # a patch of more is too much for the exact kernel


def fine_difference(body: Recipe, reach: Solid, part: Solid, name: str) -> Recipe | None:
    """A body less the part, as a recipe; None where the skin is too fine for the exact kernel.

    Parameters
    ----------
    body : Recipe
    reach : Solid
        All of the body that can touch the part.
    part : Solid
    name : str

    Raises
    ------
    SolidError
        If it does not reach the part.
    """
    shared = reach & part
    if shared.is_empty:
        x, y, z = reach.bounds.mean(axis=0)
        raise SolidError(f"{name} does not reach into the part near ({x:.1f}, {y:.1f}, {z:.1f}) mm")
    low, high = shared.bounds
    margin = np.full(3, PATCH_MARGIN_MM)
    patch = part & Solid.box(low - margin, high + margin)
    fine = patch.n_triangles > PATCH_TRIANGLES
    return None if fine else Difference(body, (Facets(patch.mesh()),))
