"""What to beware of with a pair of materials: hazards, and what they do to each other."""

from __future__ import annotations

from moldgen.errors import Finding, Grade
from moldgen.materials.kinds import CastingResin, MoldRubber
from moldgen.materials.read import texts

AT_WORK = {
    "release": "release agents",
    "vacuum": "degassing, if you do it",
    "pressure": "a pressure pot, if you use one",
    "blade": "opening the mold",
    "contact": "using the cast",
}


def cautions_for(rubber: MoldRubber, resin: CastingResin) -> tuple[tuple[str, str], ...]:
    """Pairs of (text, what it applies to), the general one first, no text twice.

    Parameters
    ----------
    rubber : MoldRubber
    resin : CastingResin
    """
    table = texts("cautions")
    hazards = dict.fromkeys([*rubber.cautions, *resin.cautions])
    return (
        (table["general"]["text"], "every step"),
        *((table[hazard]["text"], _bearers(hazard, rubber, resin)) for hazard in hazards),
        *((text, rubber.title) for text in bench_texts(rubber)),
        *((table[hazard]["text"], where) for hazard, where in AT_WORK.items()),
    )


def cautions_without_rubber(resin: CastingResin) -> tuple[tuple[str, str], ...]:
    """The same for a mold whose halves are printed, sanded and bolted.

    Parameters
    ----------
    resin : CastingResin
    """
    table = texts("cautions")
    where = {k: v for k, v in AT_WORK.items() if k != "blade"}
    where |= {"dust": "sanding the halves", "lever": "opening the mold"}
    hazards = [hazard for hazard in resin.cautions if hazard not in where]
    return (
        (table["general"]["text"], "every step"),
        *((table[hazard]["text"], resin.title) for hazard in hazards),
        *((table[hazard]["text"], place) for hazard, place in where.items()),
    )


def compatibility_findings(rubber: MoldRubber, resin: CastingResin) -> tuple[Finding, ...]:
    """What the resin does to the mold, with the usual answer, as findings.

    Parameters
    ----------
    rubber : MoldRubber
    resin : CastingResin
    """
    return tuple(
        Finding(Grade(row["grade"]), f"{resin.title} {row['effect']}: {row['answer']}")
        for row in texts("compatibility")["cast"]
        if rubber.chemistry.value in row["mold"] and resin.chemistry.value in row["cast"]
    )


def bench_texts(rubber: MoldRubber) -> tuple[str, ...]:
    """What must not touch the rubber while it cures, or bonds to it, with the usual answer."""
    return tuple(
        f"{row['effect']}: {row['answer']}."
        for row in texts("compatibility")["bench"]
        if rubber.chemistry.value in row["mold"]
    )


def _bearers(hazard: str, rubber: MoldRubber, resin: CastingResin) -> str:
    """The materials that bring a hazard."""
    return " and ".join(m.title for m in (rubber, resin) if hazard in m.cautions)
