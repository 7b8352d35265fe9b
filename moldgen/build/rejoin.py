"""Parts of split pieces put together again, so that a set is proved as it will stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from moldgen.build.nouns import Split
from moldgen.build.split_proof import prove_split
from moldgen.geometry.mesh import Mesh


def rejoined(splits: Sequence[Split], meshes: Mapping[str, Mesh]) -> dict[str, Mesh]:
    """Every body by name, a split piece as the whole that its parts are proved to make up.

    Parameters
    ----------
    splits : sequence of Split
    meshes : mapping
        Bodies by piece name, in the casting frame [mm]; a part that is missing leaves its whole
        out.

    Raises
    ------
    CheckError
        If parts are unsound, do not make up their whole, or do not keep their fit.
    """
    bodies = dict(meshes)
    for split in splits:
        found = {name: bodies.pop(name) for name in split.parts if name in bodies}
        if len(found) == len(split.parts):
            prove_split(split, found)
            bodies[split.whole.name] = split.whole.in_casting_frame
    return bodies
