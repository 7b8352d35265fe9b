"""Cure: rates of reaction, and the time they take.

Conversion counts from 0 to 1. Rates in 1/s, energies in J/mol, temperatures in °C.
"""

from __future__ import annotations

import math

from moldgen.physics.thickening import ZERO_CELSIUS_K


def kamal_rate(conversion: float, k1_per_s: float, k2_per_s: float, m: float, n: float) -> float:
    """Rate of cure (k1 + k2 a^m) (1 - a)^n [1/s].

    Kamal and Sourour, Polym. Eng. Sci. 13 (1973) 59 (from memory).

    Parameters
    ----------
    conversion : float
        a [-].
    k1_per_s, k2_per_s : float
    m, n : float
        Orders [-].

    Examples
    --------
    >>> kamal_rate(0.0, 1e-3, 1e-2, 1.0, 1.0)
    0.001
    """
    return float((k1_per_s + k2_per_s * conversion**m) * (1.0 - conversion) ** n)


def kamal_conversion(time_s: float, k1_per_s: float, k2_per_s: float) -> float:
    """Conversion after a time at one temperature, for m = n = 1 [-].

    (1 - e) / (1 + (k2/k1) e) with e = exp(-(k1 + k2) t).

    Examples
    --------
    >>> round(kamal_conversion(300.0, 1e-3, 1e-2), 6)
    0.703605
    """
    e = math.exp(-(k1_per_s + k2_per_s) * time_s)
    return (1.0 - e) / (1.0 + k2_per_s / k1_per_s * e)


def kamal_time(conversion: float, k1_per_s: float, k2_per_s: float) -> float:
    """Time to a conversion at one temperature, for m = n = 1 [s].

    The inverse of `kamal_conversion`.

    Examples
    --------
    >>> round(kamal_time(kamal_conversion(300.0, 1e-3, 1e-2), 1e-3, 1e-2), 6)
    300.0
    """
    grown = 1.0 + k2_per_s / k1_per_s * conversion
    return math.log(grown / (1.0 - conversion)) / (k1_per_s + k2_per_s)


def kamal_peak_time(k1_per_s: float, k2_per_s: float) -> float:
    """When the rate is highest at one temperature, for m = n = 1; 0 if it only falls [s].

    ln(k2/k1) / (k1 + k2).

    Examples
    --------
    >>> round(kamal_peak_time(1e-3, 1e-2), 3)
    209.326
    """
    return max(0.0, math.log(k2_per_s / k1_per_s)) / (k1_per_s + k2_per_s)


def diffusion_stop(
    conversion: float, temperature_c: float, sharpness: float, at_zero_k: float, per_k: float
) -> float:
    """Factor by which a rate fades as a network turns to glass [-].

    1 / (1 + exp(C (a - (a0 + aT T)))), T in kelvin.

    Parameters
    ----------
    conversion : float
        a [-].
    temperature_c : float
    sharpness : float
        C [-].
    at_zero_k : float
        a0 [-].
    per_k : float
        aT [1/K].

    Examples
    --------
    >>> round(diffusion_stop(0.8, 180.0, 43.09, -1.684, 5.475e-3), 3)
    0.468
    """
    limit = at_zero_k + per_k * (temperature_c + ZERO_CELSIUS_K)
    return 1.0 / (1.0 + math.exp(sharpness * (conversion - limit)))


def second_order_time(conversion: float, rate_per_s: float, excess: float = 1.0) -> float:
    """Time to a conversion of the scarcer group at one temperature [s].

    a / (k (1 - a)) for equal groups, ln[(r - a) / (r (1 - a))] / (k (r - 1)) for r times as many
    of the other.

    Parameters
    ----------
    conversion : float
        Of the scarcer group [-].
    rate_per_s : float
        Rate constant times the starting concentration of the scarcer group [1/s].
    excess : float
        The other group over the scarcer one at the start [-].

    Examples
    --------
    >>> second_order_time(0.5, 0.01)
    100.0
    """
    if excess == 1.0:
        return conversion / (rate_per_s * (1.0 - conversion))
    ratio = (excess - conversion) / (excess * (1.0 - conversion))
    return math.log(ratio) / (rate_per_s * (excess - 1.0))
