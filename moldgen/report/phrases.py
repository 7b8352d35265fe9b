"""Figures as people read them: with a unit, and no more digits than a bench can use."""

from __future__ import annotations

from dataclasses import dataclass

UNKNOWN = "not computed"


@dataclass(frozen=True)
class Figure:
    """One figure: what it is, how much, and what else to know."""

    name: str
    value: str
    note: str = ""


def grams(mass_g: float) -> str:
    """A mass as the bench scale shows it, below a gram to a hundredth [g]."""
    return f"{mass_g:.2f} g" if 0.0 < mass_g < 0.995 else f"{mass_g:.1f} g"


def mm(length_mm: float) -> str:
    """A length to a tenth [mm]."""
    return f"{length_mm:.1f} mm"


def degrees(angle_deg: float | None) -> str:
    """An angle to a tenth, or that it was not computed [deg]."""
    return UNKNOWN if angle_deg is None else f"{angle_deg:.1f}°"


def newtons(force_n: float) -> str:
    """A force to three digits, below 1 N to a hundredth [N]."""
    if 0.0 < abs(force_n) < 0.01:
        return "under 0.01 N"
    return f"{force_n:.3g} N" if abs(force_n) >= 0.995 else f"{round(force_n, 2) + 0.0:g} N"


def duration(time_s: float) -> str:
    """A time in the largest unit that leaves it at least two of them; minutes below ten with
    their seconds [s]."""
    if 120.0 <= time_s < 599.5 and round(time_s) % 60:
        return f"{round(time_s) // 60} min {round(time_s) % 60} s"
    for unit, size in (("days", 86400.0), ("h", 3600.0), ("min", 60.0)):
        if time_s >= 2.0 * size:
            return f"{time_s / size:.3g} {unit}"
    return f"{time_s:.0f} s"


def count(n: int, word: str) -> str:
    """A number of things, in the singular or the plural."""
    return f"{n} {word}" if n == 1 else f"{n} {word}s"
