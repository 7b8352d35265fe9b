"""Read the materials that the package carries."""

from __future__ import annotations

import tomllib
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from typing import Any, TypeVar

from moldgen.errors import JobError
from moldgen.materials.kinds import CastingResin, Material, Mix, MoldRubber

M = TypeVar("M", bound=Material)


def rubber(name: str) -> MoldRubber:
    """The mold rubber of a name.

    Raises
    ------
    JobError
        If there is none.
    """
    return _pick(_table("rubbers.toml"), name, MoldRubber)


def resin(name: str) -> CastingResin:
    """The casting resin of a name.

    Raises
    ------
    JobError
        If there is none.
    """
    return _pick(_table("resins.toml"), name, CastingResin)


def rubber_names() -> tuple[str, ...]:
    """Names of the mold rubbers."""
    return tuple(_table("rubbers.toml"))


def resin_names() -> tuple[str, ...]:
    """Names of the casting resins."""
    return tuple(_table("resins.toml"))


def caution_texts() -> dict[str, str]:
    """What to print for each hazard."""
    return {name: row["text"] for name, row in _table("cautions.toml").items()}


@cache
def _table(file: str) -> dict[str, Any]:
    return tomllib.loads((files("moldgen.materials") / "data" / file).read_text("utf-8"))


def _pick(table: dict[str, Any], name: str, kind: type[M]) -> M:
    if name not in table:
        near = get_close_matches(name, table, n=1)
        hint = f"; did you mean {near[0]}?" if near else ""
        raise JobError(f"no material is called {name!r}{hint} There are {', '.join(table)}")
    row = table[name]
    return kind(
        name=name,
        title=row["title"],
        density_g_cm3=row["density_g_cm3"],
        mix=Mix(**row["mix"]),
        cautions=tuple(row["cautions"]),
        source=row["source"],
    )
