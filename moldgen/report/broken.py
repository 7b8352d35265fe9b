"""Long boards broken off for a picture: a jagged end stands for the rest, as on any drawing."""

from __future__ import annotations

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Placed, Point2, Prism
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.plan.nouns import Block

STUB_MM = 30.0  # shown of a board beyond the box, its walls included
SLACK_MM = 15.0  # a board that ends within this beyond is shown whole
TOOTH_MM = 4.0
TEETH = 3
FAR_MM = 5000.0  # beyond any board


def broken_off(mesh: Mesh, block: Block) -> Mesh:
    """What is shown of a board round a box: all of it, or as far as a stub beyond the box.

    Parameters
    ----------
    mesh : Mesh
        A board, standing or lying along the axes [mm].
    block : Block
        The inside of the box.
    """
    low, high = mesh.bounds
    thin = int(np.argmin(high - low))
    body: Solid | None = None
    for axis in (a for a in range(3) if a != thin):
        along = 3 - thin - axis
        for way, bound, inside in (
            (-1.0, float(low[axis]), block.low[axis]),
            (1.0, float(high[axis]), block.high[axis]),
        ):
            end = inside + way * STUB_MM
            if way * (bound - end) > SLACK_MM:
                keep = _kept(axis, along, end, way, (float(low[along]), float(high[along])))
                body = (body or Solid.from_mesh(mesh, weld=True)) & keep
    return body.mesh() if body else mesh


def _kept(axis: int, along: int, end: float, way: float, span: Point2) -> Solid:
    """All on the near side of a jagged line across a board."""
    a, b = span
    n = 2 * TEETH
    teeth = [(end + way * TOOTH_MM * (k % 2), a + (b - a) * k / n) for k in range(n + 1)]
    far = end - way * FAR_MM
    ring = [(far, a - FAR_MM), (end, a - FAR_MM), *teeth, (end, b + FAR_MM), (far, b + FAR_MM)]
    if way < 0.0:
        ring.reverse()
    return mesh_solid(Placed(Prism(tuple(ring), -FAR_MM, FAR_MM), _rows(axis, along)))


def _rows(axis: int, along: int) -> tuple[tuple[float, float, float, float], ...]:
    """(4, 4): the ring's first axis to one, its second to another, raised along the third."""
    third = 3 - axis - along
    turn = np.zeros((4, 4))
    turn[axis, 0] = turn[along, 1] = turn[3, 3] = 1.0
    turn[third, 2] = 1.0 if (axis + 1) % 3 == along else -1.0
    a, b, c, d = (tuple(float(v) for v in row) for row in turn)
    return (a, b, c, d)  # type: ignore[return-value]
