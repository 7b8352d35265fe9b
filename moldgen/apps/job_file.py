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
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from moldgen.apps.cutter_file import read_cutters
from moldgen.apps.job_conflicts import check_conflicts
from moldgen.apps.job_keys import FILES, SINGLE, TABLES
from moldgen.apps.job_model import Wishes, typed
from moldgen.apps.rack_file import read_rack
from moldgen.apps.show_faces import beside, mark_from, table_from
from moldgen.errors import JobError
from moldgen.job.cutters import CutterList
from moldgen.job.job import Job
from moldgen.job.rack import Rack
from moldgen.job.show_faces import ShowFace
from moldgen.materials.own_file import tables_in, text_in
from moldgen.materials.read import read_materials, shelf


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
    wishes: Wishes = tables_in(text_in(path), path.name) if path else {}
    for key in FILES:
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
    model = typed(wishes, source)
    tables = {name: kind(**dict(getattr(model, name))) for name, kind in TABLES.items()}
    materials = read_materials(Path(model.materials)) if model.materials else shelf()
    job = Job(**{key: getattr(model, key) for key in SINGLE}, **tables, materials=materials)
    rack = read_rack(Path(model.rack)) if model.rack else Rack()
    cutters = read_cutters(Path(model.cutters)) if model.cutters else CutterList()
    job = dataclasses.replace(job, show_faces=marks, rack=rack, cutters=cutters)
    check_conflicts(job, source)
    return job


def _marks(tables: object, source: str) -> tuple[ShowFace, ...]:
    if not isinstance(tables, list):
        raise JobError(f"{source}: show_faces must be tables, [[show_faces]], not {tables!r}")
    return tuple(mark_from(table, source) for table in tables)


def _put(wishes: Wishes, key: str, value: Any) -> None:
    *tables, last = key.split(".")
    for table in tables:
        wishes = wishes.setdefault(table, {})
        if not isinstance(wishes, dict):
            raise JobError(f"{table} must be a table, [{table}], not a single value")
    wishes[last] = value
