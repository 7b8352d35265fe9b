"""The two halves of a two-part mold: what rubber each takes, and where air stays in its pour."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from moldgen.geometry.columns import columns_along
from moldgen.geometry.mesh import FloatArray, Mesh
from moldgen.geometry.parting import Parting
from moldgen.job.job import Job
from moldgen.plan.keys import SIDE_SLOPE, Key
from moldgen.plan.nouns import Block, Cup, PocketFate, Quantities
from moldgen.plan.quantities import plan_quantities
from moldgen.plan.resin_pour import ResinPour
from moldgen.plan.two_part_nouns import TO_PULL, Half
from moldgen.study.pocket import Liquid, Pocket

CELLS = 300  # along the longer side of the block
FRONT, BACK = (0.0, -1.0, 0.0), (0.0, 1.0, 0.0)


def plan_halves(
    pour: ResinPour, mesh: Mesh, block: Block, parting: Parting, keys: tuple[Key, ...]
) -> tuple[Half, Half]:
    """Weigh both halves and look for air in their pours.

    Parameters
    ----------
    pour : ResinPour
    mesh : Mesh
        The part in the frame of the pull [mm].
    block : Block
        In the same frame.
    parting : Parting
    keys : tuple of Key
    """
    total = block.volume_mm3 - mesh.volume_mm3 - pour.bores_mm3
    before = _share_before(mesh, block, parting)
    keys_mm3 = sum(_key_mm3(key) for key in keys)
    a_mm3 = before * (block.volume_mm3 - mesh.volume_mm3) - pour.bores_mm3 / 2.0 - keys_mm3
    pair = (("A", FRONT, a_mm3), ("B", BACK, total - a_mm3))
    coated = mesh.area_mm2 / 2.0
    return tuple(  # type: ignore[return-value]
        Half(name, up, mm3, _weigh(pour, coated, mm3), _pockets(pour, parting, name, up))
        for name, up, mm3 in pair
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


def _share_before(mesh: Mesh, block: Block, parting: Parting) -> float:
    """Share of the mold's room, the part taken out, that lies before the sheet [-]."""
    low, high = np.array(block.low), np.array(block.high)
    pitch = float((high - low)[:2].max()) / CELLS
    seen = columns_along(mesh, np.eye(3), pitch)
    n = np.ceil((high - low)[:2] / pitch).astype(int)
    axes = [a + (np.arange(k) + 0.5) / k * (b - a) for a, b, k in zip(low, high, n, strict=False)]
    grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 2)
    sheet = float((high[2] - parting.sheet.heights(grid)).mean())
    room = sheet * float(np.prod((high - low)[:2])) - _part_before(seen, parting)
    return room / (block.volume_mm3 - mesh.volume_mm3)


def _part_before(seen, parting: Parting) -> float:  # type: ignore[no-untyped-def]
    """Volume of the part before the sheet; where a column has gaps, spread evenly over it."""
    i, j = np.nonzero(seen.met)
    flat: FloatArray = seen.corner_mm + seen.pitch_mm * np.column_stack([i, j])
    heights = parting.sheet.heights(flat)
    low, high = seen.low_mm[seen.met], seen.high_mm[seen.met]
    span = np.maximum(high - low, 1e-9)
    share = np.clip((high - heights) / span, 0.0, 1.0)
    return float((share * seen.material_mm[seen.met]).sum()) * float(seen.pitch_mm) ** 2


def _key_mm3(key: Key) -> float:
    """A frustum over the sheet, whatever the shape: keys are a small share of a half."""
    a, b = key.radius_mm, key.radius_mm - SIDE_SLOPE * key.height_mm
    return float(np.pi) * key.height_mm * (a * a + a * b + b * b) / 3.0


def _pockets(
    pour: ResinPour, parting: Parting, name: str, up: tuple[float, float, float]
) -> tuple[PocketFate, ...]:
    """Hollows of the part on this half's side of the sheet that hold air in its pour."""
    found = pour.finder.find(up, Liquid.RUBBER, pour.job.channels.limit_mm3).pockets
    side = 1.0 if name == "A" else -1.0
    return tuple(
        PocketFate(p, "none", f"pour of half {name}: brush the first coat into it")
        for p in found
        if side * _over_sheet(parting, p) > 0.0
    )


def _over_sheet(parting: Parting, pocket: Pocket) -> float:
    x, y, z = TO_PULL[:3, :3] @ np.array(pocket.point_mm)
    return float(z - parting.sheet.heights(np.array([[x, y]]))[0])
