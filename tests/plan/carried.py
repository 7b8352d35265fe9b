"""A part carried on formers, written as nouns: a brick with its gate where the test wants it."""

from __future__ import annotations

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Arrangement, Job, PrintWishes
from moldgen.plan.nouns import Block, Channel, Gate, Setup
from moldgen.study.pocket import Pocket

TOP = 80.0


def brick(x: float = 100.0, y: float = 60.0, z: float = 50.0) -> Mesh:
    """A brick on z = 0 whose middle lies over the origin."""
    return mesh_solid(Box((-x / 2, -y / 2, 0.0), (x / 2, y / 2, z))).mesh()


def way(x: float, y: float, z: float, neck: float, bore: float) -> Channel:
    """A straight channel from the part's skin to the top plane, of these radii."""
    points = ((x, y, z), (x, y, z + 2.0), (x, y, TOP))
    return Channel(points, (neck, bore, bore), Pocket((x, y, z), 100.0), "straight", 4.0)


def carried(
    gate_at: float = 0.0,
    vents_at: tuple[float, ...] = (),
    arrangement: Arrangement = Arrangement.STANDING,
    mesh: Mesh | None = None,
    neck_mm: float = 4.0,
    **printing: float,
) -> Setup:
    """A brick of 100 x 60 x 50 mm in a block of 120 x 80 x 90 mm, gate and vents along x."""
    return Setup(
        job=Job(printing=PrintWishes(**printing)),  # type: ignore[arg-type]
        mesh=mesh or brick(),
        arrangement=arrangement,
        block=Block((-60.0, -40.0, -10.0), (60.0, 40.0, TOP)),
        gate=Gate(way(gate_at, 0.0, 50.0, neck_mm / 2.0, 4.0), neck_mm, 8.0, 20.0, 10.0),
        vents=tuple(way(x, 0.0, 50.0, 1.0, 1.5) for x in vents_at),
    )
