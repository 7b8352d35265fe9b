"""Forces while rubber is poured, as nouns: joints, walls, the rod that holds the part down."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.geometry.recipe import Point3


@dataclass(frozen=True)
class Link:
    """One joint of the chain that holds the part while rubber is poured.

    Attributes
    ----------
    joint, by : str
        Between what, and what holds it.
    load_n : float
        What pulls at it; 0 or less where nothing does.
    hold_n : float
        The load in the same place that it bears at most.
    """

    joint: str
    by: str
    load_n: float
    hold_n: float

    @property
    def safety(self) -> float | None:
        """How many times its load it holds; None where nothing pulls at it [-]."""
        return self.hold_n / self.load_n if self.load_n > 0.0 else None


@dataclass(frozen=True)
class WallLoad:
    """What the rubber does to one wall.

    Attributes
    ----------
    name : str
    width_mm, depth_mm : float
        What is wetted of it.
    force_n : float
        Push of the rubber on it.
    deflection_mm : float
    stress_mpa : float
        Largest in its skin.
    enough_mm : float
        The least thickness that neither bows nor bends too far.
    batten_mm : float
        How far it still bows with a stiff batten clamped across it at the fill line.
    batten_clamp_n : float
        What the clamp at each end of that batten bears.
    """

    name: str
    width_mm: float
    depth_mm: float
    force_n: float
    deflection_mm: float
    stress_mpa: float
    enough_mm: float
    batten_mm: float
    batten_clamp_n: float


@dataclass(frozen=True)
class Rod:
    """A rod on the part's free side that keeps it from rising; it hangs from a bar over the walls.

    Attributes
    ----------
    point_mm : (3,) float
        Where its end stands on the part, in the casting frame.
    tip_diameter_mm, stem_diameter_mm : float
        At the part and at the block's foot.
    sunk_mm : float
        How far its body is carried on into the part before the part is taken from it.
    bar_height_mm : float
        Height of the bar it hangs from.
    on_show_face : bool
        Whether its ring lands on a show face.
    """

    point_mm: Point3
    tip_diameter_mm: float
    stem_diameter_mm: float
    sunk_mm: float
    bar_height_mm: float
    on_show_face: bool = False


@dataclass(frozen=True)
class Loads:
    """Forces while rubber is poured.

    Attributes
    ----------
    lift_n : float or None
        On part and formers, with rubber under the feet too; positive: they float; None where
        no rubber is poured.
    hold_down_n : float or None
        What the weakest joint holds.
    wall_force_n, wall_deflection_mm : float or None
        Of the widest wall.
    sealed_lift_n : float or None
        The lift while no rubber gets under the feet; None where they hang over it.
    safety : float or None
        How many times its load the weakest joint holds; None where nothing floats [-].
    links : tuple of Link
        The chain from the part to the bench.
    before : Link or None
        The joint of the part on its formers before rubber bears it.
    walls : tuple of WallLoad
    rod : Rod or None
        What holds the part down where the joints do not.
    """

    lift_n: float | None
    hold_down_n: float | None
    wall_force_n: float | None
    wall_deflection_mm: float | None
    sealed_lift_n: float | None = None
    safety: float | None = None
    links: tuple[Link, ...] = ()
    before: Link | None = None
    walls: tuple[WallLoad, ...] = ()
    rod: Rod | None = None
