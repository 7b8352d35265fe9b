"""Read materials: those that the package carries, and a maker's own file put over them.

[rubber.shelf-tin]
like = "condensation-silicone"
density_g_cm3 = 1.14
mix = { hardener_parts = 3 }
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from moldgen.errors import JobError
from moldgen.materials.figures import Figure
from moldgen.materials.kinds import CastingResin, Material, MoldRubber
from moldgen.materials.own_file import tables_in, text_in
from moldgen.materials.parse import M, Table, figures_from, laid_over, material_from
from moldgen.materials.shelf import Shelf, pick

KINDS: dict[str, type[Material]] = {"rubber": MoldRubber, "resin": CastingResin}
PACKAGE = "the package"


def rubber(name: str) -> MoldRubber:
    """The mold rubber of a name, of those that the package carries.

    Raises
    ------
    JobError
        If there is none.
    """
    return shelf().rubber(name)


def resin(name: str) -> CastingResin:
    """The casting resin of a name, of those that the package carries.

    Raises
    ------
    JobError
        If there is none.
    """
    return shelf().resin(name)


def names() -> dict[str, tuple[str, ...]]:
    """Names of the "rubber" and "resin" classes that the package carries."""
    return {"rubber": tuple(shelf().rubbers), "resin": tuple(shelf().resins)}


def figures(name: str) -> Mapping[str, Figure]:
    """Every typical figure of a class by its key, with its range and source.

    Raises
    ------
    JobError
        If no class has that name.
    """
    return pick(shelf().figures, name, "material")


@cache
def shelf() -> Shelf:
    """The materials that the package carries."""
    return _shelf(_own_tables(), PACKAGE)


def read_materials(path: Path) -> Shelf:
    """The package's materials with a maker's TOML file put over them.

    Parameters
    ----------
    path : Path
        Tables [rubber.NAME] and [resin.NAME]. A name of the package changes that class; a new
        name gives every key, or `like` and what differs.

    Raises
    ------
    JobError
        If the file cannot be read, or a key or value is not allowed.
    """
    tables = {kind: dict(rows) for kind, rows in _own_tables().items()}
    for kind, rows in tables_in(text_in(path), path.name).items():
        if kind not in KINDS or not isinstance(rows, dict):
            raise JobError(
                f"{path.name}: [{kind}] is not known, allowed are [rubber.NAME], [resin.NAME]"
            )
        for name, row in rows.items():
            where = f"{path.name}: {kind}.{name}"
            tables[kind][name] = laid_over(tables[kind], name, row, where)
    for name in tables["rubber"].keys() & tables["resin"].keys():
        raise JobError(f"{path.name}: {name} names a rubber and a resin: call one otherwise")
    return replace(_shelf(tables, path.name), path=path)


def texts(file: str) -> dict[str, Any]:
    """A table that the package carries: "cautions", "compatibility", "sources" or "energies"."""
    return _data(file)


def modulus_pa(panel: str) -> tuple[float, float]:
    """Stiffness in bending [Pa] and cross contraction [-] of what walls are made of.

    Raises
    ------
    JobError
        If no panel has that name.
    """
    row = pick(_data("panels"), panel, "panel")
    return (row["modulus_gpa"]["value"] * 1e9, row["poisson"]["value"])


def print_strength_pa() -> tuple[float, float]:
    """What a printed piece bears in bending along its layers, and in a pull across them [Pa]."""
    row = _data("panels")["printed"]
    return (row["strength_mpa"]["value"] * 1e6, row["across_mpa"]["value"] * 1e6)


def print_softens_c() -> float:
    """From where on a printed piece gives under a load [°C]."""
    return float(_data("panels")["printed"]["softens_c"]["value"])


@cache
def _data(file: str) -> Table:
    source = files("moldgen.materials") / "data" / f"{file}.toml"
    return tomllib.loads(source.read_text("utf-8"))


def _own_tables() -> dict[str, Table]:
    return {"rubber": _data("rubbers"), "resin": _data("resins")}


def _shelf(tables: dict[str, Table], source: str) -> Shelf:
    return Shelf(
        source,
        _materials(MoldRubber, "rubber", tables["rubber"], source),
        _materials(CastingResin, "resin", tables["resin"], source),
        {
            name: figures_from(KINDS[kind], row)
            for kind, rows in tables.items()
            for name, row in rows.items()
        },
    )


def _materials(noun: type[M], kind: str, rows: Table, source: str) -> dict[str, M]:
    hazards = _data("cautions")
    return {
        name: material_from(noun, name, row, f"{source}: {kind}.{name}", hazards)
        for name, row in rows.items()
    }
