"""The cutters at hand: what the router turns, by shape, diameter and free length."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from math import isfinite
from pathlib import Path

from moldgen.errors import JobError

HOLDER_MM = 20.0  # the nut of a small collet: common practice, no source


class CutterShape(Enum):
    """The end of a cutter."""

    FLAT = "flat"
    BALL = "ball"
    BULL = "bull"  # flat with a round edge


@dataclass(frozen=True)
class Cutter:
    """One cutter in its holder.

    Attributes
    ----------
    name : str
    shape : CutterShape
    diameter_mm : float
    free_length_mm : float
        From its tip to the holder.
    holder_diameter_mm : float
        What comes down with it there.
    edge_radius_mm : float
        Of a bull-nose cutter.
    """

    name: str
    shape: CutterShape
    diameter_mm: float
    free_length_mm: float
    holder_diameter_mm: float = HOLDER_MM
    edge_radius_mm: float = 0.0

    def __post_init__(self) -> None:
        for key in ("diameter_mm", "free_length_mm", "holder_diameter_mm"):
            size = getattr(self, key)
            if not (isfinite(size) and size > 0.0):
                raise JobError(f"cutter {self.name}: {key} is {size:g}, more than 0 is needed")
        if self.holder_diameter_mm < self.diameter_mm:
            raise JobError(
                f"cutter {self.name}: its holder, {self.holder_diameter_mm:g} mm, is thinner than "
                f"the cutter, {self.diameter_mm:g} mm: give the wider of holder and shank"
            )
        self._check_edge()

    def _check_edge(self) -> None:
        is_bull = self.shape is CutterShape.BULL
        if is_bull and not 0.0 < self.edge_radius_mm < self.diameter_mm / 2.0:
            raise JobError(
                f"cutter {self.name}: edge_radius_mm is {self.edge_radius_mm:g}, more than 0 and "
                f"less than half its diameter, {self.diameter_mm / 2.0:g}, is needed"
            )
        if not is_bull and self.edge_radius_mm:
            raise JobError(
                f"cutter {self.name}: edge_radius_mm belongs to a bull cutter, not to a "
                f"{self.shape.value} one: leave it out"
            )

    @property
    def round_edge_mm(self) -> float:
        """Radius of the edge: 0 where flat, half the diameter of a ball [mm]."""
        return self.diameter_mm / 2.0 if self.shape is CutterShape.BALL else self.edge_radius_mm


# Cutters of a small router for wood and tooling board: common practice, no source.
USUAL = tuple(
    Cutter(f"{shape.value} {diameter:g}", shape, diameter, length)
    for shape, diameter, length in (
        (CutterShape.FLAT, 6.0, 30.0),
        (CutterShape.BALL, 6.0, 30.0),
        (CutterShape.BALL, 3.0, 20.0),
        (CutterShape.BALL, 2.0, 15.0),
        (CutterShape.BALL, 1.0, 8.0),
    )
)


@dataclass(frozen=True)
class CutterList:
    """The cutters at hand; the usual ones where no file says otherwise.

    Attributes
    ----------
    cutters : tuple of Cutter
    path : Path or None
        The file they were read from.
    """

    cutters: tuple[Cutter, ...] = USUAL
    path: Path | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        names = [cutter.name for cutter in self.cutters]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise JobError(f"two cutters are named {twice[0]}: give each its own name")
        if not names:
            raise JobError("the list of cutters is empty: name one at least")

    @property
    def largest_first(self) -> tuple[Cutter, ...]:
        """From the thickest to the thinnest; of one diameter those with the sharper edge first."""
        return tuple(sorted(self.cutters, key=lambda c: (-c.diameter_mm, c.round_edge_mm)))

    @property
    def thinnest_mm(self) -> float:
        """The least diameter [mm]."""
        return min(cutter.diameter_mm for cutter in self.cutters)
