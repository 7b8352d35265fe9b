"""The cavity as a pour meets it: how high liquid stands against the gate when so much is in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from moldgen.geometry.basin_walk import FillOrder
from moldgen.geometry.basins import Basins
from moldgen.geometry.mergetree import Superlevels
from moldgen.geometry.mesh import Mesh
from moldgen.physics.march import Cavity
from moldgen.plan.nouns import Channel, Gate
from moldgen.plan.passage import airway, vent_passage

SHARED = 4.0  # R and k of half a section: where resin and air pass each other in the gate
_SAME_MM = 1e-6


@dataclass(frozen=True, eq=False)
class Filling:
    """A cavity with its gate and vents, ready to be poured into.

    Attributes
    ----------
    order : FillOrder
        Which basin fills when.
    cavity : Cavity
        Height at the gate against volume, and what narrows the way in or holds air back; heights
        are those of the casting frame.
    """

    order: FillOrder
    cavity: Cavity


class Hollow:
    """The part's shape as a hollow in the rubber, made ready once for all gates.

    Parameters
    ----------
    mesh : Mesh
        The part in the casting frame.
    """

    def __init__(self, mesh: Mesh) -> None:
        self._basins = Basins(Superlevels(mesh))

    def filling(self, gate: Gate, vents: Sequence[Channel]) -> Filling:
        """How it fills through a gate, with air leaving by vents.

        Parameters
        ----------
        gate : Gate
        vents : sequence of Channel

        Notes
        -----
        Resin falls from the gate's mouth into the lowest basin under it. Until its level comes to
        the mouth the jet leaves into air, and what drives it is the funnel's level over the mouth;
        from then on it is the funnel's level over the resin. So the level against the gate is
        the higher of the two.

        A vent is open until resin has come to its height anywhere. Where no way out is left to
        air but the gate, resin and air share the gate: each is given half of the section, which
        makes R and k four times as large (common practice, no source).
        """
        points = np.array([v.points[0] for v in vents]).reshape(-1, 3)
        order = self._basins.fill(np.array(gate.channel.points[0]), points)
        return Filling(order, _cavity(order, gate, vents))


def _cavity(order: FillOrder, gate: Gate, vents: Sequence[Channel]) -> Cavity:
    mouth = gate.channel.points[0][2]
    alone = order.alone[:-1] | (len(vents) == 0)
    air = _air(order, vents)
    return Cavity(
        tuple(order.volumes_mm3.tolist()),
        tuple(np.maximum(order.inlet_mm, mouth).tolist()),
        tuple(np.where(alone, SHARED, 1.0).tolist()),
        tuple(np.where(alone, 0.0, air[:, 0]).tolist()),
        tuple(np.where(alone, 0.0, air[:, 1]).tolist()),
    )


def _air(
    order: FillOrder, vents: Sequence[Channel]
) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Resistance and kinetic term of the vents that are open on each stretch, (n - 1, 2)."""
    n = len(order.volumes_mm3) - 1
    if not vents:
        return np.zeros((n, 2))
    risen = np.maximum.accumulate(order.levels_mm)[:-1]
    heights = np.array([v.points[0][2] for v in vents])
    passages = [vent_passage(v) for v in vents]
    rows: dict[bytes, tuple[float, float]] = {}
    air = np.empty((n, 2))
    for i, level in enumerate(risen):
        is_open = heights > level + _SAME_MM
        is_open = is_open if is_open.any() else heights == heights.max()
        key = is_open.tobytes()
        if key not in rows:
            way = airway([p for p, open_ in zip(passages, is_open, strict=True) if open_])
            rows[key] = (way.resistance, way.kinetic)
        air[i] = rows[key]
    return air
