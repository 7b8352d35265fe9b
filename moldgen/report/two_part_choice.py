"""The table of ways to lie and come apart that were weighed, for the sheet of a two-part mold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from moldgen.report.boards import Table
from moldgen.report.phrases import mm

TITLE = "Ways to lie and come apart that were weighed"
HEAD = (
    "",
    "points up",
    "pull",
    "stuck",
    "outline climbs",
    "connections",
    "height",
    "stands the bench",
)
TAKEN, FAILED = "taken", "failed"


def considered_table(two_part: dict[str, Any]) -> Table:
    """One row for each way, the one taken first.

    Parameters
    ----------
    two_part : dict
        The entry of set.json.
    """
    return Table(TITLE, HEAD, tuple(_row(way) for way in two_part["considered"]))


def _row(way: dict[str, Any]) -> tuple[str, ...]:
    hidden = f", {way['hidden']} out of reach" if way["hidden"] else ""
    return (
        TAKEN if way["taken"] else FAILED if way["refused"] else "",
        _direction(way["up"]),
        _direction(way["pull"]),
        f"{way['stuck_mm3']:.0f} mm³",
        mm(way["climb_mm"]),
        f"{way['connections']}{hidden}",
        mm(way["height_mm"]),
        {True: "yes", False: "no", None: "not looked at"}[way["steady"]],
    )


def _direction(row: Sequence[float]) -> str:
    return "(" + ", ".join(f"{round(c, 2) + 0.0:g}" for c in row) + ")"
