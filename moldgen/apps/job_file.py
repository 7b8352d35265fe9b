"""The job file: wishes as TOML, held against their allowed ranges.

    kind = "block"
    level_error_deg = 1.0
    [rubber]
    wall_mm = 12
    [channels]
    limit_mm3 = 10

Every key of `Job` may stand in it; what is left out keeps its default.
"""

from __future__ import annotations

import dataclasses
import difflib
import tomllib
from collections.abc import Mapping, Sequence
from enum import Enum
from pathlib import Path
from typing import Annotated, Any, TypeAlias

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError, create_model

from moldgen.apps.cutter_file import read_cutters
from moldgen.apps.rack_file import read_rack
from moldgen.apps.show_faces import beside, mark_from, table_from
from moldgen.errors import JobError
from moldgen.job.cutters import CutterList
from moldgen.job.job import (
    Arrangement,
    ChannelWishes,
    Job,
    MoldKind,
    PrintWishes,
    ResinWishes,
    RubberWishes,
)
from moldgen.job.rack import BoxMake, BoxWishes, Rack
from moldgen.job.ranking import Criterion, RankingWishes
from moldgen.job.rigid import HalfMake, RigidWishes
from moldgen.job.show_faces import ShowFace
from moldgen.job.two_part import KeyShape, TwoPartWishes
from moldgen.materials.kinds import PotLife
from moldgen.materials.read import read_materials, shelf

