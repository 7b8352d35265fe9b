"""A mixed liquid on the day: how thick, how fast it thickens, how long it can be poured."""

from __future__ import annotations

import math
from dataclasses import dataclass

from moldgen.materials.kinds import Material
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import texts
from moldgen.physics.thickening import arrhenius, pot_life_at, time_constant, viscosity_after


@dataclass(frozen=True)
class MixedLiquid:
    """A mix at the temperature it is poured at; time counts from the start of mixing.

    Attributes
    ----------
    name, title : str
        Of its material.
    temperature_c : float
    density_g_mm3 : float
    viscosity_pa_s : float
        At mixing [Pa·s].
    time_constant_s : float
        tau of exp(t / tau); inf where it does not set by itself.
    working_time_s : float
        Pot life at this temperature; inf where it does not set by itself.
    pot_life : PotLife
        What ends the working time.
    """

    name: str
    title: str
    temperature_c: float
    density_g_mm3: float
    viscosity_pa_s: float
    time_constant_s: float
    working_time_s: float
    pot_life: PotLife

    def viscosity_at(self, time_s: float) -> float:
        """Viscosity some time after mixing, mu exp(t / tau) [Pa·s].

        Examples
        --------
        The pot life of a fast urethane ends in a gel, 50 Pa·s:

        >>> from moldgen.materials.read import resin
        >>> round(mixed_liquid(resin("urethane-fast"), 23.0).viscosity_at(180.0), 6)
        50.0
        """
        return viscosity_after(self.viscosity_pa_s, self.time_constant_s, time_s)


def mixed_liquid(material: Material, shop_c: float) -> MixedLiquid:
    """A material mixed in a shop of a temperature.

    Parameters
    ----------
    material : Material
    shop_c : float
        Temperature of the shop, and of the cans, which stand in it.

    Notes
    -----
    ln mu = ln mu_inf + E_flow / (R T) + k t exp(-E_cure / (R T)), the dual Arrhenius of Roller,
    Polym. Eng. Sci. 15 (1975), from memory: the viscosity at mixing and the time constant each
    move with an energy of their own (data/energies.toml, with sources), and the growth within a
    pot life that doubles or gels stays, since it belongs to a conversion. Where the pot life
    ends at a viscosity instead, it ends at the same viscosity. Good for some 15 degrees about
    the data sheet's temperature. The heat a cup makes by itself is only what the pot life's
    own mass made: a larger batch sets sooner. What does not set by itself (wax, soap) is taken
    at the temperature of its figures, whatever the shop.

    Examples
    --------
    Ten degrees warmer it is thinner, and gels sooner:

    >>> from moldgen.materials.read import resin
    >>> cool, warm = (mixed_liquid(resin("urethane-fast"), c) for c in (20.0, 30.0))
    >>> round(warm.viscosity_pa_s / cool.viscosity_pa_s, 3)
    0.572
    >>> round(warm.working_time_s / cool.working_time_s, 3)
    0.5
    """
    if material.pot_life_min is None:
        return _unchanging(material)
    stated_s, stated_c = material.working_time_s, material.pot_life_c
    flow, cure = _energies(material)
    thicker = arrhenius(1.0, -flow, shop_c) / arrhenius(1.0, -flow, stated_c)
    slower = pot_life_at(1.0, stated_c, shop_c, cure)
    tau = slower * time_constant(stated_s, material.pot_life_growth)
    working = slower * stated_s
    if material.pot_life is PotLife.UNPOURABLE:
        working = max(working - tau * math.log(thicker), 0.0)
    return MixedLiquid(
        material.name,
        material.title,
        shop_c,
        material.density_g_mm3,
        material.viscosity_pa_s * thicker,
        tau,
        working,
        material.pot_life,
    )


def _unchanging(material: Material) -> MixedLiquid:
    return MixedLiquid(
        material.name,
        material.title,
        material.pot_life_c,
        material.density_g_mm3,
        material.viscosity_pa_s,
        math.inf,
        math.inf,
        material.pot_life,
    )


def _energies(material: Material) -> tuple[float, float]:
    """Activation energies of flow and of cure [J/mol]."""
    row = texts("energies")[material.chemistry.value]
    return row["flow_j_mol"]["value"], row["cure_j_mol"]["value"]
