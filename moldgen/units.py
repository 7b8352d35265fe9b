"""Units at the edge. Inside everything is mm, g, s, so pressure is Pa and viscosity Pa·s.

The system is coherent: g/(mm·s²) is Pa and g/(mm·s) is Pa·s; a force comes out in µN.
"""

from __future__ import annotations

from enum import Enum

GRAVITY_MM_S2 = 9806.65  # standard gravity, exact by definition (3rd CGPM, 1901)
MICRONEWTON_PER_NEWTON = 1e6
MM3_PER_CM3 = 1e3


class LengthUnit(Enum):
    """A length unit that a part file may be drawn in; the value is its symbol."""

    MICRON = "micron"
    MM = "mm"
    CM = "cm"
    M = "m"
    INCH = "inch"
    FOOT = "foot"

    @property
    def mm(self) -> float:
        """Millimeters in one unit [mm]."""
        return _MM[self]


_MM = {
    LengthUnit.MICRON: 1e-3,
    LengthUnit.MM: 1.0,
    LengthUnit.CM: 10.0,
    LengthUnit.M: 1000.0,
    LengthUnit.INCH: 25.4,
    LengthUnit.FOOT: 304.8,
}


def newton(micronewton: float) -> float:
    """Force for people [N] from the inner unit g·mm/s² [µN]."""
    return micronewton / MICRONEWTON_PER_NEWTON
