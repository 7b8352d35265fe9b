"""The job: everything the maker wishes, in one frozen noun with stated defaults."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum


class MoldKind(Enum):
    """The kind of mold."""

    BLOCK = "block"
    TWO_PART = "two-part"
    JACKET = "jacket"
    RIGID = "rigid"
    OPEN_FACE = "open-face"


class Arrangement(Enum):
    """How the part is carried while rubber is poured."""

    STANDING = "standing"
    HUNG = "hung"


@dataclass(frozen=True)
class RubberWishes:
    """The rubber block: class of rubber, least walls [mm] and the share poured in excess."""

    material: str = "condensation-silicone"
    wall_mm: float = 10.0
    below_mm: float = 10.0
    above_mm: float = 18.0
    waste_share: float = 0.08
    brush_coat_mm: float = 0.8


@dataclass(frozen=True)
class ResinWishes:
    """The casting resin, and how it is poured.

    Attributes
    ----------
    material : str
        Class of resin.
    waste_share : float
        Mixed in excess.
    mix_s : float
        Time that mixing takes.
    start_s : float
        From the start of mixing to the start of the pour; no less than mixing.
    fill_share : float
        Share of the working time, from the start of mixing, within which the mold must be full.
    pour_rate_ml_s : float or None
        How fast it is poured by hand [mL/s]; None where the funnel is kept full.
    """

    material: str = "urethane-fast"
    waste_share: float = 0.08
    mix_s: float = 60.0
    start_s: float = 75.0
    fill_share: float = 0.6
    pour_rate_ml_s: float | None = None


@dataclass(frozen=True)
class ChannelWishes:
    """Gate and vents: bores, the rubber round them [mm], the pocket that needs none [mm³]."""

    limit_mm3: float = 20.0
    sprue_diameter_mm: float = 8.0
    neck_diameter_mm: float = 4.0
    funnel_diameter_mm: float = 20.0
    funnel_height_mm: float = 10.0
    vent_diameter_mm: float = 3.0
    vent_neck_diameter_mm: float = 2.0
    gate_rubber_mm: float = 4.0
    vent_rubber_mm: float = 3.0
    side_rubber_mm: float = 3.0


@dataclass(frozen=True)
class PrintWishes:
    """Printed pieces: walls, base, fit, and the formers' feet [mm]; the part's density [g/cm³]."""

    wall_mm: float = 4.0
    base_mm: float = 6.0
    fit_mm: float = 0.15
    foot_diameter_mm: float = 5.0
    foot_depth_mm: float = 3.5
    part_density_g_cm3: float = 1.0


@dataclass(frozen=True)
class Job:
    """The wishes for one mold set.

    Attributes
    ----------
    kind : MoldKind
    arrangement : Arrangement or None
        How the part is carried, or None to let moldgen choose.
    level_error_deg : float
        How far off level the bench may be [deg].
    shop_c : float
        Temperature of the shop, and of what is mixed in it.
    rubber, resin, channels, printing
        Wishes for each trade.
    """

    kind: MoldKind = MoldKind.BLOCK
    arrangement: Arrangement | None = None
    level_error_deg: float = 1.0
    shop_c: float = 23.0
    rubber: RubberWishes = field(default_factory=RubberWishes)
    resin: ResinWishes = field(default_factory=ResinWishes)
    channels: ChannelWishes = field(default_factory=ChannelWishes)
    printing: PrintWishes = field(default_factory=PrintWishes)
