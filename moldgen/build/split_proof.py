"""The proof of a split: its parts are sound, keep their fit, and make up the piece that was proved.

1. Every part is closed, faces outward and is in one piece.
2. Parts and slits have the volume of the whole.
3. With the slits filled the parts are the whole: neither reaches out of the other.
4. No two parts are nearer than the fit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

from moldgen.build.nouns import Split
from moldgen.build.sound import require_sound
from moldgen.errors import CheckError
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid

VOLUME_SHARE = 1e-6  # of the whole: single precision moves a skin by 4e-6 mm at 100 mm
SKIN_MM = 1e-4  # of skin that coincides, what the kernel leaves of it: 3.2e-5 seen on fine facets
FIT_ERROR_MM = 0.01
SEARCH_MM = 1.0


def prove_split(split: Split, parts: Mapping[str, Mesh]) -> None:
    """Hold the parts of a split piece to what is promised of them.

    Parameters
    ----------
    split : Split
    parts : mapping
        Its parts by name, in the casting frame [mm].

    Raises
    ------
    CheckError
        If a promise is broken.
    """
    meshes = [parts[name] for name in split.parts]
    for name, mesh in zip(split.parts, meshes, strict=True):
        require_sound(name, mesh)
    whole = Solid.from_mesh(split.whole.in_casting_frame, split.whole.name)
    _require_volume(split, whole, meshes)
    _require_same(split, whole, joined(split, meshes))
    _require_apart(split, meshes)


def joined(split: Split, parts: Sequence[Mesh]) -> Solid:
    """The parts of a split piece and the glue between them as one body.

    Parameters
    ----------
    split : Split
    parts : sequence of Mesh
        In the casting frame [mm].
    """
    glue = split.glue.moved(split.whole.placement)
    return Solid.union(Solid.from_mesh(m, split.whole.name) for m in (*parts, glue))


def _require_volume(split: Split, whole: Solid, meshes: list[Mesh]) -> None:
    total = sum(mesh.volume_mm3 for mesh in meshes) + split.gap_mm3
    if not abs(total / whole.volume_mm3 - 1.0) <= VOLUME_SHARE:
        raise CheckError(
            f"the parts of {whole.name} and their slits hold {total:.3f} mm³, "
            f"the whole {whole.volume_mm3:.3f} mm³"
        )


def _require_same(split: Split, whole: Solid, made: Solid) -> None:
    limit = SKIN_MM * whole.area_mm2
    for what, rest in (("lack", whole - made), ("add", made - whole)):
        if rest.volume_mm3 > limit:
            raise CheckError(
                f"{', '.join(split.parts)} do not make up {whole.name}: joined they {what} "
                f"{rest.volume_mm3:.3g} mm³, {limit:.2g} at most"
            )


def _require_apart(split: Split, meshes: list[Mesh]) -> None:
    fit = min(seam.fit_mm for seam in split.seams)
    bodies = [Solid.from_mesh(m, n) for m, n in zip(meshes, split.parts, strict=True)]
    for a, b in combinations(bodies, 2):
        gap = a.min_gap(b, fit + SEARCH_MM)
        if gap < fit - FIT_ERROR_MM:
            raise CheckError(
                f"clearances are not kept: {a.name} and {b.name} are {gap:.3f} mm apart, "
                f"{fit:g} mm was asked for"
            )
