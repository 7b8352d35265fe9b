"""What a data sheet means by pot life."""

from __future__ import annotations

from enum import Enum

GEL_PA_S = 50.0  # where ISO 2535 calls a polyester gelled (from memory)
UNPOURABLE_PA_S = 20.0  # thick honey: common practice, no source
GEL_GROWTH = 10.0  # least growth to a gel, for what is thick from the start: common practice
UNPOURABLE_GROWTH = 5.0  # the same, to where it no longer runs


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
