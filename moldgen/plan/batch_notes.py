"""What to know before A meets B: what the pot life means, and batches that mix badly."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job
from moldgen.materials.kinds import Chemistry, Material
from moldgen.materials.pot_life import READINGS, PotLife
from moldgen.physics.mixing import degassing_growth, gas_expansion, ratio_error
from moldgen.plan.liquid import mixed_liquid
from moldgen.plan.nouns import Cup, Quantities, Weighed

RATIO_ERROR = 0.03  # a ratio off by more cures soft or brittle: common practice, no source
HEATS = (Chemistry.URETHANE, Chemistry.EPOXY, Chemistry.POLYESTER)  # their own cup
WARMER_MASS = 2.0  # a cup of so many times the pot life's mass sets sooner: common practice
LEAST_G = 85.0  # three ounces: published in the trade as the least batch
VACUUM_INHG = 29.0  # where bubbles break: published in the trade
STIRRED_AIR = 0.10  # of the volume: common practice, no source
DEGASSED = (Chemistry.TIN_SILICONE, Chemistry.PLATINUM_SILICONE, Chemistry.URETHANE)


def batch_findings(quantities: Quantities, job: Job) -> tuple[Finding, ...]:
    """Findings about the mixing of both materials.

    Parameters
    ----------
    quantities : Quantities
    job : Job
    """
    pairs = (
        ("rubber", job.mold_rubber, quantities.rubber, job.rubber.mix_s),
        ("resin", job.casting_resin, quantities.resin, job.resin.mix_s),
    )
    found: list[Finding | None] = []
    for role, material, batch, mix_s in pairs:
        if not batch.cups:
            continue  # nothing of it is poured
        found += [
            _reading(role, material),
            _too_soon(role, material, mix_s, job.shop_c),
            _ratio(material, batch, job.scale_g),
            _split(material, batch),
            _heat(material, batch),
            _small(material, batch),
        ]
    found.append(_head_room(job.mold_rubber, quantities.rubber))
    return tuple(finding for finding in found if finding)


def _reading(role: str, material: Material) -> Finding | None:
    """Which meaning of the pot life was assumed, and how to say another."""
    if material.pot_life_told or material.pot_life_min is None:
        return None
    others = " or ".join(f'"{m.value}"' for m in PotLife if m is not material.pot_life)
    return Finding(
        Grade.NOTE,
        f"the pot life of {material.title}, {material.pot_life_min:g} min for "
        f"{material.pot_life_mass_g:g} g at {material.pot_life_c:g} °C, was taken as "
        f"{READINGS[material.pot_life]}; if your data sheet means {others}, or another time, set "
        f"{role}.pot_life and {role}.pot_life_min in the job file: the readings differ by up to "
        "4.5 times in what gets through a gate",
    )


def _too_soon(role: str, material: Material, mix_s: float, shop_c: float) -> Finding | None:
    working = mixed_liquid(material, shop_c).working_time_s
    if working > mix_s:
        return None
    return Finding(
        Grade.STOP,
        f"{material.title} sets {working:.0f} s after mixing begins at {shop_c:g} °C, and mixing "
        f"takes {mix_s:.0f} s: take a slower {role}, a cooler shop, or mix quicker",
        working,
        mix_s,
    )


def _ratio(material: Material, batch: Weighed, scale_g: float) -> Finding | None:
    """The worst cup, where the scale is too coarse for its smaller part."""
    if material.mix.is_one_part or not batch.cups:
        return None
    cup = min(batch.cups, key=_smaller_g)
    error = ratio_error(scale_g, _smaller_g(cup))
    if error <= RATIO_ERROR:
        return None
    least = scale_g / RATIO_ERROR * cup.total_g / _smaller_g(cup)
    part = material.mix.hardener if cup.b_g <= cup.a_g else material.mix.base
    return Finding(
        Grade.CAUTION,
        f"{material.title}, {cup.what}: {_smaller_g(cup):.2f} g of {part} on a scale that shows "
        f"{scale_g:g} g may be off by {100.0 * error:.0f} %, and {100.0 * RATIO_ERROR:g} % is the "
        "most it may: use a finer scale, or "
        f"mix at least {least:.0f} g",
        error,
        RATIO_ERROR,
    )


def _smaller_g(cup: Cup) -> float:
    return min(cup.a_g, cup.b_g)


def _split(material: Material, batch: Weighed) -> Finding | None:
    cup = max(batch.cups, key=lambda c: c.count, default=None)
    if cup is None or cup.count == 1:
        return None
    return Finding(
        Grade.NOTE,
        f"{material.title}, {cup.what}: {cup.count} cups of {cup.total_g:.0f} g, since the cups "
        "at hand or the pot life bear no more at once; mix each while the one before it runs out, "
        "so that no skin forms between them",
        float(cup.count),
        1.0,
    )


def _heat(material: Material, batch: Weighed) -> Finding | None:
    """A cup so full that its own heat shortens the pot life."""
    grams = max((cup.total_g for cup in batch.cups), default=0.0)
    bound = WARMER_MASS * material.pot_life_mass_g
    if material.chemistry not in HEATS or grams <= bound:
        return None
    return Finding(
        Grade.CAUTION,
        f"a cup of {grams:.0f} g of {material.title} sets sooner and hotter than the "
        f"{material.pot_life_mass_g:g} g that its pot life was stated for: pour it at once, or "
        "mix smaller cups",
        grams,
        bound,
    )


def _small(material: Material, batch: Weighed) -> Finding | None:
    """So little that its cure stays cool."""
    if material.chemistry not in HEATS or batch.total_g >= LEAST_G:
        return None
    return Finding(
        Grade.NOTE,
        f"{batch.total_g:.1f} g of {material.title} is less than {LEAST_G:g} g: it stays cool and "
        "sets slower than its data sheet says, so wait longer, or fill a second mold with it",
        batch.total_g,
        LEAST_G,
    )


def _head_room(material: Material, batch: Weighed) -> Finding | None:
    """How large a cup must be to degas the fullest one."""
    if material.chemistry not in DEGASSED or not batch.cups:
        return None
    growth = degassing_growth(STIRRED_AIR, gas_expansion(VACUUM_INHG))
    volume_ml = max(c.total_g for c in batch.cups) / material.density_g_cm3
    return Finding(
        Grade.NOTE,
        f"if you degas {material.title}: under {VACUUM_INHG:g} inHg a mix with "
        f"{100.0 * STIRRED_AIR:g} % of air swells to {growth:.1f} times its volume before it "
        f"sinks, so give the {volume_ml:.0f} mL a cup of {growth * volume_ml:.0f} mL or more",
        growth,
    )
