"""What may stand in a job file: its tables and keys, and what each of them allows."""

from __future__ import annotations

import dataclasses
from enum import Enum

from moldgen.job.job import (
    Arrangement,
    Breather,
    ChannelWishes,
    MoldKind,
    PrintWishes,
    ResinWishes,
    RubberWishes,
)
from moldgen.job.rack import BoxMake, BoxWishes
from moldgen.job.ranking import Criterion, RankingWishes
from moldgen.job.rigid import HalfMake, RigidWishes
from moldgen.job.two_part import KeyShape, TwoPartWishes
from moldgen.materials.pot_life import PotLife

TABLES = {
    "rubber": RubberWishes,
    "resin": ResinWishes,
    "channels": ChannelWishes,
    "printing": PrintWishes,
    "box": BoxWishes,
    "ranking": RankingWishes,
    "two_part": TwoPartWishes,
    "rigid": RigidWishes,
}

NUMBERS = ("level_error_deg", "shop_c", "scale_g")
FILES = ("materials", "rack", "cutters")
SINGLE = ("kind", "arrangement", *NUMBERS, "compensate_shrink")
CHOICES: dict[str, type[Enum]] = {
    "kind": MoldKind,
    "arrangement": Arrangement,
    "rubber.pot_life": PotLife,
    "resin.pot_life": PotLife,
    "channels.breather": Breather,
    "two_part.key": KeyShape,
    "rigid.made": HalfMake,
    "box.make": BoxMake,
    "ranking.order": Criterion,
}

# What a bench can do with hand tools and a desktop printer: common practice, no source.
RANGES = {
    "level_error_deg": (0.0, 10.0),
    "shop_c": (5.0, 40.0),
    "scale_g": (0.001, 100.0),
    "rubber.wall_mm": (3.0, 100.0),
    "rubber.below_mm": (3.0, 100.0),
    "rubber.above_mm": (3.0, 200.0),
    "rubber.waste_share": (0.0, 1.0),
    "rubber.brush_coat_mm": (0.0, 5.0),
    "rubber.cup_ml": (10.0, 100000.0),
    "rubber.mix_s": (1.0, 3600.0),
    "rubber.pour_rate_ml_s": (0.1, 1000.0),
    "rubber.pot_life_min": (0.1, 100000.0),
    "resin.waste_share": (0.0, 1.0),
    "resin.mix_s": (1.0, 1800.0),
    "resin.start_s": (1.0, 3600.0),
    "resin.fill_share": (0.1, 1.0),
    "resin.pour_at_most_s": (1.0, 7200.0),
    "resin.pour_rate_ml_s": (0.1, 1000.0),
    "resin.cup_ml": (10.0, 100000.0),
    "resin.pot_life_min": (0.1, 100000.0),
    "channels.limit_mm3": (0.0, 10000.0),
    "channels.sprue_diameter_mm": (2.0, 40.0),
    "channels.neck_diameter_mm": (1.0, 40.0),
    "channels.funnel_diameter_mm": (2.0, 100.0),
    "channels.funnel_height_mm": (1.0, 100.0),
    "channels.vent_diameter_mm": (1.0, 20.0),
    "channels.vent_neck_diameter_mm": (0.5, 20.0),
    "channels.gate_rubber_mm": (1.0, 50.0),
    "channels.vent_rubber_mm": (1.0, 50.0),
    "channels.side_rubber_mm": (1.0, 50.0),
    "channels.breather_over_s": (1.0, 3600.0),
    "printing.wall_mm": (0.8, 30.0),
    "printing.base_mm": (1.0, 50.0),
    "printing.fit_mm": (0.0, 1.0),
    "printing.foot_diameter_mm": (1.0, 30.0),
    "printing.foot_depth_mm": (1.0, 50.0),
    "printing.part_density_g_cm3": (0.05, 25.0),
    "printing.bow_mm": (0.01, 5.0),
    "printing.glue_mpa": (0.0, 50.0),
    "printing.peg_hold_n": (0.0, 1000.0),
    "printing.clamp_n": (0.0, 5000.0),
    "printing.hold_safety": (1.0, 20.0),
    "printing.nozzle_mm": (0.1, 2.0),
    "printing.layer_mm": (0.02, 1.5),
    "printing.filament_mm": (1.0, 5.0),
    "printing.filament_g_cm3": (0.5, 10.0),
    "printing.infill_share": (0.0, 1.0),
    "rigid.flange_mm": (6.0, 200.0),
    "rigid.back_mm": (2.0, 100.0),
    "rigid.above_mm": (3.0, 200.0),
    "rigid.bolt_hole_mm": (2.0, 20.0),
    "rigid.washer_mm": (4.0, 60.0),
    "rigid.bolt_wall_mm": (1.0, 30.0),
    "rigid.bolt_apart_mm": (15.0, 500.0),
    "rigid.key_clearance_mm": (0.02, 1.0),
    "box.kerf_mm": (0.0, 10.0),
    "box.cutter_mm": (0.5, 25.0),
    "box.edge_mm": (0.0, 100.0),
    "box.joint_fit_mm": (0.0, 0.5),
    "ranking.equal_within": (0.001, 1.0),
    "ranking.easy_times": (1.0, 20.0),
    "ranking.height_weight": (0.0, 100.0),
    "ranking.rubber_weight": (0.0, 100.0),
    "ranking.undercut_weight": (0.0, 100.0),
}

ROOM_MM = (30.0, 5000.0)  # each side of what a printer can fill
PERIMETERS = (1, 50)


def known_keys() -> list[str]:
    """Every key that a job file may hold, as an error message writes it."""
    inner = [f"{name}.{f.name}" for name, w in TABLES.items() for f in dataclasses.fields(w)]
    return [*SINGLE, *FILES, "show_faces", *TABLES, *inner]


def allowed(key: str) -> str:
    """What a key allows, in the words of an error message."""
    if key in RANGES:
        low, high = RANGES[key]
        return f"a number from {low:g} to {high:g}" + _unit(key)
    if key in CHOICES:
        return " or ".join(f'"{choice.value}"' for choice in CHOICES[key])
    if key == "compensate_shrink":
        return "true or false"
    if key == "printing.room_mm":
        return "three numbers, [X, Y, Z], each from {:g} to {:g} mm".format(*ROOM_MM)
    if key == "printing.perimeters":
        return "a whole number from {} to {}".format(*PERIMETERS)
    if key == "two_part.pull":
        return "three finite numbers, [X, Y, Z]"
    return f"a table, [{key}]" if key in TABLES else "a name in quotes"


def _unit(key: str) -> str:
    ends = {
        "_mm": " mm",
        "_mm3": " mm³",
        "_deg": " degrees",
        "_g_cm3": " g/cm³",
        "shop_c": " °C",
        "_ml_s": " mL/s",
        "_s": " s",
        "_ml": " mL",
        "_min": " min",
        "_g": " g",
        "_mpa": " MPa",
        "_n": " N",
    }
    return next((unit for end, unit in ends.items() if key.endswith(end)), "")
