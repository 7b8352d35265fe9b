"""Parts for two-part molds, ours and those of the registries, with the halves cut for them."""

from __future__ import annotations

import json
import re
import runpy
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import SimpleNamespace

from moldgen.build.two_part import Cut, build_two_part, cut_halves
from moldgen.demo import demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job, MoldKind
from moldgen.part.part import Part
from moldgen.plan.nouns import MoldPlan
from moldgen.plan.two_part import plan_two_part
from moldgen.units import LengthUnit

P = SimpleNamespace(**runpy.run_path(str(Path(__file__).parents[1] / "geometry" / "parted.py")))
JOB = Job(kind=MoldKind.TWO_PART)
BUNNY_MM = 60.0

FITTINGS = ("fluted-knob", "leaf-pull", "bracket", "finial")
OWN: dict[str, Callable[[], object]] = {
    "torus": P.torus,
    "own-nut": P.nut,
    "cup": P.cup,
    "wave": P.wave,
    "knot": P.knot,
    "helix": P.helix,
}
REGISTRY = {
    "nut": "whl/pyvista/examples/nut.ply",
    "object": "whl/gmsh-*/data/share/doc/gmsh/examples/api/object.stl",
    "t20_data": "whl/gmsh-*/data/share/doc/gmsh/tutorials/t20_data.step",
    "low_poly_benchy": "build123d-*/examples/low_poly_benchy.stl",
    "fox": "potpourri3d-*/deps/geometry-central/test/assets/fox.ply",
    "bunny": "bunny/index.js",
}


@dataclass(frozen=True, eq=False)
class Halved:
    """A part with its plan; bodies are cut when they are asked for."""

    name: str
    plan: MoldPlan

    @cached_property
    def cut(self) -> Cut:
        return cut_halves(self.plan)

    @cached_property
    def written(self) -> dict[str, Solid]:
        """The proved set's bodies as their files hold them, in the casting frame."""
        pieces = build_two_part(self.plan).pieces
        return {p.name: Solid.from_mesh(p.in_casting_frame, p.name) for p in pieces}


def halved(part: Part, name: str) -> Halved:
    return Halved(name, plan_two_part(part, JOB))


def own_part(name: str) -> Part:
    body = P.mesh_of(OWN[name]())
    return Part(body, name, f"{name}.stl", "0", LengthUnit.MM)


def registry_part(name: str, folder: Path) -> Part | None:
    """A part from the registries; None where it was not fetched."""
    path = next(iter(sorted(folder.glob(REGISTRY[name]))), None)
    if path is None:
        return None
    return _bunny(path) if name == "bunny" else read_part(path)


def fitting(name: str) -> Part:
    return read_part(demo_part_path(name))


def moved(body: Solid, lift_mm: float) -> Solid:
    return body.moved(placement(offset=(0.0, 0.0, lift_mm)))


def _bunny(path: Path) -> Part:
    text = path.read_text()
    corners, faces = (
        json.loads(re.search(rf"exports\.{what}=(\[\[.*?\]\])", text).group(1))
        for what in ("positions", "cells")
    )
    sides = [max(c) - min(c) for c in zip(*corners, strict=True)]
    scale = BUNNY_MM / max(sides)
    mesh = Mesh([[c * scale for c in p] for p in corners], faces)
    return Part(mesh, "bunny", "bunny.js", "0", LengthUnit.MM)
