"""The job: everything the maker wishes, in one frozen noun with stated defaults."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from moldgen.job.cutters import CutterList
from moldgen.job.printing import PrintWishes as PrintWishes
from moldgen.job.rack import BoxWishes, Rack
from moldgen.job.ranking import RankingWishes
from moldgen.job.rigid import RigidWishes
from moldgen.job.show_faces import ShowFace
from moldgen.job.two_part import TwoPartWishes
from moldgen.materials.kinds import CastingResin, MoldRubber, with_pot_life
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import shelf
from moldgen.materials.shelf import Shelf


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
    """The rubber block, and how it is mixed and poured.

    Attributes
    ----------
    material : str
    wall_mm, below_mm, above_mm : float
        Least rubber beside, under and over the part.
    waste_share : float
        Mixed in excess.
    brush_coat_mm : float
    cup_ml : float
        The largest cup at hand, to the brim [mL].
    mix_s : float
        Time that mixing takes.
    pour_rate_ml_s : float
        A thin stream [mL/s].
    pot_life : PotLife or None
        What the pot life means, as the data sheet has it; None takes the usual reading.
    pot_life_min : float or None
        The pot life; None takes that of the material.
    """

    material: str = "condensation-silicone"
    wall_mm: float = 10.0
    below_mm: float = 10.0
    above_mm: float = 18.0
    waste_share: float = 0.08
    brush_coat_mm: float = 0.8
    cup_ml: float = 1000.0
    mix_s: float = 180.0
    pour_rate_ml_s: float = 5.0
    pot_life: PotLife | None = None
    pot_life_min: float | None = None


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
    pour_at_most_s : float
        As long as a hand should have to pour.
    pour_rate_ml_s : float or None
        How fast it is poured by hand [mL/s]; None where the funnel is kept full.
    cup_ml : float
        The largest cup at hand, to the brim [mL].
    pot_life : PotLife or None
        What the pot life means, as the data sheet has it; None takes the usual reading.
    pot_life_min : float or None
        The pot life; None takes that of the material.
    allow_short_fill : bool
        Whether a mold that the resin does not fill before it gels is made all the same.
    """

    material: str = "urethane-slow"
    waste_share: float = 0.08
    mix_s: float = 60.0
    start_s: float = 75.0
    fill_share: float = 0.6
    pour_at_most_s: float = 300.0
    pour_rate_ml_s: float | None = None
    cup_ml: float = 500.0
    pot_life: PotLife | None = None
    pot_life_min: float | None = None
    allow_short_fill: bool = False


USUAL_SPRUE_MM = 8.0  # these three: common practice, no source; where a size is sought from
USUAL_NECK_MM = 4.0
USUAL_VENT_MM = 3.0


class Breather(Enum):
    """When the gate gets a breather: an opening for air beside it, at the same high place."""

    AUTO = "auto"
    ALWAYS = "always"
    NEVER = "never"


@dataclass(frozen=True)
class ChannelWishes:
    """Gate and vents: bores, the rubber round them [mm], the pocket that needs none [mm³].

    Attributes
    ----------
    limit_mm3 : float
    sprue_diameter_mm, neck_diameter_mm, vent_diameter_mm : float or None
        None lets moldgen choose the size that fills in time.
    funnel_diameter_mm, funnel_height_mm, vent_neck_diameter_mm : float
    gate_rubber_mm, vent_rubber_mm, side_rubber_mm : float
        Rubber kept between a channel and the part, and the sides of the block.
    breather : Breather
        Where air has no way out but the gate: auto lays one if the fill would be late or long.
    breather_over_s : float
        What is long: a fill with the gate alone that takes more [s].
    """

    limit_mm3: float = 20.0
    sprue_diameter_mm: float | None = None
    neck_diameter_mm: float | None = None
    funnel_diameter_mm: float = 20.0
    funnel_height_mm: float = 10.0
    vent_diameter_mm: float | None = None
    vent_neck_diameter_mm: float = 2.0
    gate_rubber_mm: float = 4.0
    vent_rubber_mm: float = 3.0
    side_rubber_mm: float = 3.0
    breather: Breather = Breather.AUTO
    breather_over_s: float = 300.0  # as long as a hand should pour; common practice, no source

    @property
    def sprue_mm(self) -> float:
        """Diameter of the sprue: the wish, or the usual one as wide as the neck at least [mm]."""
        return self.sprue_diameter_mm or max(USUAL_SPRUE_MM, self.neck_diameter_mm or 0.0)

    @property
    def neck_mm(self) -> float:
        """Diameter of the neck: the wish, or the usual one no wider than the sprue [mm]."""
        return self.neck_diameter_mm or min(USUAL_NECK_MM, self.sprue_mm)

    @property
    def vent_mm(self) -> float:
        """Diameter of a vent: the wish, or the usual one as wide as its neck at least [mm]."""
        return self.vent_diameter_mm or max(USUAL_VENT_MM, self.vent_neck_diameter_mm)


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
    scale_g : float
        Smallest step of the scale.
    compensate_shrink : bool
        Whether the part is made larger by what rubber and resin shrink.
    rubber, resin, channels, printing
        Wishes for each trade.
    two_part : TwoPartWishes
        Wishes for a mold in two halves.
    rigid : RigidWishes
        Wishes for a mold of two rigid halves.
    box : BoxWishes
        What the box is made of.
    rack : Rack
        The boards at hand.
    cutters : CutterList
        The router's cutters at hand.
    ranking : RankingWishes
        What counts when poses are ranked.
    materials : Shelf
        The materials at hand.
    show_faces : tuple of ShowFace
        Where a gate or vent scar is unwelcome.
    """

    kind: MoldKind = MoldKind.BLOCK
    arrangement: Arrangement | None = None
    level_error_deg: float = 1.0
    shop_c: float = 23.0
    scale_g: float = 0.1
    compensate_shrink: bool = False
    rubber: RubberWishes = field(default_factory=RubberWishes)
    resin: ResinWishes = field(default_factory=ResinWishes)
    channels: ChannelWishes = field(default_factory=ChannelWishes)
    printing: PrintWishes = field(default_factory=PrintWishes)
    two_part: TwoPartWishes = field(default_factory=TwoPartWishes)
    rigid: RigidWishes = field(default_factory=RigidWishes)
    box: BoxWishes = field(default_factory=BoxWishes)
    rack: Rack = field(default_factory=Rack)
    cutters: CutterList = field(default_factory=CutterList)
    ranking: RankingWishes = field(default_factory=RankingWishes)
    materials: Shelf = field(default_factory=shelf, repr=False)
    show_faces: tuple[ShowFace, ...] = ()

    @property
    def mold_rubber(self) -> MoldRubber:
        """The rubber wished for, with its pot life as the maker tells it.

        Raises
        ------
        JobError
            If no material has that name, or its pot life comes without its meaning.
        """
        wish = self.rubber
        material = self.materials.rubber(wish.material)
        return with_pot_life(material, wish.pot_life, wish.pot_life_min, "rubber")

    @property
    def casting_resin(self) -> CastingResin:
        """The resin wished for, with its pot life as the maker tells it.

        Raises
        ------
        JobError
            If no material has that name, or its pot life comes without its meaning.
        """
        wish = self.resin
        material = self.materials.resin(wish.material)
        return with_pot_life(material, wish.pot_life, wish.pot_life_min, "resin")
