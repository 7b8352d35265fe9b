"""Every pair of materials gets its hazards once, and bad pairs are named."""

from __future__ import annotations

from itertools import product

import pytest

from moldgen.errors import Grade
from moldgen.materials.read import names, resin, rubber, texts
from moldgen.plan.cautions import cautions_for, compatibility_findings

PAIRS = list(product(names()["rubber"], names()["resin"]))


@pytest.mark.parametrize(("mold", "cast"), PAIRS)
def test_every_hazard_is_said_once(mold: str, cast: str) -> None:
    said = [text for text, _ in cautions_for(rubber(mold), resin(cast))]
    hazards = {*rubber(mold).cautions, *resin(cast).cautions, "general", "blade", "contact"}
    assert {texts("cautions")[h]["text"] for h in hazards} <= set(said)
    assert len(said) == len(set(said))
    assert said[0] == texts("cautions")["general"]["text"]


def test_a_shared_hazard_names_both() -> None:
    pairs = cautions_for(rubber("urethane-rubber"), resin("urethane-fast"))
    assert "urethane rubber and fast urethane resin" in [where for _, where in pairs]


def test_isocyanate_is_named_for_urethane_only() -> None:
    def warns(cast: str) -> bool:
        pairs = cautions_for(rubber("addition-silicone"), resin(cast))
        return any("Isocyanate" in text for text, _ in pairs)

    assert warns("urethane-slow")
    assert not warns("plaster")


def test_what_stops_addition_silicone_is_said() -> None:
    pairs = cautions_for(rubber("addition-silicone"), resin("plaster"))
    assert any("Sulfur clay" in text for text, _ in pairs)


@pytest.mark.parametrize(
    ("mold", "cast", "grade", "word"),
    [
        ("condensation-silicone", "epoxy", Grade.CAUTION, "brittle"),
        ("addition-silicone", "polyester", Grade.CAUTION, "brittle"),
        ("urethane-rubber", "polyester", Grade.STOP, "styrene"),
        ("latex", "urethane-fast", Grade.STOP, "latex"),
        ("alginate", "epoxy", Grade.STOP, "water"),
        ("condensation-silicone", "urethane-slow", Grade.NOTE, "air"),
    ],
)
def test_bad_pairs(mold: str, cast: str, grade: Grade, word: str) -> None:
    findings = compatibility_findings(rubber(mold), resin(cast))
    assert [f.grade for f in findings] == [grade]
    assert word in findings[0].text


@pytest.mark.parametrize(
    ("mold", "cast"), [("addition-silicone", "urethane-fast"), ("latex", "plaster")]
)
def test_good_pairs(mold: str, cast: str) -> None:
    assert compatibility_findings(rubber(mold), resin(cast)) == ()
