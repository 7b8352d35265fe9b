"""Every pair of materials gets its hazards once, and bad pairs are named."""

from __future__ import annotations

import math
from itertools import product

import pytest

from moldgen.errors import Grade
from moldgen.materials.read import names, resin, rubber, texts
from moldgen.plan.cautions import AT_WORK, bench_texts, cautions_for, compatibility_findings

PAIRS = list(product(names()["rubber"], names()["resin"]))


@pytest.mark.parametrize(("mold", "cast"), PAIRS)
def test_every_hazard_is_said_once(mold: str, cast: str) -> None:
    said = [text for text, _ in cautions_for(rubber(mold), resin(cast))]
    hazards = {*rubber(mold).cautions, *resin(cast).cautions, "general", *AT_WORK}
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


@pytest.mark.parametrize(
    ("hazard", "words"),
    [
        ("isocyanate", ("allergic", "no skin contact", "extraction", "never heat or spray")),
        ("isocyanate", ("stop for good once sensitized", "aliphatic")),
        ("amine", ("sensitizes skin", "nitrile gloves", "sawdust")),
        ("peroxide", ("blinds", "accelerator", "no flame")),
        ("solvent", ("extraction", "flames", "closed metal")),
        ("exotherm", ("200 °C", "small batches", "outdoors")),
        ("dust", ("P2", "wet")),
        ("blade", ("away from your hand", "hold the mold")),
        ("contact", ("food or skin", "does not judge")),
        ("general", ("safety data sheet", "licensed practice decide")),
        ("release", ("burn", "no flame")),
        ("damp", ("Damp wood", "paper cups", "foam")),
    ],
)
def test_each_hazard_says_what_is_usual(hazard: str, words: tuple[str, ...]) -> None:
    text = texts("cautions")[hazard]["text"]
    assert [w for w in words if w not in text] == []


@pytest.mark.parametrize(
    ("hazard", "pascal", "kilonewton"), [("vacuum", 101325.0, 7.2), ("pressure", 3e5, 21.2)]
)
def test_push_on_a_lid(hazard: str, pascal: float, kilonewton: float) -> None:
    """pi/4 * 0.3² m² by hand: 7.16 and 21.2 kN."""
    assert math.pi / 4.0 * 0.3**2 * pascal / 1e3 == pytest.approx(kilonewton, abs=0.05)
    assert f"{kilonewton:g} kN" in texts("cautions")[hazard]["text"]


@pytest.mark.parametrize(
    ("mold", "words"),
    [
        ("addition-silicone", ("Sulfur clay", "latex", "gloves", "tin-cured", "amines", "prints")),
        ("addition-silicone", ("bonds to cured silicone",)),
        ("condensation-silicone", ("Sulfur clay", "seal the clay")),
        ("condensation-silicone", ("bonds to cured silicone",)),
        ("urethane-rubber", ("bonds to almost any surface", "release")),
    ],
)
def test_what_spoils_a_rubber_on_the_bench(mold: str, words: tuple[str, ...]) -> None:
    assert any(all(w in text for w in words) for text in bench_texts(rubber(mold)))


def test_what_stops_addition_silicone_is_said() -> None:
    pairs = cautions_for(rubber("addition-silicone"), resin("plaster"))
    assert any("Sulfur clay" in text for text, _ in pairs)


@pytest.mark.parametrize(
    ("mold", "cast", "grade", "word"),
    [
        ("condensation-silicone", "epoxy", Grade.CAUTION, "brittle"),
        ("addition-silicone", "polyester", Grade.CAUTION, "brittle"),
        ("urethane-rubber", "polyester", Grade.STOP, "styrene"),
        ("condensation-silicone", "polyester", Grade.CAUTION, "brittle"),
        ("addition-silicone", "epoxy", Grade.CAUTION, "brittle"),
        ("latex", "polyester", Grade.STOP, "styrene"),
        ("urethane-rubber", "urethane-slow", Grade.CAUTION, "bonds"),
        ("urethane-rubber", "epoxy", Grade.CAUTION, "bonds"),
        ("urethane-rubber", "wax", Grade.NOTE, "hot"),
        ("plaster-mold", "urethane-fast", Grade.CAUTION, "seal"),
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
