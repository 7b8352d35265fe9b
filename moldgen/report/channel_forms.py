"""Bodies that stand for gate and vents on a picture: tapered legs, and a funnel at the gate."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Recipe, Taper
from moldgen.geometry.solids import mesh_solid
from moldgen.plan.nouns import Channel, Gate


def channel_form(channel: Channel) -> Mesh:
    """A channel as its tapered legs, one after the other [mm]."""
    stations = list(zip(channel.points, channel.radii_mm, strict=True))
    return _together([Taper(p, q, a, b) for (p, a), (q, b) in pairwise(stations)])


def gate_form(gate: Gate) -> Mesh:
    """The gate's channel, and its funnel where it comes out at the top [mm]."""
    x, y, z = gate.channel.points[-1]
    sprue, top = gate.sprue_diameter_mm / 2.0, gate.funnel_diameter_mm / 2.0
    funnel = Taper((x, y, z - gate.funnel_height_mm), (x, y, z), sprue, top)
    return joined([channel_form(gate.channel), _together([funnel])])


def _together(recipes: list[Recipe]) -> Mesh:
    return joined([mesh_solid(r).mesh() for r in recipes])


def joined(meshes: list[Mesh]) -> Mesh:
    """Several meshes as one list of triangles, uncut."""
    starts = np.cumsum([0] + [len(m.vertices) for m in meshes[:-1]])
    faces = [m.faces + start for m, start in zip(meshes, starts, strict=True)]
    return Mesh(np.concatenate([m.vertices for m in meshes]), np.concatenate(faces))
