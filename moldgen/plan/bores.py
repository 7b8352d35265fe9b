"""The bores to choose from: standard sprues with the necks that suit them, and vents."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from moldgen.job.job import ChannelWishes

LEAST_NECK_SHARE = 0.5  # of the sprue: a narrower neck costs more than the whole sprue
MOST_NECK_SHARE = 0.8  # and a wider one is no longer a place to cut
_SAME_MM = 1e-9


@dataclass(frozen=True, order=True)
class Bore:
    """A sprue and its neck, narrowest first [mm]."""

    sprue_mm: float
    neck_mm: float


@cache
def standard(kind: str) -> tuple[float, ...]:
    """Standard diameters of a "sprue", "neck" or "vent", rising [mm]."""
    source = files("moldgen.plan") / "data" / "bores.toml"
    return tuple(tomllib.loads(source.read_text("utf-8"))[kind]["diameters_mm"])


def bores_for(wishes: ChannelWishes) -> tuple[Bore, ...]:
    """Every pair to try, narrowest sprue first and for each the narrowest neck.

    Examples
    --------
    >>> [bore for bore in bores_for(ChannelWishes()) if bore.sprue_mm == 6.0]
    [Bore(sprue_mm=6.0, neck_mm=3.0), Bore(sprue_mm=6.0, neck_mm=3.5), \
Bore(sprue_mm=6.0, neck_mm=4.0), Bore(sprue_mm=6.0, neck_mm=4.5)]
    """
    sprues = (wishes.sprue_diameter_mm,) if wishes.sprue_diameter_mm else standard("sprue")
    return tuple(Bore(s, n) for s in sprues for n in _necks(s, wishes.neck_diameter_mm))


def _necks(sprue_mm: float, wished_mm: float | None) -> tuple[float, ...]:
    if wished_mm is not None:
        return (wished_mm,) if wished_mm <= sprue_mm else ()
    low, high = LEAST_NECK_SHARE * sprue_mm - _SAME_MM, MOST_NECK_SHARE * sprue_mm + _SAME_MM
    necks = tuple(n for n in standard("neck") if low <= n <= high)
    return necks or (min(MOST_NECK_SHARE * sprue_mm, standard("neck")[-1]),)


def vents_for(wishes: ChannelWishes) -> tuple[float, ...]:
    """Vents to try, narrowest first [mm]."""
    if wishes.vent_diameter_mm is not None:
        return (wishes.vent_diameter_mm,)
    return tuple(d for d in standard("vent") if d >= wishes.vent_neck_diameter_mm)
