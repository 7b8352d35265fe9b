"""What stands in the box during each pour of a mold in two halves, drawn to be judged.

Half A is what the bed gives: in an undercut behind the sheet, which the bed cannot fill, it takes
some of half B's room. Keys and channels are left out: seen along the pull they only add hills and
hollows that are open upward, in either pour, and hold no air.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.pour_apart import poured_apart
from moldgen.geometry.recipe import Point3
from moldgen.geometry.sheet import Sheet
from moldgen.geometry.solids import Solid
from moldgen.geometry.sweep import swept_up
from moldgen.plan.nouns import Block
from moldgen.plan.two_part_nouns import FROM_PULL
from moldgen.study.pocket import Liquid, Pocket
from moldgen.study.pockets import PocketFinder

BEYOND_MM = 2.0  # cutting bodies reach out of the block
AT_THE_TOP_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Poured:
    """Both halves as they are poured, without keys and channels, in the frame of the pull.

    Attributes
    ----------
    half_a, half_b : Solid
    taken : tuple of Solid
        What half A takes of half B's room behind the sheet, largest piece first.
    loops : (int, int)
        How often each half, as it is drawn, closes round the part.
    """

    half_a: Solid
    half_b: Solid
    taken: tuple[Solid, ...]
    loops: tuple[int, int]

    @property
    def taken_mm3(self) -> float:
        """What half A takes of half B's room [mm³]."""
        return sum(piece.volume_mm3 for piece in self.taken)

    def pockets(self, limit_mm3: float) -> tuple[tuple[Pocket, ...], tuple[Pocket, ...]]:
        """Where air stays in the pours of A and of B, in the casting frame.

        Parameters
        ----------
        limit_mm3 : float
            A pocket that holds no more is left out [mm³].
        """
        return (
            _pockets(self.half_a, 1.0, limit_mm3),
            _pockets(self.half_b, -1.0, limit_mm3),
        )


def poured_halves(mesh: Mesh, block: Block, sheet: Sheet) -> Poured:
    """Draw both halves as they are poured.

    Parameters
    ----------
    mesh : Mesh
        The part in the frame of the pull [mm].
    block : Block
        In the same frame.
    sheet : Sheet
        The parting sheet.

    Raises
    ------
    SolidError
        If a half has no material, or is in pieces.
    """
    part = Solid.from_mesh(mesh, "part")
    rest = Solid.box(block.low, block.high) - part
    under = Solid.from_mesh(sheet.under(block.low[2] - BEYOND_MM), "parting sheet")
    apart = poured_apart(rest, part, under, swept_up(mesh, block.high[2] + BEYOND_MM))
    drawn = (rest - under).components()[0], (rest & under).components()[0]
    loops = drawn[0].genus, drawn[1].genus
    return Poured(apart.half_a, apart.half_b, apart.undercuts, loops)


def _pockets(body: Solid, up: float, limit_mm3: float) -> tuple[Pocket, ...]:
    """Highest places of a poured body but the open top, in the casting frame."""
    ends = body.bounds[:, 2] * up
    top = float(ends.max())
    found = PocketFinder(body.mesh()).find((0.0, 0.0, up), Liquid.RESIN, limit_mm3).pockets
    return tuple(_in_casting_frame(p) for p in found if up * p.point_mm[2] < top - AT_THE_TOP_MM)


def _in_casting_frame(pocket: Pocket) -> Pocket:
    return replace(pocket, point_mm=in_casting_frame(pocket.point_mm))


def in_casting_frame(point: Point3) -> Point3:
    """A point of the frame of the pull, (3,), in the casting frame, (3,) [mm]."""
    x, y, z = (FROM_PULL[:3, :3] @ point).tolist()
    return (x, y, z)
