"""What goes on the scale: rubber and resin cup by cup, and together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from moldgen.materials.kinds import Material
from moldgen.plan.nouns import MoldPlan
from moldgen.report.phrases import grams


@dataclass(frozen=True)
class Batch:
    """One material on the scale.

    Attributes
    ----------
    title, material : str
    a_name, b_name : str
        What A and B are called; B is empty for a one-part material.
    rows : tuple of (what, total, A, B)
    order : tuple of str
        The order of mixing.
    """

    title: str
    material: str
    a_name: str
    b_name: str
    rows: tuple[tuple[str, str, str, str], ...]
    order: tuple[str, ...]


def batches(plan: MoldPlan, quantities: dict[str, Any]) -> tuple[Batch, ...]:
    """Rubber and resin on the scale, those that are poured at all.

    Parameters
    ----------
    plan : MoldPlan
    quantities : dict
        The key `quantities` of set.json.
    """
    rows = (("Rubber", "rubber", plan.job.mold_rubber), ("Resin", "resin", plan.job.casting_resin))
    return tuple(
        _batch_of(title, material, quantities[key], {"resin": ", for one casting"}.get(key, ""))
        for title, key, material in rows
        if quantities[key]["cups"]
    )


def _batch_of(title: str, material: Material, batch: dict[str, Any], use: str) -> Batch:
    spare = f"{100.0 * batch['allowance']:.0f} % over what stays, for spills and the cup's walls"
    mix = material.mix
    together = [_row("together", batch)] if _n_cups(batch) > 1 else []
    return Batch(
        title,
        f"{material.title}{use}; {spare}",
        mix.base,
        "" if mix.is_one_part else mix.hardener,
        (*(_row(_cup_name(cup), cup) for cup in batch["cups"]), *together),
        tuple(batch["order"]),
    )


def _n_cups(batch: dict[str, Any]) -> int:
    return sum(cup["count"] for cup in batch["cups"])


def _cup_name(cup: dict[str, Any]) -> str:
    """What a cup is for, how many alike, and how large it must be."""
    many = "" if cup["count"] == 1 else f"{cup['count']} cups, each of "
    return f"{cup['what']} ({many}{cup['brim_ml']:.0f} mL or larger)"


def _row(what: str, batch: dict[str, Any]) -> tuple[str, str, str, str]:
    total, a, b = (grams(batch[k]) for k in ("total_g", "a_g", "b_g"))
    return what, total, a, b
