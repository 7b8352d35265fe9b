"""How a mix thickens after A meets B, and how temperature hurries it.

Time counts from mixing. At one temperature viscosity grows as mu0 exp(t / tau); a temperature
enters through Arrhenius. Units are mm, g, s, viscosity in Pa·s, energies in J/mol.
"""

from __future__ import annotations

import math

GAS_CONSTANT = 8.314462618  # J/(mol·K), exact by definition (26th CGPM, 2018)
ZERO_CELSIUS_K = 273.15


def time_constant(pot_life_s: float, growth: float) -> float:
    """The tau of mu0 exp(t / tau) that grows `growth`-fold within a pot life [s].

    tau = t_p / ln(growth). Exponential growth at one temperature: Polym. Eng. Sci. 45 (2005)
    279-287.

    Parameters
    ----------
    pot_life_s : float
    growth : float
        Viscosity at the end of the pot life over that at mixing, 2 where it doubles [-].

    Raises
    ------
    ValueError
        If the viscosity does not grow.

    Examples
    --------
    >>> round(time_constant(180.0, 2.0), 2)
    259.69
    """
    if not growth > 1.0:
        raise ValueError(f"viscosity must grow within the pot life, not change {growth:g}-fold")
    return pot_life_s / math.log(growth)


def viscosity_after(viscosity_pa_s: float, time_constant_s: float, time_s: float) -> float:
    """Viscosity some time after mixing, mu0 exp(t / tau) [Pa·s].

    Examples
    --------
    >>> round(viscosity_after(0.1, time_constant(180.0, 2.0), 360.0), 6)
    0.4
    """
    return viscosity_pa_s * math.exp(time_s / time_constant_s)


def effective_time(time_constant_s: float, start_s: float, end_s: float = math.inf) -> float:
    """Time at the starting viscosity that lets as much pass as a thickening pour does [s].

    tau (exp(-t1 / tau) - exp(-t2 / tau)).

    Examples
    --------
    Of a pot life that ends when the viscosity has doubled, 72 % count:

    >>> round(effective_time(time_constant(1.0, 2.0), 0.0, 1.0), 5)
    0.72135
    """
    tau = time_constant_s
    return tau * (math.exp(-start_s / tau) - math.exp(-end_s / tau))


def arrhenius(factor: float, energy_j_mol: float, temperature_c: float) -> float:
    """A exp(-E / (R T)), in the unit of A [-].

    Viscosity takes it with -E: it falls as it gets warm, while rates rise.

    Examples
    --------
    >>> round(arrhenius(10.3e-8, -41300.0, 25.0), 3)
    1.771
    """
    kelvin = temperature_c + ZERO_CELSIUS_K
    return factor * math.exp(-energy_j_mol / (GAS_CONSTANT * kelvin))


def castro_macosko(
    viscosity_pa_s: float, conversion: float, gel_conversion: float, b: float, c: float
) -> float:
    """Viscosity on the way to the gel; inf from the gel on [Pa·s].

    mu = mu0 [ag / (ag - a)]^(B + C a), Castro and Macosko, AIChE J. 28 (1982) 250.

    Parameters
    ----------
    viscosity_pa_s : float
        Before any reaction, at the same temperature [Pa·s].
    conversion, gel_conversion : float
        a and ag [-].
    b, c : float
        B and C [-].

    Examples
    --------
    >>> round(castro_macosko(1.771, 0.3, 0.65, 1.5, 1.0), 2)
    5.4
    """
    if conversion >= gel_conversion:
        return math.inf
    return float(
        viscosity_pa_s * (gel_conversion / (gel_conversion - conversion)) ** (b + c * conversion)
    )


def gel_conversion(first_groups: int, second_groups: int) -> float:
    """Conversion at which a stoichiometric mix of two kinds of molecule gels [-].

    1 / sqrt((f - 1) (g - 1)), Flory 1953 and Stockmayer 1943 (from memory).

    Examples
    --------
    A triol with a diisocyanate:

    >>> round(gel_conversion(3, 2), 4)
    0.7071
    """
    return 1.0 / math.sqrt((first_groups - 1) * (second_groups - 1))


def activation_energy(rate_ratio: float, low_c: float, high_c: float) -> float:
    """Energy that makes a rate grow by a ratio between two temperatures [J/mol].

    R ln(ratio) / (1/T1 - 1/T2), Arrhenius.

    Examples
    --------
    The rule that ten degrees halve the pot life:

    >>> round(activation_energy(2.0, 20.0, 30.0) / 1000, 2)
    51.22
    """
    slope = 1.0 / (low_c + ZERO_CELSIUS_K) - 1.0 / (high_c + ZERO_CELSIUS_K)
    return GAS_CONSTANT * math.log(rate_ratio) / slope


def pot_life_at(
    pot_life_s: float, stated_c: float, temperature_c: float, energy_j_mol: float
) -> float:
    """A pot life carried to another temperature [s].

    t exp[E/R (1/T - 1/T0)]. It knows nothing of the heat that a batch makes by itself.

    Parameters
    ----------
    pot_life_s : float
        At the temperature of the data sheet [s].
    stated_c, temperature_c : float
    energy_j_mol : float
        Activation energy [J/mol].

    Examples
    --------
    >>> round(pot_life_at(180.0, 20.0, 30.0, activation_energy(2.0, 20.0, 30.0)), 6)
    90.0
    """
    ratio = arrhenius(1.0, energy_j_mol, stated_c) / arrhenius(1.0, energy_j_mol, temperature_c)
    return pot_life_s * ratio