Wishes: TypeAlias = dict[str, Any]

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
SINGLE = ("kind", "arrangement", *NUMBERS, "compensate_shrink")
CHOICES: dict[str, type[Enum]] = {
    "kind": MoldKind,
    "make": BoxMake,
    "made": HalfMake,
    "arrangement": Arrangement,
    "pot_life": PotLife,
    "order": Criterion,
    "key": KeyShape,
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

# Each bore must not be wider than the one that follows it on the way up.
WIDENING = (
    ("neck_diameter_mm", "sprue_diameter_mm"),
    ("sprue_diameter_mm", "funnel_diameter_mm"),
    ("vent_neck_diameter_mm", "vent_diameter_mm"),
)


def read_job(
    path: Path | None,
    overrides: Mapping[str, Any] | None = None,
    show_faces: Sequence[str] = (),
) -> Job:
    """The job in a TOML file, with single wishes put over it.

    Parameters
    ----------
    path : Path or None
        The job file, or None for the defaults.
    overrides : mapping, optional
        Wishes by dotted key, "rubber.wall_mm"; None leaves a key alone. A file of materials
        that the job file names lies beside it, one among the overrides where one works.
    show_faces : sequence of str
        Show faces as the command line writes them; they join those of the file.

    Raises
    ------
    JobError
        If a file cannot be read, a key is unknown, or a value is out of its range.
    """
    wishes = _toml(path) if path else {}
    if path and isinstance(wishes.get("materials"), str):
        wishes["materials"] = str(path.parent / wishes["materials"])
    for key in ("rack", "cutters"):
        if path and isinstance(wishes.get(key), str):
            wishes[key] = str(path.parent / wishes[key])
    if path and "show_faces" in wishes:
        wishes["show_faces"] = beside(wishes["show_faces"], path.parent)
    for key, value in (overrides or {}).items():
        if value is not None:
            _put(wishes, key, value)
    job = job_from(wishes, f"{path.name} and the options" if path else "the options")
    marks = [mark_from(table_from(words), "--show-face") for words in show_faces]
    return dataclasses.replace(job, show_faces=(*job.show_faces, *marks))


def job_from(wishes: Wishes, source: str) -> Job:
    """The job that a tree of wishes describes.

    Parameters
    ----------
    wishes : dict
        As TOML gives it: top keys and one table a trade.
    source : str
        What an error message calls the place the wishes stand in.

    Raises
    ------
    JobError
        If a key is unknown, a value is out of its range, or two contradict each other.
    """
    wishes = dict(wishes)
    marks = _marks(wishes.pop("show_faces", []), source)
    try:
        model = _MODEL.validate_python(wishes)
    except ValidationError as error:
        raise JobError(f"{source}: {_sentence(error.errors()[0])}") from None
    tables = {name: kind(**dict(getattr(model, name))) for name, kind in TABLES.items()}
    materials = read_materials(Path(model.materials)) if model.materials else shelf()
    job = Job(**{key: getattr(model, key) for key in SINGLE}, **tables, materials=materials)
    rack = read_rack(Path(model.rack)) if model.rack else Rack()
    cutters = read_cutters(Path(model.cutters)) if model.cutters else CutterList()
    job = dataclasses.replace(job, show_faces=marks, rack=rack, cutters=cutters)
    _check_rack(job, source)
    _check_widening(job.channels, source)
    _check_start(job.resin, source)
    _check_materials(job, source)
    _check_pull(job, source)
    _check_washer(job, source)
    _check_order(job, source)
    return job


def _marks(tables: object, source: str) -> tuple[ShowFace, ...]:
    if not isinstance(tables, list):
        raise JobError(f"{source}: show_faces must be tables, [[show_faces]], not {tables!r}")
    return tuple(mark_from(table, source) for table in tables)


def _toml(path: Path) -> Wishes:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise JobError(f"{path.name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError as error:
        raise JobError(f"{path.name} is not UTF-8 text: save it as UTF-8") from error
    except tomllib.TOMLDecodeError as error:
        raise JobError(f"{path.name} is not valid TOML: {error}") from error


def _put(wishes: Wishes, key: str, value: Any) -> None:
    *tables, last = key.split(".")
    for table in tables:
        wishes = wishes.setdefault(table, {})
        if not isinstance(wishes, dict):
            raise JobError(f"{table} must be a table, [{table}], not a single value")
    wishes[last] = value


def _check_widening(channels: ChannelWishes, source: str) -> None:
    for narrow, wide in WIDENING:
        low, high = getattr(channels, narrow), getattr(channels, wide)
        if None not in (low, high) and low > high:
            raise JobError(
                f"{source}: channels.{narrow} is {low:g} mm, wider than channels.{wide},"
                f" {high:g} mm: make it narrower"
            )


def _check_start(resin: ResinWishes, source: str) -> None:
    if resin.start_s < resin.mix_s:
        raise JobError(
            f"{source}: resin.start_s is {resin.start_s:g} s, sooner than resin.mix_s,"
            f" {resin.mix_s:g} s, lets it be mixed: pour later"
        )


def _check_order(job: Job, source: str) -> None:
    order = job.ranking.order
    if not order or len(set(order)) < len(order):
        raise JobError(f"{source}: ranking.order needs one criterion or more, each of them once")


def _check_rack(job: Job, source: str) -> None:
    if job.box.make is not BoxMake.PRINTED and not job.rack.boards:
        raise JobError(
            f'{source}: a box of boards needs a rack: give --rack FILE, or rack = "FILE" in the'
            " job file"
        )


def _check_pull(job: Job, source: str) -> None:
    if job.two_part.pull is not None and not any(job.two_part.pull):
        raise JobError(f"{source}: the pull needs three numbers that are not all zero")


def _check_washer(job: Job, source: str) -> None:
    wish = job.rigid
    if wish.washer_mm <= wish.bolt_hole_mm:
        raise JobError(
            f"{source}: rigid.washer_mm is {wish.washer_mm:g} mm and falls through"
            f" rigid.bolt_hole_mm, {wish.bolt_hole_mm:g} mm: give a wider washer"
        )


def _check_materials(job: Job, source: str) -> None:
    try:
        _ = job.mold_rubber, job.casting_resin
    except JobError as error:
        raise JobError(f"{source}: {error}") from None


# the models: the job's own dataclasses, with ranges and without unknown keys

_STRICT = ConfigDict(extra="forbid", strict=True)


def _ranged(key: str, default: Any) -> Any:
    """The type of a wish; one whose default is None may be left to moldgen."""
    if key.endswith(".pot_life"):
        return Annotated[PotLife, Field(strict=False)] | None
    if key == "box.make":
        return Annotated[BoxMake, Field(strict=False)]
    if key == "rigid.made":
        return Annotated[HalfMake, Field(strict=False)]
    if key == "two_part.key":
        return Annotated[KeyShape, Field(strict=False)]
    if key == "printing.room_mm":
        side = Annotated[float, Field(ge=ROOM_MM[0], le=ROOM_MM[1], allow_inf_nan=False)]
        return Annotated[tuple[side, side, side], Field(strict=False)]
    if key == "printing.perimeters":
        return Annotated[int, Field(ge=PERIMETERS[0], le=PERIMETERS[1])]
    if key == "two_part.pull":
        step = Annotated[float, Field(allow_inf_nan=False)]
        return Annotated[tuple[step, step, step], Field(strict=False)] | None
    if key == "ranking.order":
        return Annotated[tuple[Annotated[Criterion, Field(strict=False)], ...], Field(strict=False)]
    if key not in RANGES:
        return type(default)
    low, high = RANGES[key]
    number = Annotated[float, Field(ge=low, le=high, allow_inf_nan=False)]
    return number | None if default is None else number


def _table_model(name: str, wishes: type) -> Any:
    fields: dict[str, Any] = {
        f.name: (_ranged(f"{name}.{f.name}", f.default), f.default)
        for f in dataclasses.fields(wishes)
    }
    return create_model(wishes.__name__, __config__=_STRICT, **fields)


def _job_model() -> Any:
    fields: dict[str, Any] = {
        "kind": (Annotated[MoldKind, Field(strict=False)], MoldKind.BLOCK),
        "arrangement": (Annotated[Arrangement, Field(strict=False)] | None, None),
        "materials": (str | None, None),
        "rack": (str | None, None),
        "cutters": (str | None, None),
        **{key: (_ranged(key, getattr(Job, key)), getattr(Job, key)) for key in NUMBERS},
        "compensate_shrink": (bool, Job.compensate_shrink),
    }
    for name, wishes in TABLES.items():
        model = _table_model(name, wishes)
        fields[name] = (model, model())
    return create_model("Job", __config__=_STRICT, **fields)


_MODEL = TypeAdapter(_job_model())


# the errors: one sentence with the key and what is allowed


def _sentence(error: Any) -> str:
    key = ".".join(step for step in error["loc"] if isinstance(step, str))
    if error["type"] == "extra_forbidden":
        return _unknown(key)
    return f"{key} is {error['input']!r}, allowed is {_allowed(key)}"


def _unknown(key: str) -> str:
    known = _known_keys()
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"
    return f"{key} is not a known key: {hint}"


def _known_keys() -> list[str]:
    inner = [f"{name}.{f.name}" for name, w in TABLES.items() for f in dataclasses.fields(w)]
    return [*SINGLE, "materials", "rack", "cutters", "show_faces", *TABLES, *inner]


def _allowed(key: str) -> str:
    if key in RANGES:
        low, high = RANGES[key]
        return f"a number from {low:g} to {high:g}" + _unit(key)
    choices = CHOICES.get(key.split(".")[-1])
    if choices:
        return " or ".join(f'"{choice.value}"' for choice in choices)
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
