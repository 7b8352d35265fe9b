"""Materials as frozen nouns: generic classes with typical figures, never a product."""

from __future__ import annotations

from dataclasses import dataclass

from moldgen.errors import JobError


@dataclass(frozen=True)
class Mix:
    """How a two-part material is mixed by weight; one-part materials have no hardener.

    Attributes
    ----------
    base, hardener : str
        What the two parts are called.
    base_parts, hardener_parts : float
        Parts by weight.
    """

    base: str
    hardener: str
    base_parts: float
    hardener_parts: float

    def __post_init__(self) -> None:
        if self.base_parts <= 0 or self.hardener_parts < 0:
            raise JobError(
                f"a mix needs parts of {self.base} above 0 and of {self.hardener} not below 0, "
                f"not {self.base_parts:g} to {self.hardener_parts:g}"
            )

    @property
    def hardener_share(self) -> float:
        """Hardener over the whole, by weight."""
        return self.hardener_parts / (self.base_parts + self.hardener_parts)


@dataclass(frozen=True)
class Material:
    """What both a rubber and a resin have.

    Attributes
    ----------
    name : str
    title : str
        The class in plain words.
    density_g_cm3 : float
        Mixed density [g/cm³].
    mix : Mix
    cautions : tuple of str
        Names of the hazards it brings.
    source : str
        Where the figures come from.
    """

    name: str
    title: str
    density_g_cm3: float
    mix: Mix
    cautions: tuple[str, ...]
    source: str

    def __post_init__(self) -> None:
        if not 0.1 <= self.density_g_cm3 <= 5.0:
            raise JobError(
                f"the density of {self.name} is {self.density_g_cm3:g} g/cm³; 0.1 to 5 is possible"
            )

    @property
    def density_g_mm3(self) -> float:
        """Mixed density in the inner unit [g/mm³]."""
        return self.density_g_cm3 / 1000.0


@dataclass(frozen=True)
class MoldRubber(Material):
    """A rubber for molds."""


@dataclass(frozen=True)
class CastingResin(Material):
    """A resin, or anything else that is cast."""
