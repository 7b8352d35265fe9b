"""Materials as frozen nouns: generic classes with typical figures, never a product."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass, replace
from enum import Enum
from typing import Any, TypeVar

from moldgen.errors import JobError

GEL_PA_S = 50.0  # where ISO 2535 calls a polyester gelled (from memory)
UNPOURABLE_PA_S = 20.0  # thick honey: common practice, no source
GEL_GROWTH = 10.0  # least growth to a gel, for what is thick from the start: common practice
UNPOURABLE_GROWTH = 5.0  # the same, to where it no longer runs


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


class MixBy(Enum):
    """What the parts of a mixing ratio count."""

    WEIGHT = "weight"
    VOLUME = "volume"


class First(Enum):
    """Which part goes into the cup first."""

    BASE = "base"
    HARDENER = "hardener"


class PotLife(Enum):
    """What a data sheet means by pot life; the meanings are not interchangeable.

    Time to double in viscosity (common for adhesives, ISO 10364 asks for the method), to gel
    (ASTM D2471, ISO 2535), or until it no longer runs from the cup.
    """

    DOUBLES = "doubles"
    GELS = "gels"
    UNPOURABLE = "unpourable"

    def growth(self, viscosity_pa_s: float) -> float:
        """Viscosity at the end of the pot life over that at mixing [-].

        Examples
        --------
        >>> PotLife.DOUBLES.growth(0.1), PotLife.GELS.growth(0.1), PotLife.UNPOURABLE.growth(20.0)
        (2.0, 500.0, 5.0)
        """
        if self is PotLife.DOUBLES:
            return 2.0
        if self is PotLife.GELS:
            return max(GEL_PA_S / viscosity_pa_s, GEL_GROWTH)
        return max(UNPOURABLE_PA_S / viscosity_pa_s, UNPOURABLE_GROWTH)


READINGS = {
    PotLife.DOUBLES: "the time in which the viscosity doubles",
    PotLife.GELS: "the time to the gel",
    PotLife.UNPOURABLE: "the time until it no longer runs from the cup",
}
# 0.72135 over 0.16059 of the pot life, for a mix of 0.1 Pa·s that doubles or gels within it
WHY_TOLD = (
    'say pot_life = "doubles" (the viscosity has doubled), "gels" or "unpourable" (it no longer '
    "runs from the cup), as the data sheet means it: about 4.5 times as much resin gets through a "
    "gate under the first reading as under the second"
)


@dataclass(frozen=True)
class Figure:
    """A typical value, the range its class spans, and the mark of its source.

    Attributes
    ----------
    value, low, high : float
        In the unit that the figure's key ends in; low and high are None where a maker gave one
        number [-].
    source : str
        A key of data/sources.toml, or a maker's own words.
    """

    value: float
    low: float | None
    high: float | None
    source: str


def _ranged(low: float, high: float, unit: str) -> Any:
    """A field whose number must lie in a range that any such material keeps."""
    return dataclasses.field(metadata={"low": low, "high": high, "unit": unit})


def allowed(field: dataclasses.Field[Any]) -> str:
    """The range of a field in words."""
    data = field.metadata
    return f"a number from {data['low']:g} to {data['high']:g} {data['unit']}".rstrip()


def _check_ranges(noun: Any, where: str) -> None:
    for field in dataclasses.fields(noun):
        value = getattr(noun, field.name)
        optional = "None" in str(field.type)
        if "low" not in field.metadata or (value is None and optional):
            continue
        number = isinstance(value, int | float) and not isinstance(value, bool)
        if not number or not field.metadata["low"] <= value <= field.metadata["high"]:
            raise JobError(f"{where}{field.name} is {value!r}, allowed is {allowed(field)}")


@dataclass(frozen=True, kw_only=True)
class Mix:
    """How a two-part material is mixed; a one-part material has no hardener.

    Attributes
    ----------
    base, hardener : str
        What the two parts are called.
    base_parts, hardener_parts : float
        The ratio; hardener_parts is 0 for one part [-].
    base_density_g_cm3, hardener_density_g_cm3 : float
        Of the two parts alone; of any value if there is one part.
    by : MixBy
        What the parts count.
    first : First
        Which goes into the cup first.
    usual : str
        The ratios that the class comes in, in words.
    """

    base: str
    hardener: str = "nothing"
    base_parts: float = _ranged(1e-6, 1e6, "parts")
    hardener_parts: float = _ranged(0.0, 1e6, "parts")
    base_density_g_cm3: float = _ranged(0.1, 5.0, "g/cm³")
    hardener_density_g_cm3: float = _ranged(0.1, 5.0, "g/cm³")
    by: MixBy = MixBy.WEIGHT
    first: First = First.HARDENER
    usual: str = ""

    def __post_init__(self) -> None:
        _check_ranges(self, "mix.")

    @property
    def is_one_part(self) -> bool:
        """Whether there is nothing to mix."""
        return self.hardener_parts == 0.0

    @property
    def weights(self) -> tuple[float, float]:
        """Parts of base and hardener by weight [-]."""
        if self.by is MixBy.WEIGHT:
            return (self.base_parts, self.hardener_parts)
        return (
            self.base_parts * self.base_density_g_cm3,
            self.hardener_parts * self.hardener_density_g_cm3,
        )

    @property
    def hardener_share(self) -> float:
        """Hardener over the whole, by weight [-]."""
        base, hardener = self.weights
        return hardener / (base + hardener)


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
    density_g_cm3: float = _ranged(0.1, 5.0, "g/cm³")
    mix: Mix
    viscosity_pa_s: float = _ranged(1e-4, 1e4, "Pa·s")
    pot_life_min: float | None = _ranged(0.1, 1e5, "min")
    pot_life: PotLife
    pot_life_mass_g: float = _ranged(1.0, 1e5, "g")
    pot_life_c: float = _ranged(-20.0, 200.0, "°C")
    demold_h: float = _ranged(0.01, 1e4, "h")
    shrink_percent: float = _ranged(-5.0, 20.0, "%")
    conductivity_w_mk: float = _ranged(0.01, 50.0, "W/(m·K)")
    heat_capacity_j_gk: float = _ranged(0.1, 10.0, "J/(g·K)")
    cure_heat_j_g: float = _ranged(0.0, 2000.0, "J/g")
    elongation_percent: float | None = _ranged(0.0, 2000.0, "%")
    cautions: tuple[str, ...]
    pot_life_told: bool = False

    def __post_init__(self) -> None:
        _check_ranges(self, f"{self.name}.")

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

    hardness_shore_a: float | None = _ranged(0.0, 99.0, "Shore A")
    tear_kn_m: float | None = _ranged(0.0, 500.0, "kN/m")
    limit_c: float | None = _ranged(0.0, 500.0, "°C")


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

    hardness_shore_d: float | None = _ranged(0.0, 100.0, "Shore D")
    pour_c: float = _ranged(-20.0, 300.0, "°C")
    surface_tension_mn_m: float = _ranged(1.0, 500.0, "mN/m")
    contact_angle_deg: float = _ranged(0.0, 180.0, "degrees")
