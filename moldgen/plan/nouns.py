"""The plan: decisions as numbers and placements, in the casting frame (+Z up for resin)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from moldgen.errors import Finding
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.recipe import Point3
from moldgen.job.job import Arrangement, Job
from moldgen.part.part import Part
from moldgen.plan.fill import FillForecast
from moldgen.plan.load_nouns import Loads as Loads
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Pocket

if TYPE_CHECKING:
    from moldgen.plan.board_nouns import BoardBox
    from moldgen.plan.rigid_nouns import RigidPlan
    from moldgen.plan.routed_nouns import RoutedBox
    from moldgen.plan.stock_nouns import RoutedHalf
    from moldgen.plan.two_part_nouns import TwoPart


@dataclass(frozen=True)
class Block:
    """The rubber block: a box between two corners [mm]; the resin pour opens at its top face."""

    low: Point3
    high: Point3

    @property
    def volume_mm3(self) -> float:
        """Inside of the box up to the fill line [mm³]."""
        x, y, z = (b - a for a, b in zip(self.low, self.high, strict=True))
        return x * y * z


@dataclass(frozen=True)
class Channel:
    """A rising way from a pocket to the top of the block.

    Attributes
    ----------
    points : tuple of (3,) float
        Axis from the part's skin up to the block's top plane; never falls [mm].
    radii_mm : tuple of float
        Radius at each point [mm].
    pocket : Pocket
        The pocket it opens, in the casting frame.
    way : str
        "straight", "slanted" or "bent".
    rubber_mm : float
        Rubber kept between channel and part, beyond the neck [mm].
    sunk_mm : float
        How far the body of the channel is carried on straight down into the part, to join it in
        more than a skin; 0 where a ball round a thin tip does that [mm].
    above_mm3 : float or None
        Of a breather, which opens the gate's own pocket beside the gate: what the part holds above
        its mouth [mm³]; None for gate and vents.
    """

    points: tuple[Point3, ...]
    radii_mm: tuple[float, ...]
    pocket: Pocket
    way: str
    rubber_mm: float
    sunk_mm: float = 1.2
    above_mm3: float | None = None

    @property
    def is_breather(self) -> bool:
        """Whether it lets out the air of the gate's own pocket, beside the gate."""
        return self.above_mm3 is not None

    @property
    def length_mm(self) -> float:
        """Length along the axis [mm]."""
        return sum(math.dist(p, q) for p, q in pairwise(self.points))

    @property
    def bore_mm(self) -> float:
        """Diameter of the channel beyond its neck [mm]."""
        return 2.0 * self.radii_mm[-1]


@dataclass(frozen=True)
class Gate:
    """The channel the resin runs down: neck at the part, sprue, funnel at the top.

    `channel` ends at the top plane with the sprue's radius; the funnel widens it there.
    """

    channel: Channel
    neck_diameter_mm: float
    sprue_diameter_mm: float
    funnel_diameter_mm: float
    funnel_height_mm: float


@dataclass(frozen=True)
class PocketFate:
    """What becomes of a pocket: "gate", "vent", "ignored" or "none", and why.

    Whether that leaves a scar on a show face is `on_show_face`.
    """

    pocket: Pocket
    connection: str
    reason: str
    on_show_face: bool = False


@dataclass(frozen=True)
class Cup:
    """Cups filled alike.

    Attributes
    ----------
    what : str
        What they are for.
    count : int
    total_g, a_g, b_g : float
        In each.
    film_g : float
        Of it, what stays on the walls of each.
    brim_ml : float
        The smallest cup that leaves room to stir, to the brim [mL].
    """

    what: str
    count: int
    total_g: float
    a_g: float
    b_g: float
    film_g: float
    brim_ml: float


@dataclass(frozen=True)
class Weighed:
    """A batch on the scale: total, A and B [g], the order of mixing, and the cups it fills."""

    total_g: float
    a_g: float
    b_g: float
    order: tuple[str, ...]
    cups: tuple[Cup, ...] = ()


@dataclass(frozen=True)
class Quantities:
    """What to mix: rubber with its brush coat, and resin.

    Attributes
    ----------
    rubber : Weighed
    brush_coat_g : float
        Of the rubber, what is mixed for the first coat.
    allowance : float
        Rubber mixed over rubber that stays in the box, less one [-].
    resin : Weighed
    resin_allowance : float
        The same of the resin [-].
    """

    rubber: Weighed
    brush_coat_g: float
    allowance: float
    resin: Weighed
    resin_allowance: float = 0.0


@dataclass(frozen=True, eq=False)
class Setup:
    """What is decided before it is asked what rubber lifts and pushes; as in `MoldPlan`."""

    job: Job
    mesh: Mesh
    arrangement: Arrangement
    block: Block
    gate: Gate
    vents: tuple[Channel, ...]

    @property
    def channels(self) -> tuple[Channel, ...]:
        """Gate and vents."""
        return (self.gate.channel, *self.vents)


@dataclass(frozen=True, eq=False)
class MoldPlan:
    """Everything decided about a block mold, before anything is cut.

    Attributes
    ----------
    part, pose, job
        What it was decided for.
    matrix : (4, 4) float
        Part file's frame to casting frame [mm].
    mesh : Mesh
        The part in the casting frame.
    arrangement : Arrangement
        Standing: rubber poured with the casting frame upside down. Hung: the same way up.
    block : Block
    gate : Gate
    vents : tuple of Channel
    resin_pockets, rubber_pockets : tuple of PocketFate
        In the casting frame, for each pour in its own direction.
    connections : int
    tilt_tolerance_deg : float or None
    quantities : Quantities
    loads : Loads
    findings : tuple of Finding
    cautions : tuple of (text, applies_to)
    forecast : FillForecast or None
        What becomes of the resin's pour; None where it was not reckoned.
    boards : BoardBox or RoutedBox, or None
        Base and walls out of the rack; None where they are printed.
    two_part : TwoPart or None
        Sheet, keys and halves; None for a mold of one block.
    rigid : RigidPlan or None
        Sheet, keys, bolts and draft of two rigid halves; None for a mold of rubber.
    routed : tuple of RoutedHalf
        Blanks of rigid halves, and what the cutters leave of them; empty where they are printed.
    """

    part: Part
    pose: Pose
    job: Job
    matrix: FloatArray
    mesh: Mesh
    arrangement: Arrangement
    block: Block
    gate: Gate
    vents: tuple[Channel, ...]
    resin_pockets: tuple[PocketFate, ...]
    rubber_pockets: tuple[PocketFate, ...]
    connections: int
    tilt_tolerance_deg: float | None
    quantities: Quantities
    loads: Loads
    findings: tuple[Finding, ...]
    cautions: tuple[tuple[str, str], ...]
    forecast: FillForecast | None = None
    boards: BoardBox | RoutedBox | None = None
    two_part: TwoPart | None = None
    rigid: RigidPlan | None = None
    routed: tuple[RoutedHalf, ...] = ()

    @property
    def scars(self) -> int:
        """How many of the connections land on a show face."""
        return sum(fate.on_show_face for fate in self.resin_pockets)
