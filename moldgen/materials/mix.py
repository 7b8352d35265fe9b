"""How a material of two parts is mixed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from moldgen.materials.figures import check_ranges, ranged


class MixBy(Enum):
    """What the parts of a mixing ratio count."""

    WEIGHT = "weight"
    VOLUME = "volume"


class First(Enum):
    """Which part goes into the cup first."""

    BASE = "base"
    HARDENER = "hardener"


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

    Examples
    --------
    Two parts to one by volume, of 1.2 and 1.0 g/cm³: the hardener is 1 in 3.4 by weight.

    >>> mix = Mix(base="A", hardener="B", base_parts=2.0, hardener_parts=1.0,
    ...           base_density_g_cm3=1.2, hardener_density_g_cm3=1.0, by=MixBy.VOLUME)
    >>> mix.weights, round(mix.hardener_share, 4)
    ((2.4, 1.0), 0.2941)
    """

    base: str
    hardener: str = "nothing"
    base_parts: float = ranged(1e-6, 1e6, "parts")
    hardener_parts: float = ranged(0.0, 1e6, "parts")
    base_density_g_cm3: float = ranged(0.1, 5.0, "g/cm³")
    hardener_density_g_cm3: float = ranged(0.1, 5.0, "g/cm³")
    by: MixBy = MixBy.WEIGHT
    first: First = First.HARDENER
    usual: str = ""

    def __post_init__(self) -> None:
        check_ranges(self, "mix.")

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
