"""Forces on the job sheet: what lifts, what holds, and what each wall bears."""

from __future__ import annotations

from typing import Any

from moldgen.report.phrases import UNKNOWN, Figure, newtons


def _lift(force_n: float) -> str:
    """What rises is held; what does not needs nobody to."""
    return newtons(force_n) if force_n > 0.0 else f"none, {newtons(-force_n)} keep them down"


def _least(value: float, digits: int, unit: str) -> str:
    """To so many digits; what is less than the last of them is not nothing."""
    least = 10.0**-digits
    return f"{value:.{digits}f} {unit}" if value >= least else f"under {least:g} {unit}"


def _bow(bow_mm: float) -> str:
    return _least(bow_mm, 2, "mm")


_ROWS = (
    ("lift_n", "lift of part and formers under rubber", _lift),
    ("sealed_lift_n", "lift while no rubber gets under the feet", _lift),
    ("hold_down_n", "the weakest joint holds", newtons),
    ("safety", "which is its load", lambda v: f"{v:.3g} times"),
    ("wall_force_n", "push of the rubber on the widest wall", newtons),
    ("wall_deflection_mm", "that wall bows by", _bow),
)
_ONLY_WHERE_KNOWN = ("sealed_lift_n", "safety")
_ONLY_AGAINST_LIFT = ("hold_down_n", "safety")

HOLD_HEAD = ("joint", "held by", "load", "holds")
WALL_HEAD = ("wall", "wetted", "push", "bows by", "stress", "enough")


def load_figures(loads: dict[str, Any]) -> tuple[Figure, ...]:
    """The forces at a glance; what was not computed says so.

    Parameters
    ----------
    loads : dict
        Of set.json.
    """
    lift = loads.get("lift_n")
    needless = _ONLY_AGAINST_LIFT if lift is not None and lift <= 0.0 else ()
    rows = [(name, loads.get(key), words, key) for key, name, words in _ROWS if key not in needless]
    return tuple(
        Figure(name, UNKNOWN if value is None else words(value))
        for name, value, words, key in rows
        if value is not None or key not in _ONLY_WHERE_KNOWN
    )


def joint_rows(loads: dict[str, Any]) -> tuple[tuple[str, ...], ...]:
    """Every joint with what holds it, its load and what it bears.

    Parameters
    ----------
    loads : dict
        Of set.json.
    """
    before = loads.get("before")
    links = [*loads.get("links", ()), *([before] if before else [])]
    return tuple((k["joint"], k["by"], newtons(k["load_n"]), newtons(k["hold_n"])) for k in links)


def wall_rows(loads: dict[str, Any]) -> tuple[tuple[str, ...], ...]:
    """Each wall: wetted size, push, bow, stress, and the least thickness that would do.

    Parameters
    ----------
    loads : dict
        Of set.json.
    """
    return tuple(
        (
            w["name"],
            f"{w['width_mm']:.0f} × {w['depth_mm']:.0f} mm",
            newtons(w["force_n"]),
            _least(w["deflection_mm"], 3, "mm"),
            _least(w["stress_mpa"], 2, "MPa"),
            f"{w['enough_mm']:.1f} mm thick",
        )
        for w in loads.get("walls", ())
    )
