"""A small mold set made by hand: a bracket with two horns, its block, boards and formers."""

from __future__ import annotations

import hashlib
import math
from dataclasses import asdict
from typing import Any

import numpy as np
import pytest

from moldgen.build.nouns import Closure, MoldSet, Piece
from moldgen.errors import Finding, Grade
from moldgen.geometry.recipe import Box, Difference, Placed, Recipe, Taper, Turned, Union
from moldgen.geometry.solids import Solid, mesh_solid
from moldgen.job.job import Arrangement, Job
from moldgen.part.part import Part
from moldgen.plan.clock import plan_clock
from moldgen.plan.nouns import (
    Block,
    Channel,
    Cup,
    Gate,
    Loads,
    MoldPlan,
    PocketFate,
    Quantities,
    Weighed,
)
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Pocket
from moldgen.units import LengthUnit

TOP = 48.0
BLOCK = Block((-38.0, -22.0, -10.0), (38.0, 22.0, TOP))
BOARD = 6.0


def bracket() -> Recipe:
    """A foot with two turned horns: two high points."""
    horn = ((5.0, 0.0), (5.0, 12.0), (7.5, 18.0), (6.5, 25.0), (2.0, 30.0))
    return Union(
        (
            Box((-28.0, -12.0, 0.0), (28.0, 12.0, 6.0)),
            *(_standing(Turned(horn), x) for x in (-18.0, 18.0)),
        )
    )


def _standing(body: Recipe, x: float) -> Recipe:
    return Placed(body, ((1, 0, 0, x), (0, 1, 0, 0), (0, 0, 1, 0), (0, 0, 0, 1)))


def _channel(x: float, radii: tuple[float, float, float]) -> Channel:
    pocket = Pocket((x, 0.0, 30.0), 180.0)
    points = ((x, 0.0, 29.5), (x, 0.0, 34.0), (x, 0.0, TOP))
    return Channel(points, radii, pocket, "straight", 8.0)


def _plan(part_mesh: Any, arrangement: Arrangement) -> MoldPlan:
    gate = Gate(_channel(-18.0, (2.0, 4.0, 4.0)), 4.0, 8.0, 20.0, 10.0)
    vents = (_channel(18.0, (1.0, 1.5, 1.5)),)
    name = "horned-bracket"
    part = Part(
        part_mesh, name, f"{name}.stl", hashlib.sha256(b"bracket").hexdigest(), LengthUnit.MM
    )
    return MoldPlan(
        part=part,
        pose=Pose(np.eye(3), rank=1),
        job=Job(),
        matrix=np.eye(4),
        mesh=part_mesh,
        arrangement=arrangement,
        block=BLOCK,
        gate=gate,
        vents=vents,
        resin_pockets=(
            PocketFate(gate.channel.pocket, "gate", "widest way up"),
            PocketFate(vents[0].pocket, "vent", "straight up"),
        ),
        rubber_pockets=(),
        connections=2,
        tilt_tolerance_deg=6.25,
        quantities=Quantities(
            Weighed(
                231.0,
                210.0,
                21.0,
                ("21.0 g hardener into the cup first", "210.0 g base on top"),
                (
                    Cup("first coat", 1, 9.5, 9.5 / 1.1, 9.5 / 11.0, 0.4, 13.0),
                    Cup("main batch", 2, 110.75, 110.75 / 1.1, 110.75 / 11.0, 2.0, 145.0),
                ),
            ),
            9.5,
            0.08,
            Weighed(
                24.6,
                12.3,
                12.3,
                ("12.3 g part A first", "12.3 g part B on top"),
                (Cup("one casting", 1, 24.6, 12.3, 12.3, 0.2, 35.0),),
            ),
            0.09,
        ),
        loads=Loads(1.234, 2.5, 0.87, 0.02),
        findings=(Finding(Grade.CAUTION, "the left horn is 10.0 mm thick", 10.0, 12.0),),
        cautions=(("wear gloves", "rubber"), ("mind the heat", "resin")),
    )


def make_set(arrangement: Arrangement) -> MoldSet:
    """The whole set, cut with the mesh kernel."""
    part = mesh_solid(bracket())
    plan = _plan(part.mesh(), arrangement)
    formers = {"gate-cone": _gate_former(plan.gate), "outlet-rod-1": _rod(plan.vents[0])}
    solids = {name: mesh_solid(body) - part for name, body in formers.items()}
    cavity = Solid.union([part, *solids.values()])
    block = Solid.box(BLOCK.low, BLOCK.high)
    rubber = block - cavity
    pieces = [
        _piece("base-plate", "base", "print", _base(arrangement)),
        *_walls(arrangement),
        *(
            _piece(n, "gate-cone" if n == "gate-cone" else "outlet-rod", "print", s)
            for n, s in solids.items()
        ),
        _piece("rubber", "rubber", "rubber", rubber),
        _piece("casting", "casting", "resin", cavity),
    ]
    if arrangement is Arrangement.HUNG:
        bridge = Box((-20.0, -38.0, TOP + 12.0), (20.0, 38.0, TOP + 18.0))
        pieces.append(_piece("bridge", "bridge", "print", mesh_solid(bridge)))
    parts = (rubber.volume_mm3, part.volume_mm3, *(s.volume_mm3 for s in solids.values()))
    return MoldSet(plan, tuple(pieces), Closure(block.volume_mm3, math.fsum(parts)))


def _piece(name: str, role: str, material: str, body: Solid) -> Piece:
    return Piece(name, role, material, body.mesh(), np.eye(4))


def _base(arrangement: Arrangement) -> Solid:
    z = TOP if arrangement is Arrangement.STANDING else BLOCK.low[2] - BOARD
    plate = Box((-50.0, -34.0, z), (50.0, 34.0, z + BOARD))
    hole = Taper((-45.0, -29.0, z - 1), (-45.0, -29.0, z + BOARD + 1), 2.0, 2.0)
    return mesh_solid(Difference(plate, (hole,)))


