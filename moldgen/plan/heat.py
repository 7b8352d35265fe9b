"""How hot a casting can get at most, and what its mold bears."""

from __future__ import annotations

from dataclasses import replace

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin, Chemistry
from moldgen.materials.read import print_softens_c
from moldgen.physics.cure_heat import adiabatic_rise

COOLS = (Chemistry.WAX, Chemistry.SOAP)  # poured hot: their heat is that of freezing
WATER_J_GK = 4.18  # at 20 to 60 °C, as tables print it
WORTH_TELLING_K = 20.0


def hottest_c(resin: CastingResin, shop_c: float) -> float:
    """A temperature that no casting of these figures exceeds [°C].

    Where it starts, and the warming H / c of a mass that keeps all its heat of cure. Real castings
    stay below: they lose heat to the mold, thin ones nearly all of it.

    Parameters
    ----------
    resin : CastingResin
    shop_c : float

    Examples
    --------
    >>> from moldgen.materials.read import resin
    >>> round(hottest_c(resin("urethane-fast"), 23.0), 1), hottest_c(resin("wax"), 23.0)
    (134.1, 75.0)
    """
    if resin.chemistry in COOLS:
        return resin.pour_c
    return shop_c + adiabatic_rise(resin.cure_heat_j_g, _capacity_j_gk(resin))


def heat_findings(job: Job) -> tuple[Finding, ...]:
    """The bound, and whether the mold bears it.

    Parameters
    ----------
    job : Job
    """
    return _findings(job, job.mold_rubber.title, job.mold_rubber.limit_c)


def heat_of_print_findings(job: Job) -> tuple[Finding, ...]:
    """The same of a mold that is printed.

    Parameters
    ----------
    job : Job
    """
    return _findings(job, "a print of polylactide", print_softens_c())


def _findings(job: Job, mold: str, limit: float | None) -> tuple[Finding, ...]:
    resin = job.casting_resin
    usual, bound = hottest_c(resin, job.shop_c), hottest_c(_hottest_of_class(job), job.shop_c)
    bears = "" if limit is None else f"; {mold} bears about {limit:g} °C"
    if resin.chemistry in COOLS:
        if limit is None or bound <= limit:
            return ()
        text = f"{resin.title} is poured at {bound:g} °C{bears}: pour as cool as it runs"
        return (Finding(Grade.CAUTION, text, bound, limit),)
    if bound - job.shop_c < WORTH_TELLING_K:
        return ()
    told = (
        f"{resin.title} cannot exceed {bound:.0f} °C, with usual figures {usual:.0f} °C, which it "
        f"reached if it kept all its heat; thin castings stay far cooler{bears}"
    )
    if limit is None or bound <= limit:
        return (Finding(Grade.NOTE, told, bound, limit),)
    text = f"{told}: cast thick parts in layers, or of a slower resin"
    return (Finding(Grade.CAUTION, text, bound, limit),)


def _hottest_of_class(job: Job) -> CastingResin:
    """The resin with the most heat and the least capacity that its class spans."""
    resin = job.casting_resin
    figures = job.materials.figures[resin.name]
    heat, capacity = figures["cure_heat_j_g"].high, figures["heat_capacity_j_gk"].low
    return replace(
        resin,
        cure_heat_j_g=resin.cure_heat_j_g if heat is None else heat,
        heat_capacity_j_gk=resin.heat_capacity_j_gk if capacity is None else capacity,
    )


def _capacity_j_gk(resin: CastingResin) -> float:
    """Heat capacity; plaster's is that of the powder, and its water warms too [J/(g·K)]."""
    if resin.chemistry is not Chemistry.GYPSUM:
        return resin.heat_capacity_j_gk
    water = resin.mix.hardener_share
    return (1.0 - water) * resin.heat_capacity_j_gk + water * WATER_J_GK
