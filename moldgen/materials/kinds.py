"""Materials as frozen nouns: generic classes with typical figures, never a product."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import Enum
from typing import TypeVar

from moldgen.errors import JobError
from moldgen.materials.figures import check_ranges, ranged
from moldgen.materials.mix import Mix
from moldgen.materials.pot_life import WHY_TOLD, PotLife


class Chemistry(Enum):
    """What cures, which decides what it sticks to and what stops it."""

    TIN_SILICONE = "tin-silicone"
    PLATINUM_SILICONE = "platinum-silicone"
    URETHANE = "urethane"
    EPOXY = "epoxy"
    POLYESTER = "polyester"
    LATEX = "latex"
    ALGINATE = "alginate"
    GYPSUM = "gypsum"
    WAX = "wax"
    SOAP = "soap"


@dataclass(frozen=True, kw_only=True)
class Material:
    """What both a rubber and a resin have.

    Attributes
    ----------
    name, title : str
        Its key, and the class in plain words.
    chemistry : Chemistry
    density_g_cm3 : float
        Mixed and not yet cured [g/cm³].
    mix : Mix
    viscosity_pa_s : float
        Freshly mixed, at the temperature of its pot life [Pa·s].
    pot_life_min : float or None
        None where it does not set by itself: it freezes or dries.
    pot_life : PotLife
        What that time means.
    pot_life_mass_g, pot_life_c : float
        Mass and temperature it was stated for.
    demold_h : float
        At that temperature [h].
    shrink_percent : float
        Linear; negative where it grows [%].
    conductivity_w_mk : float
        Heat conductivity [W/(m·K)].
    heat_capacity_j_gk : float
        [J/(g·K)].
    cure_heat_j_g : float
        Heat that its cure sets free [J/g].
    elongation_percent : float or None
        At break [%].
    cautions : tuple of str
        Names of the hazards it brings, keys of data/cautions.toml.
    pot_life_told : bool
        Whether the maker said what the pot life means; else it is the usual reading of the class.
    """

    name: str
    title: str
    chemistry: Chemistry
    density_g_cm3: float = ranged(0.1, 5.0, "g/cm³")
    mix: Mix
    viscosity_pa_s: float = ranged(1e-4, 1e4, "Pa·s")
    pot_life_min: float | None = ranged(0.1, 1e5, "min")
    pot_life: PotLife
    pot_life_mass_g: float = ranged(1.0, 1e5, "g")
    pot_life_c: float = ranged(-20.0, 200.0, "°C")
    demold_h: float = ranged(0.01, 1e4, "h")
    shrink_percent: float = ranged(-5.0, 20.0, "%")
    conductivity_w_mk: float = ranged(0.01, 50.0, "W/(m·K)")
    heat_capacity_j_gk: float = ranged(0.1, 10.0, "J/(g·K)")
    cure_heat_j_g: float = ranged(0.0, 2000.0, "J/g")
    elongation_percent: float | None = ranged(0.0, 2000.0, "%")
    cautions: tuple[str, ...]
    pot_life_told: bool = False

    def __post_init__(self) -> None:
        check_ranges(self, f"{self.name}.")

    @property
    def density_g_mm3(self) -> float:
        """Mixed density in the inner unit [g/mm³]."""
        return self.density_g_cm3 / 1000.0

    @property
    def working_time_s(self) -> float:
        """Pot life in the inner unit; inf where it does not set by itself [s]."""
        return math.inf if self.pot_life_min is None else 60.0 * self.pot_life_min

    @property
    def pot_life_growth(self) -> float:
        """Viscosity at the end of the pot life over that at mixing [-]."""
        return self.pot_life.growth(self.viscosity_pa_s)


M = TypeVar("M", bound=Material)


def with_pot_life(material: M, meaning: PotLife | None, minutes: float | None, where: str) -> M:
    """A material with a pot life as its maker tells it.

    Parameters
    ----------
    material : Material
    meaning : PotLife or None
        What the time means; None leaves the usual reading of the class.
    minutes : float or None
        The time; None leaves that of the class [min].
    where : str
        What an error message calls the table the two stand in.

    Raises
    ------
    JobError
        If a time comes without its meaning.
    """
    if minutes is not None and meaning is None:
        raise JobError(
            f"{where}.pot_life_min is {minutes:g} min and its meaning is not: {WHY_TOLD}"
        )
    if meaning is None:
        return material
    kept = material.pot_life_min if minutes is None else minutes
    return replace(material, pot_life=meaning, pot_life_min=kept, pot_life_told=True)


@dataclass(frozen=True, kw_only=True)
class MoldRubber(Material):
    """What a mold is made of.

    Attributes
    ----------
    hardness_shore_a : float or None
        ISO 48-4, ASTM D2240; None where the scale does not reach [Shore A].
    tear_kn_m : float or None
        Methods of ISO 34-1 and ASTM D624 are not comparable [kN/m].
    limit_c : float or None
        What it bears for the minutes of a cure; None where the maker did not say [°C].
    """

    hardness_shore_a: float | None = ranged(0.0, 99.0, "Shore A")
    tear_kn_m: float | None = ranged(0.0, 500.0, "kN/m")
    limit_c: float | None = ranged(0.0, 500.0, "°C")


@dataclass(frozen=True, kw_only=True)
class CastingResin(Material):
    """What is cast in the mold.

    Attributes
    ----------
    hardness_shore_d : float or None
        None where the scale does not reach [Shore D].
    pour_c : float
        Temperature it is poured at [°C].
    surface_tension_mn_m : float
        [mN/m].
    contact_angle_deg : float
        On cured mold rubber, below 90 where it wets.
    """

    hardness_shore_d: float | None = ranged(0.0, 100.0, "Shore D")
    pour_c: float = ranged(-20.0, 300.0, "°C")
    surface_tension_mn_m: float = ranged(1.0, 500.0, "mN/m")
    contact_angle_deg: float = ranged(0.0, 180.0, "degrees")