def _walls(arrangement: Arrangement) -> list[Piece]:
    """Four walls, each butting against the next and running past it."""
    (x0, y0, z0), (x1, y1, z1) = BLOCK.low, BLOCK.high
    spare = 12.0
    z0, z1 = (z0 - spare, z1) if arrangement is Arrangement.STANDING else (z0, z1 + spare)
    b = BOARD
    boxes = (
        Box((x0, y0 - b, z0), (x1 + b, y0, z1)),
        Box((x1, y0, z0), (x1 + b, y1 + b, z1)),
        Box((x0 - b, y1, z0), (x1, y1 + b, z1)),
        Box((x0 - b, y0 - b, z0), (x0, y1, z1)),
    )
    return [_piece(f"wall-{i + 1}", "wall", "board", mesh_solid(w)) for i, w in enumerate(boxes)]


def _legs(channel: Channel) -> list[Recipe]:
    p, r = channel.points, channel.radii_mm
    return [Taper(p[i], p[i + 1], r[i], r[i + 1]) for i in range(len(p) - 1)]


def _rod(channel: Channel) -> Recipe:
    return Union(tuple(_legs(channel)))


def _gate_former(gate: Gate) -> Recipe:
    x, y, z = gate.channel.points[-1]
    funnel = Taper((x, y, z - gate.funnel_height_mm), (x, y, z), 4.0, 10.0)
    return Union((*_legs(gate.channel), funnel))


@pytest.fixture(scope="session")
def standing_set() -> MoldSet:
    """The set with the part standing on its formers."""
    return make_set(Arrangement.STANDING)


@pytest.fixture(scope="session")
def hung_set() -> MoldSet:
    """The set with the part hung from a bridge."""
    return make_set(Arrangement.HUNG)


@pytest.fixture(scope="session")
def manifest_of() -> Any:
    """A function that writes the manifest of a set by hand, as the output contract states it."""
    return _manifest


def _manifest(mold_set: MoldSet) -> dict[str, Any]:
    plan = mold_set.plan
    q = plan.quantities
    return {
        "schema": "moldgen-set/1",
        "units": {"length": "mm", "mass": "g", "time": "s", "force": "N", "angle": "deg"},
        "part": {
            "file": plan.part.file,
            "sha256": plan.part.sha256,
            "unit": "mm",
            "scale": 1.0,
            "volume_mm3": plan.mesh.volume_mm3,
            "area_mm2": plan.mesh.area_mm2,
            "extents_mm": [float(v) for v in plan.mesh.extents_mm],
            "closed": True,
            "repairs": ["2 holes were closed"],
        },
        "kind": "block",
        "pose": {
            "up": [0.0, 0.0, 1.0],
            "matrix": np.eye(4).tolist(),
            "connections": plan.connections,
            "tilt_tolerance_deg": plan.tilt_tolerance_deg,
            "rank": 1,
        },
        "rubber_pour": {"arrangement": plan.arrangement.value, "up": [0, 0, -1]},
        "pockets": {"resin": [], "rubber": []},
        "gate": {
            "point_mm": list(plan.gate.channel.points[0]),
            "neck_diameter_mm": 4.0,
            "sprue_diameter_mm": 8.0,
            "length_mm": plan.gate.channel.length_mm,
            "funnel_volume_mm3": 1634.0,
        },
        "vents": [
            {
                "point_mm": list(v.points[0]),
                "diameter_mm": v.bore_mm,
                "length_mm": v.length_mm,
                "path_mm": [list(p) for p in v.points],
            }
            for v in plan.vents
        ],
        "pieces": [
            {
                "name": p.name,
                "role": p.role,
                "material": p.material,
                "count": p.count,
                "closed": True,
                "volume_mm3": p.mesh.volume_mm3,
                "files": {"stl": f"print/{p.name}.stl"},
                "placement": np.eye(4).tolist(),
            }
            for p in mold_set.pieces
        ],
        "closure": {
            "block_mm3": mold_set.closure.block_mm3,
            "sum_mm3": mold_set.closure.sum_mm3,
            "relative_error": mold_set.closure.relative_error,
        },
        "quantities": {
            "rubber": {
                "total_g": q.rubber.total_g,
                "a_g": q.rubber.a_g,
                "b_g": q.rubber.b_g,
                "brush_coat_g": q.brush_coat_g,
                "allowance": q.allowance,
                "order": list(q.rubber.order),
                "cups": [asdict(cup) for cup in q.rubber.cups],
            },
            "resin": {
                "total_g": q.resin.total_g,
                "a_g": q.resin.a_g,
                "b_g": q.resin.b_g,
                "order": list(q.resin.order),
                "cups": [asdict(cup) for cup in q.resin.cups],
                "allowance": q.resin_allowance,
            },
        },
        "forecast": {
            "fill_time_s": None,
            "working_time_s": 180.0,
            "filled_fraction": None,
            "demold_rubber_s": 57600.0,
            "demold_resin_s": 1800.0,
            "peak_temperature_c": None,
        },
        "clock": asdict(plan_clock(plan)),
        "loads": {
            "lift_n": plan.loads.lift_n,
            "hold_down_n": plan.loads.hold_down_n,
            "wall_force_n": plan.loads.wall_force_n,
            "wall_deflection_mm": plan.loads.wall_deflection_mm,
        },
        "findings": [
            {"grade": f.grade.value, "text": f.text, "measured": f.measured, "limit": f.limit}
            for f in plan.findings
        ],
        "cautions": [{"text": t, "applies_to": a} for t, a in plan.cautions],
    }
