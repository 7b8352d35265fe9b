"""How hot a casting can get at most, and what its mold bears."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.job.job import Job
from moldgen.materials.kinds import CastingResin, Chemistry
from moldgen.physics.cure import adiabatic_rise

COOLS = (Chemistry.WAX, Chemistry.SOAP)  # poured hot: their heat is that of freezing
WORTH_TELLING_K = 20.0


def hottest_c(resin: CastingResin, shop_c: float) -> float:
    """A temperature that no casting exceeds [°C].

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
    return shop_c + adiabatic_rise(resin.cure_heat_j_g, resin.heat_capacity_j_gk)


def heat_findings(job: Job) -> tuple[Finding, ...]:
    """The bound, and whether the mold bears it.

    Parameters
    ----------
    job : Job
    """
    rubber, resin = job.mold_rubber, job.casting_resin
    bound, limit = hottest_c(resin, job.shop_c), rubber.limit_c
    bears = "" if limit is None else f"; {rubber.title} bears about {limit:g} °C"
    if resin.chemistry in COOLS:
        if limit is None or bound <= limit:
            return ()
        text = f"{resin.title} is poured at {bound:g} °C{bears}: pour as cool as it runs"
        return (Finding(Grade.CAUTION, text, bound, limit),)
    if bound - job.shop_c < WORTH_TELLING_K:
        return ()
    told = (
        f"{resin.title} cannot exceed {bound:.0f} °C, which it reached if it kept all its heat, "
        f"{resin.cure_heat_j_g:g} J/g over {resin.heat_capacity_j_gk:g} J/(g·K); thin castings "
        f"stay far cooler{bears}"
    )
    if limit is None or bound <= limit:
        return (Finding(Grade.NOTE, told, bound, limit),)
    return (
        Finding(
            Grade.CAUTION, f"{told}: cast thick parts in a slower resin or layers", bound, limit
        ),
    )
