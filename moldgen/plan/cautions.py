"""The cautions that go with a pair of materials."""

from __future__ import annotations

from moldgen.materials.kinds import CastingResin, MoldRubber
from moldgen.materials.read import caution_texts


def cautions_for(rubber: MoldRubber, resin: CastingResin) -> tuple[tuple[str, str], ...]:
    """Pairs of (text, what it applies to), the general one first, each hazard once a material."""
    texts = caution_texts()
    return (
        (texts["general"], "every step"),
        *((texts[hazard], rubber.title) for hazard in rubber.cautions),
        *((texts[hazard], resin.title) for hazard in resin.cautions),
        (texts["blade"], "opening the mold"),
    )
