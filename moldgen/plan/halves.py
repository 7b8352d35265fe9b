"""The two halves of a two-part mold: what rubber each takes, and where air stays in its pour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.errors import Finding, Grade
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Point3
from moldgen.geometry.solids import Solid
from moldgen.job.job import Job
from moldgen.plan.channel_notes import point_text
from moldgen.plan.keys import SIDE_SLOPE, Key
from moldgen.plan.nouns import Cup, PocketFate, Quantities
from moldgen.plan.poured import Poured, in_casting_frame
from moldgen.plan.quantities import plan_quantities
from moldgen.plan.resin_pour import ResinPour
from moldgen.plan.two_part_nouns import Half
from moldgen.study.pocket import Pocket

WORTH_NAMING_MM3 = 5.0  # a bead of 2 mm
FRONT, BACK = (0.0, -1.0, 0.0), (0.0, 1.0, 0.0)


def plan_halves(
    pour: ResinPour, mesh: Mesh, poured: Poured, keys: tuple[Key, ...]
) -> tuple[Half, Half]:
    """Weigh both halves and list the air in their pours.

    Parameters
    ----------
    pour : ResinPour
    mesh : Mesh
        The part in the frame of the pull [mm].
    poured : Poured
        Both halves without keys and channels.
    keys : tuple of Key
        They stand on half B.
    """
    keys_mm3 = sum(_key_mm3(key) for key in keys)
    channels_mm3 = pour.bores_mm3 / 2.0
    a_mm3 = poured.half_a.volume_mm3 - channels_mm3 - keys_mm3
    b_mm3 = poured.half_b.volume_mm3 - channels_mm3 + keys_mm3
    air_a, air_b = poured.pockets(pour.job.channels.limit_mm3)
    pair = (("A", FRONT, a_mm3, air_a), ("B", BACK, b_mm3, air_b))
    coated = mesh.area_mm2 / 2.0
    return tuple(  # type: ignore[return-value]
        Half(name, up, mm3, _weigh(pour, coated, mm3), tuple(_fate(name, p) for p in air))
        for name, up, mm3, air in pair
    )


def together(halves: tuple[Half, Half]) -> Quantities:
    """Both halves on one list: the cups in the order of work."""
    job_mix = [half.quantities for half in halves]
    cups = tuple(
        replace(cup, what=f"half {half.name}: {cup.what}")
        for half in halves
        for cup in half.quantities.rubber.cups
    )
    first = job_mix[0]
    stays = sum(q.rubber.total_g / (1.0 + q.allowance) for q in job_mix)
    total = _sum_of(cups)
    rubber = replace(first.rubber, total_g=total[0], a_g=total[1], b_g=total[2], cups=cups)
    return replace(
        first,
        rubber=rubber,
        brush_coat_g=sum(q.brush_coat_g for q in job_mix),
        allowance=total[0] / stays - 1.0,
    )


def _sum_of(cups: tuple[Cup, ...]) -> tuple[float, float, float]:
    rows = np.array([(c.total_g, c.a_g, c.b_g) for c in cups])
    counts = np.array([c.count for c in cups])
    total, a, b = (counts @ rows).tolist()
    return total, a, b


def _weigh(pour: ResinPour, coated_mm2: float, rubber_mm3: float) -> Quantities:
    job: Job = pour.job
    return plan_quantities(
        rubber_mm3,
        coated_mm2,
        pour.mesh.volume_mm3 + pour.bores_mm3,
        job,
        job.mold_rubber,
        job.casting_resin,
    )


def _key_mm3(key: Key) -> float:
    """A frustum over the sheet, whatever the shape: keys are a small share of a half."""
    a, b = key.radius_mm, key.radius_mm - SIDE_SLOPE * key.height_mm
    return float(np.pi) * key.height_mm * (a * a + a * b + b * b) / 3.0


def _fate(name: str, pocket: Pocket) -> PocketFate:
    return PocketFate(pocket, "none", f"pour of half {name}: brush the first coat into it")


def taken_findings(poured: Poured) -> tuple[Finding, ...]:
    """How much of half B's room half A takes, where it is worth a word.

    Parameters
    ----------
    poured : Poured
    """
    if poured.taken_mm3 < WORTH_NAMING_MM3:
        return ()
    many = "" if len(poured.taken) == 1 else ", most of it"
    return (
        Finding(
            Grade.NOTE,
            f"half A reaches past the parting sheet into {poured.taken_mm3:.0f} mm³ of undercuts "
            "that the bed cannot fill"
            f"{many} at {point_text(in_casting_frame(_place(poured.taken[0])))}: the seam lies "
            "deeper in them than the sheet does",
            poured.taken_mm3,
            WORTH_NAMING_MM3,
        ),
    )


def _place(room: Solid) -> Point3:
    """On the room's skin, near its middle: the middle of a ring would lie in the part."""
    mesh = room.mesh()
    middles = mesh.corners.mean(axis=1)
    x, y, z = middles[np.argmin(np.linalg.norm(middles - mesh.centroid, axis=1))].tolist()
    return (x, y, z)
