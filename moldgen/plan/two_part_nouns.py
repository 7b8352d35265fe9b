"""The halves of a two-part mold, as nouns in the frame of the pull."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from moldgen.geometry.mesh import FloatArray
from moldgen.geometry.parting import Parting, Strip
from moldgen.geometry.recipe import Point3
from moldgen.geometry.rigid import inverse, placement
from moldgen.plan.keys import Key
from moldgen.plan.nouns import Block, PocketFate, Quantities
from moldgen.plan.pull import Pull
from moldgen.plan.ways_up import WayUp

# Casting frame to the frame of the pull: X stays, up becomes Y, the pull (-Y) becomes Z.
TO_PULL: FloatArray = placement(np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]))
FROM_PULL: FloatArray = inverse(TO_PULL)


@dataclass(frozen=True)
class Half:
    """One half of rubber and its pour.

    Attributes
    ----------
    name : str
        "A", poured first on the bed, or "B", poured on half A.
    up : (3,) float
        What points up while it is poured, in the casting frame.
    rubber_mm3 : float
    quantities : Quantities
        Its rubber; the resin is that of one casting.
    pockets : tuple of PocketFate
        Where air stays in this pour.
    """

    name: str
    up: Point3
    rubber_mm3: float
    quantities: Quantities
    pockets: tuple[PocketFate, ...]


@dataclass(frozen=True)
class Considered:
    """A way to lie and come apart that was weighed against others.

    Attributes
    ----------
    way : WayUp
    is_taken : bool
    refused : str
        Why it was tried and not taken; empty where it was taken, or not tried.
    """

    way: WayUp
    is_taken: bool = False
    refused: str = ""


@dataclass(frozen=True, eq=False)
class TwoPart:
    """What a two-part mold has beside gate, vents and block.

    Attributes
    ----------
    pull : Pull
        In the part file's frame.
    parting : Parting
        The sheet, in the frame of the pull.
    strips : tuple of Strip
        Where channels lie in it.
    keys : tuple of Key
        They stand on half B.
    block : Block
        The block in the frame of the pull, where rubber rises along +Z in the pour of half A.
    halves : tuple of Half
        A, then B.
    considered : tuple of Considered
        Ways to lie and come apart: the one taken, those that failed before it, and the next.
    taken_mm3 : float
        What half A takes of half B's room, in undercuts behind the sheet [mm³].
    loops : (int, int)
        How often half A and half B close round the part.
    """

    pull: Pull
    parting: Parting
    strips: tuple[Strip, ...]
    keys: tuple[Key, ...]
    block: Block
    halves: tuple[Half, Half]
    considered: tuple[Considered, ...] = ()
    taken_mm3: float = 0.0
    loops: tuple[int, int] = (0, 0)


def in_pull_frame(block: Block) -> Block:
    """A block of the casting frame in the frame of the pull."""
    (x0, y0, z0), (x1, y1, z1) = block.low, block.high
    return Block((x0, z0, -y1), (x1, z1, -y0))
