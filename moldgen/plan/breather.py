"""The breather: a second opening close beside the gate, for air that has no other way out.

Both mouths lie on one high place: the gate on its top, else gate and breather on either side of
it. What the part holds above the breather's mouth has to leave by the gate, so it must not be
more than a pocket may hold that needs no outlet.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from moldgen.errors import PlanError
from moldgen.geometry.mesh import FloatArray
from moldgen.plan.ladder import Level
from moldgen.plan.mouth import Mouth, mouth_beside
from moldgen.plan.nouns import Gate
from moldgen.plan.routing import Search, Way, plain_way
from moldgen.plan.terrain import BETWEEN_MM, Laid, Terrain
from moldgen.study.pocket import Liquid, Pocket
from moldgen.study.pockets import PocketFinder

LAND_MM = BETWEEN_MM  # rubber between the bores of gate and breather, at their mouths too
STEEPEST = math.cos(math.radians(40.0))  # of the skin at a mouth: a bore is sunk into it
_UP = (0.0, 0.0, 1.0)
_SHARES = (0.0, 0.5)  # of their distance that the gate stands off the top of its pocket
_FARTHER_MM = (0.0, 1.0, 2.5)
_AZIMUTHS = 16
_DEPTHS_MM = np.linspace(-6.0, 6.0, 25)  # along the pull, to find the skyline between halves
_PROBE_MM = 5.0


class NoBreatherError(PlanError):
    """No breather finds a place beside a gate."""


@dataclass(frozen=True, eq=False)
class Breathing:
    """What a breather is held to.

    Attributes
    ----------
    finder : PocketFinder
        Over the part in the casting frame.
    limit_mm3 : float
        What may stay above its mouth [mm³].
    """

    finder: PocketFinder
    limit_mm3: float

    def above_mm3(self, foot: FloatArray, top: FloatArray, vents: FloatArray) -> float:
        """What the part holds above a breather's mouth, as if the gate let out none of it [mm³].

        Parameters
        ----------
        foot, top : (3,) float
            The breather's mouth, and the top of the gate's own pocket [mm].
        vents : (k, 3) float
            The mouths of the vents [mm].
        """
        least = self._trapped(np.vstack([foot, top, vents]))
        return max(self._trapped(np.vstack([foot, vents])) - least, 0.0)

    def _trapped(self, outlets: FloatArray) -> float:
        return self.finder.trapped(_UP, Liquid.RESIN, outlets)


@dataclass(frozen=True, eq=False)
class Site:
    """Where gate and breather may stand: their feet on the skin, (3,) each [mm]."""

    gate: FloatArray
    breather: FloatArray
    moves_gate: bool


def sites(terrain: Terrain, gate: Gate, neck_mm: float) -> Iterator[Site]:
    """Places for a gate and its breather, those first that leave the gate and least air.

    Parameters
    ----------
    terrain : Terrain
    gate : Gate
        As it stands without a breather.
    neck_mm : float
        Radius of the breather's neck [mm].
    """
    top = np.array(gate.channel.points[0])
    apart = gate.channel.radii_mm[0] + LAND_MM + neck_mm
    for share in _SHARES:
        found = []
        for more in _FARTHER_MM:
            for way in _ways(terrain):
                off = -share * (apart + more) * way
                feet = (
                    (top if share == 0.0 else _foot(terrain, top, off)),
                    _foot(terrain, top, off + (apart + more) * way),
                )
                if feet[0] is not None and feet[1] is not None:
                    found.append(Site(feet[0], feet[1], share > 0.0))
        yield from sorted(found, key=lambda s: -round(float(s.breather[2]), 2))


def _ways(terrain: Terrain) -> FloatArray:
    """Level directions in which a breather may stand from its gate, (n, 2); ±X between halves."""
    if terrain.between is not None:
        return np.array([[1.0, 0.0], [-1.0, 0.0]])
    angles = 2.0 * np.pi * np.arange(_AZIMUTHS) / _AZIMUTHS
    return np.column_stack([np.cos(angles), np.sin(angles)])


def _foot(terrain: Terrain, top: FloatArray, off: FloatArray) -> FloatArray | None:
    """The skin beside a top, seen from above, if it is not steep; its skyline between halves."""
    x, y = np.round(top[:2] + off, 2)
    depths = np.array([0.0]) if terrain.between is None else np.append(0.0, _DEPTHS_MM)
    starts = np.column_stack([np.full(len(depths), x), y + depths, np.full(len(depths), top[2])])
    starts[:, 2] += _PROBE_MM
    drops, faces = terrain.tree.first_hit(starts, (0.0, 0.0, -1.0))
    n = int(np.argmin(np.round(drops, 4)))
    if faces[n] < 0 or drops[n] < _PROBE_MM - LAND_MM:
        return None
    a, b, c = terrain.mesh.vertices[terrain.mesh.faces[faces[n]]]
    normal = np.cross(b - a, c - a)
    if normal[2] < STEEPEST * float(np.linalg.norm(normal)):
        return None
    return np.asarray(starts[n] - (0.0, 0.0, drops[n]))


def breather_way(
    terrain: Terrain, laid: Laid, pocket: Pocket, foot: FloatArray, ladder: Sequence[Level]
) -> tuple[Search, Way] | None:
    """The way of a breather up from a foot, (3,) [mm], beside what is laid.

    Parameters
    ----------
    terrain : Terrain
    laid : Laid
        Gate and vents included.
    pocket : Pocket
        The gate's own.
    foot : (3,) float
    ladder : sequence of Level
        What a vent asks for; rubber is never less than the land.
    """
    for level in _landed(ladder):
        search = Search(terrain, laid, _mouth(terrain, pocket, foot, level.neck_mm), level)
        way = plain_way(search)
        if way is not None:
            return search, way
    return None


def _landed(ladder: Sequence[Level]) -> list[Level]:
    wide = [replace(lv, rubber_mm=max(lv.rubber_mm, LAND_MM)) for lv in ladder]
    return list(dict.fromkeys(wide))


def _mouth(terrain: Terrain, pocket: Pocket, foot: FloatArray, neck_mm: float) -> Mouth:
    return mouth_beside(terrain.part, terrain.tree, pocket, foot, neck_mm)
