"""Sizes in words, and what to ask about a unit that the file does not state."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import FloatArray
from moldgen.units import LengthUnit

USUAL_SIDE_MM = (10.0, 1000.0)  # common practice, no source: parts a bench mold is made for
_ASKED = (LengthUnit.MM, LengthUnit.CM, LengthUnit.INCH, LengthUnit.M)


def size_words(extents_mm: FloatArray) -> str:
    """The three sides of a bounding box, "53.3 x 40.0 x 21.0 mm", from (3,) sides [mm]."""
    return " x ".join(f"{side:.4g}" for side in extents_mm) + " mm"


def doubted_unit(extents_mm: FloatArray, taken: LengthUnit) -> Finding | None:
    """A finding where a part of unstated unit is of unusual size.

    Parameters
    ----------
    extents_mm : (3,) float
        Sides of the bounding box in the unit taken [mm].
    taken : LengthUnit
        The unit its numbers were taken in.

    Returns
    -------
    Finding or None
        The size in each unit it may have been drawn in; None where the longest side is between
        10 and 1000 mm.
    """
    longest = float(extents_mm.max())
    low, high = USUAL_SIDE_MM
    if low <= longest <= high:
        return None
    others = "; ".join(
        f"in {unit.value} {size_words(extents_mm / taken.mm * unit.mm)}"
        for unit in _ASKED
        if unit is not taken
    )
    text = (
        f"the file states no unit and was taken in {taken.value}: {size_words(extents_mm)}; "
        f"were it drawn {others}: name the right one with --unit"
    )
    return Finding(Grade.CAUTION, text, longest, low if longest < low else high)
