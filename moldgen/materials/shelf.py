"""The materials at hand, by name, and how a name that is not there is refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import TypeVar

from moldgen.errors import JobError
from moldgen.materials.figures import Figure
from moldgen.materials.kinds import CastingResin, MoldRubber

V = TypeVar("V")


@dataclass(frozen=True)
class Shelf:
    """The materials at hand, by name.

    Attributes
    ----------
    source : str
        Where they were read: "the package", or a maker's file over it.
    rubbers, resins : mapping
    figures : mapping
        For each material, its typical figures by key, with range and source.
    path : Path or None
        The maker's file, where there is one.
    """

    source: str
    rubbers: Mapping[str, MoldRubber]
    resins: Mapping[str, CastingResin]
    figures: Mapping[str, Mapping[str, Figure]]
    path: Path | None = None

    def rubber(self, name: str) -> MoldRubber:
        """The mold rubber of a name.

        Raises
        ------
        JobError
            If there is none.
        """
        return pick(self.rubbers, name, "rubber")

    def resin(self, name: str) -> CastingResin:
        """The casting resin of a name.

        Raises
        ------
        JobError
            If there is none.
        """
        return pick(self.resins, name, "resin")

    def material(self, name: str) -> MoldRubber | CastingResin:
        """The rubber or resin of a name; no two share one.

        Raises
        ------
        JobError
            If there is none.
        """
        every: dict[str, MoldRubber | CastingResin] = {**self.rubbers, **self.resins}
        return pick(every, name, "material")


def pick(rows: Mapping[str, V], name: str, what: str) -> V:
    """The row of a name.

    Raises
    ------
    JobError
        If there is none; names the nearest one.
    """
    if name not in rows:
        raise JobError(f"no {what} is called {name!r}{near(name, rows)}")
    return rows[name]


def near(name: str, known: Mapping[str, object]) -> str:
    """The end of a sentence about a name that is not known: the nearest one, or all."""
    found = get_close_matches(name, known, n=1)
    return f": did you mean {found[0]}?" if found else f": known are {', '.join(known)}"
