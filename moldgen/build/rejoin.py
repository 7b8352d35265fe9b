"""Parts of split pieces put together again, so that a set is proved as it will stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from moldgen.build.nouns import Split
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.solids import Solid


def rejoined(splits: Sequence[Split], meshes: Mapping[str, Mesh]) -> dict[str, Mesh]:
    """Every body by name, parts of a split piece as the one body they make with their glue.

    Parameters
    ----------
    splits : sequence of Split
    meshes : mapping
        Bodies by piece name, in the casting frame [mm]; a part that is missing leaves its whole
        out.
    """
    bodies = dict(meshes)
    for split in splits:
        found = [bodies.pop(name) for name in split.parts if name in bodies]
        if len(found) == len(split.parts):
            bodies[split.whole.name] = joined(split, found).mesh()
    return bodies


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
