"""The package's materials are whole, and a maker's file goes over them or says why not."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from moldgen.errors import Grade, JobError
from moldgen.materials.figures import Figure
from moldgen.materials.kinds import Chemistry, Material
from moldgen.materials.mix import First, MixBy
from moldgen.materials.pot_life import PotLife
from moldgen.materials.read import (
    figures,
    modulus_pa,
    names,
    read_materials,
    resin,
    rubber,
    shelf,
    texts,
)
from moldgen.materials.shelf import Shelf
from moldgen.physics.mixing import mixed_density
from moldgen.physics.thickening import effective_time, time_constant

EVERY = [*map(rubber, names()["rubber"]), *map(resin, names()["resin"])]
each = pytest.mark.parametrize("material", EVERY, ids=lambda m: m.name)


def written(tmp_path: Path, text: str) -> Shelf:
    path = tmp_path / "shelf.toml"
    path.write_text(text, encoding="utf-8")
    return read_materials(path)


def refused(tmp_path: Path, text: str) -> str:
    with pytest.raises(JobError) as caught:
        written(tmp_path, text)
    return str(caught.value)


def test_the_classes_of_the_trade_are_there() -> None:
    assert names() == {
        "rubber": (
            "condensation-silicone",
            "addition-silicone",
            "urethane-rubber",
            "latex",
            "alginate",
            "plaster-mold",
        ),
        "resin": ("urethane-fast", "urethane-slow", "epoxy", "polyester", "wax", "plaster", "soap"),
    }


@each
def test_every_value_lies_in_the_range_of_its_class(material: Material) -> None:
    for key, figure in figures(material.name).items():
        assert figure.low is not None
        assert figure.high is not None
        assert figure.low <= figure.value <= figure.high, key


@each
def test_every_figure_has_a_source_that_is_explained(material: Material) -> None:
    marks = {f.source for f in figures(material.name).values()}
    assert marks <= texts("sources").keys() - {"own"}


@each
def test_every_number_of_a_noun_comes_with_its_range(material: Material) -> None:
    fields = {f.name for f in dataclasses.fields(material) if "low" in f.metadata}
    given = {name for name in fields if getattr(material, name) is not None}
    assert given == figures(material.name).keys()
    assert all(f.low is not None for f in figures(material.name).values())


@each
def test_every_ratio_comes_with_what_is_usual(material: Material) -> None:
    assert material.mix.usual


@each
def test_mixed_density_follows_from_its_parts(material: Material) -> None:
    """Volumes add within 2 %, which gypsum and water, the worst pair, keep."""
    mix = material.mix
    ideal = mixed_density(*mix.weights, mix.base_density_g_cm3, mix.hardener_density_g_cm3)
    assert material.density_g_cm3 == pytest.approx(ideal, rel=0.02)


@each
def test_every_hazard_has_its_words(material: Material) -> None:
    assert set(material.cautions) <= texts("cautions").keys()
    assert material.cautions


def test_every_caution_is_borne_or_general() -> None:
    borne = {hazard for m in EVERY for hazard in m.cautions}
    general = {"general", "release", "vacuum", "pressure", "blade", "lever", "contact"}
    assert texts("cautions").keys() - borne == general


@pytest.mark.parametrize("row", texts("compatibility")["cast"], ids=lambda r: r["effect"][:20])
def test_pairs_name_chemistries_that_exist(row: dict[str, list[str]]) -> None:
    assert {*row["mold"]} <= {m.chemistry.value for m in shelf().rubbers.values()}
    assert {*row["cast"]} <= {m.chemistry.value for m in shelf().resins.values()}
    assert row["grade"] in [g.value for g in Grade]
    assert row["source"] in texts("sources")


@pytest.mark.parametrize(("panel", "low", "high"), [("plywood", 6.9e9, 9.0e9), ("mdf", 2e9, 3.5e9)])
def test_stiffness_of_panels(panel: str, low: float, high: float) -> None:
    """Five plywood panels of a public test report: 6861 to 8979 MPa; fiberboard common practice."""
    assert low <= modulus_pa(panel)[0] <= high


@pytest.mark.parametrize(
    ("pick", "name", "hint"),
    [
        (rubber, "urethane-ruber", "did you mean urethane-rubber?"),
        (resin, "granite", "known are urethane-fast, urethane-slow"),
        (modulus_pa, "mfd", "did you mean mdf?"),
    ],
)
def test_a_name_that_is_not_there(pick: object, name: str, hint: str) -> None:
    with pytest.raises(JobError, match=f"is called '{name}'") as caught:
        pick(name)  # type: ignore[operator]
    assert hint in str(caught.value)


# a maker's own file


def test_a_class_is_changed_and_the_rest_stays(tmp_path: Path) -> None:
    own = written(tmp_path, "[resin.epoxy]\ndensity_g_cm3 = 1.16\npot_life = 'doubles'\n")
    epoxy = own.resin("epoxy")
    assert epoxy.density_g_cm3 == 1.16
    assert epoxy.pot_life is PotLife.DOUBLES
    assert epoxy.mix == resin("epoxy").mix
    assert own.rubber("latex") == rubber("latex")
    assert resin("epoxy").density_g_cm3 == 1.12


def test_a_material_like_another(tmp_path: Path) -> None:
    text = """
        [rubber.shelf-tin]
        like = "condensation-silicone"
        pot_life_min = 25
        pot_life = "unpourable"
        mix = { hardener_parts = 3, by = "volume" }
    """
    own = written(tmp_path, text).rubber("shelf-tin")
    assert (own.name, own.chemistry) == ("shelf-tin", Chemistry.TIN_SILICONE)
    assert own.title == "condensation-cure silicone shelf-tin"
    assert own.working_time_s == 1500.0
    assert (own.mix.hardener_parts, own.mix.by) == (3.0, MixBy.VOLUME)
    assert (own.mix.base_parts, own.mix.first) == (100.0, First.HARDENER)


def test_a_figure_may_bring_its_source(tmp_path: Path) -> None:
    text = "[resin.soap]\ndensity_g_cm3 = { value = 1.08, source = 'scale and cup' }\n"
    assert written(tmp_path, text).resin("soap").density_g_cm3 == 1.08


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "[resin.epoxy]\ndensity_g_cm3 = 11.2\n",
            "shelf.toml: epoxy.density_g_cm3 is 11.2, allowed is a number from 0.1 to 5 g/cm³",
        ),
        (
            "[resin.epoxy]\ndensity_g_cm3 = 'heavy'\n",
            "shelf.toml: resin.epoxy.density_g_cm3 is 'heavy', "
            "allowed is a number from 0.1 to 5 g/cm³",
        ),
        (
            "[resin.epoxy]\ndensty_g_cm3 = 1.1\n",
            "shelf.toml: resin.epoxy.densty_g_cm3 is not a known key: did you mean density_g_cm3?",
        ),
        (
            "[resin.epoxy]\npot_life = 'maybe'\n",
            "shelf.toml: resin.epoxy.pot_life is 'maybe', "
            'allowed is "doubles" or "gels" or "unpourable"',
        ),
        (
            "[resin.epoxy]\nmix = { hardener_parts = -1 }\n",
            "shelf.toml: mix.hardener_parts is -1.0, allowed is a number from 0 to 1e+06 parts",
        ),
        (
            "[resin.epoxy]\nmix = 5\n",
            "shelf.toml: resin.epoxy.mix is 5, allowed is a table, mix = { hardener_parts = 5 }",
        ),
        (
            "[resin.mine]\ndensity_g_cm3 = 1.1\n",
            "shelf.toml: resin.mine.mix lacks base: give it, or start from a class with like",
        ),
        (
            "[resin.mine]\nlike = 'granite'\n",
            "shelf.toml: resin.mine.like is 'granite', allowed is one of urethane-fast, "
            "urethane-slow, epoxy, polyester, wax, plaster, soap",
        ),
        (
            "[glue.mine]\nlike = 'epoxy'\n",
            "shelf.toml: [glue] is not known, allowed are [rubber.NAME], [resin.NAME]",
        ),
        (
            "[resin]\nepoxy = 5\n",
            "shelf.toml: resin.epoxy is 5, allowed is a table, [resin.epoxy]",
        ),
        (
            "[resin.epoxy]\ntitle = 5\n",
            "shelf.toml: resin.epoxy.title is 5, allowed is text in quotes",
        ),
    ],
)
def test_what_is_wrong_is_said_in_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    assert refused(tmp_path, text) == sentence


@pytest.mark.parametrize(
    "row",
    ["[resin.mine]\nlike = 'epoxy'\npot_life_min = 30\n", "[resin.epoxy]\npot_life_min = 30\n"],
    ids=["a new name", "a class of the package"],
)
def test_a_pot_life_without_its_meaning_is_refused(tmp_path: Path, row: str) -> None:
    """A pot life counts for 0.72135 of itself where it doubles, for 0.16059 where it gels."""
    sentence = refused(tmp_path, row)
    assert "pot_life_min comes without its meaning" in sentence
    assert all(f'"{m.value}"' in sentence for m in PotLife)
    assert "4.5 times" in sentence
    doubles, gels = (effective_time(time_constant(1.0, g), 0.0, 1.0) for g in (2.0, 500.0))
    assert doubles / gels == pytest.approx(4.5, abs=0.01)


def test_a_meaning_alone_is_told(tmp_path: Path) -> None:
    own = written(tmp_path, "[resin.epoxy]\npot_life = 'doubles'\n[resin.mine]\nlike = 'epoxy'\n")
    assert own.resin("epoxy").pot_life_told
    assert not resin("epoxy").pot_life_told
    assert not own.resin("urethane-fast").pot_life_told


def test_figures_of_a_maker_come_without_a_range(tmp_path: Path) -> None:
    text = """
        [resin.epoxy]
        density_g_cm3 = 1.16
        viscosity_pa_s = { value = 0.5, range = [0.4, 0.6], source = "its data sheet" }
    """
    own = written(tmp_path, text)
    found = own.figures["epoxy"]
    assert found["density_g_cm3"] == Figure(1.16, None, None, "own")
    assert found["viscosity_pa_s"] == Figure(0.5, 0.4, 0.6, "its data sheet")
    assert found["demold_h"] == figures("epoxy")["demold_h"]
    assert own.source == "shelf.toml"


@pytest.mark.parametrize(
    ("extra", "words"),
    [
        ("range = [1]", "range is [1], allowed are two numbers"),
        ("range = [2, 1]", "range is [2, 1], allowed are two numbers"),
        ("range = ['a', 'b']", "allowed are two numbers"),
        ("range = 5", "allowed are two numbers"),
        ("source = 5", "source is 5, allowed is text in quotes"),
    ],
)
def test_ranges_and_sources_that_are_none(tmp_path: Path, extra: str, words: str) -> None:
    text = f"[resin.epoxy]\ndensity_g_cm3 = {{ value = 1.1, {extra} }}\n"
    assert words in refused(tmp_path, text)


def test_one_name_for_a_rubber_and_a_resin_is_refused(tmp_path: Path) -> None:
    assert "names a rubber and a resin" in refused(tmp_path, "[rubber.epoxy]\nlike = 'latex'\n")


def test_whether_it_was_told_is_no_key(tmp_path: Path) -> None:
    assert "not a known key" in refused(tmp_path, "[resin.epoxy]\npot_life_told = true\n")


@pytest.mark.parametrize("value", ["nan", "inf", "true", "[1.1]", "{}", "1e400"])
def test_numbers_that_are_none(tmp_path: Path, value: str) -> None:
    assert "density_g_cm3" in refused(tmp_path, f"[resin.epoxy]\ndensity_g_cm3 = {value}\n")


@pytest.mark.parametrize("value", ["5", "['falling']", "[5]", "[['a']]"])
def test_hazards_that_are_none(tmp_path: Path, value: str) -> None:
    assert "cautions" in refused(tmp_path, f"[resin.epoxy]\ncautions = {value}\n")


@pytest.mark.parametrize("value", ["['gels']", "{ a = 1 }", "5"])
def test_choices_that_are_none(tmp_path: Path, value: str) -> None:
    assert "pot_life" in refused(tmp_path, f"[resin.epoxy]\npot_life = {value}\n")


def test_likes_that_are_none(tmp_path: Path) -> None:
    assert "resin.mine.like" in refused(tmp_path, "[resin.mine]\nlike = ['epoxy']\n")


def test_name_is_the_table_s(tmp_path: Path) -> None:
    assert "resin.epoxy.name" in refused(tmp_path, "[resin.epoxy]\nname = 'other'\n")


def test_broken_files(tmp_path: Path) -> None:
    assert "is not valid TOML" in refused(tmp_path, "[resin.epoxy\n")
    with pytest.raises(JobError, match=r"^none\.toml cannot be read: No such file"):
        read_materials(tmp_path / "none.toml")
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b"# caf\xe9\n")
    with pytest.raises(JobError, match="not UTF-8"):
        read_materials(latin)
