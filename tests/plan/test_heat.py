"""The hottest a casting can get is a bound: heat over heat capacity, by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from moldgen.errors import Grade
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.read import names, read_materials, resin
from moldgen.plan.heat import heat_findings, hottest_c


def job(mold: str, cast: str, shop: float = 23.0) -> Job:
    wishes = RubberWishes(material=mold)
    return Job(shop_c=shop, rubber=wishes, resin=ResinWishes(material=cast))


@pytest.mark.parametrize(
    ("cast", "shop", "bound"),
    [
        ("urethane-fast", 23.0, 23.0 + 200.0 / 1.8),
        ("epoxy", 15.0, 15.0 + 420.0 / 1.7),
        # 45 of water to 100 of powder: 100 / 145 * 1.05 + 45 / 145 * 4.18 = 2.0214 J/(g K)
        ("plaster", 20.0, 20.0 + 85.0 / 2.02138),
        ("wax", 10.0, 75.0),
        ("soap", 10.0, 60.0),
    ],
)
def test_bound_by_hand(cast: str, shop: float, bound: float) -> None:
    assert hottest_c(resin(cast), shop) == pytest.approx(bound, rel=1e-6)


@pytest.mark.parametrize("cast", names()["resin"])
def test_a_bound_is_told_as_a_bound(cast: str) -> None:
    for found in heat_findings(job("addition-silicone", cast)):
        assert "cannot exceed" in found.text
        assert "if it kept all its heat" in found.text


def test_the_bound_is_that_of_the_hottest_of_the_class() -> None:
    """150 to 250 J/g and 1.7 to 1.9 J/(g K): 23 + 250 / 1.7 = 170.1 °C, usual 134.1."""
    (found,) = heat_findings(job("addition-silicone", "urethane-fast"))
    assert found.measured == pytest.approx(23.0 + 250.0 / 1.7, rel=1e-12)
    assert "cannot exceed 170 °C, with usual figures 134 °C" in found.text


def test_figures_of_a_maker_are_taken_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text("[resin.epoxy]\ncure_heat_j_g = 300\nheat_capacity_j_gk = 1.5\n")
    wishes = replace(job("addition-silicone", "epoxy"), materials=read_materials(path))
    (found,) = heat_findings(wishes)
    assert found.measured == pytest.approx(23.0 + 200.0, rel=1e-12)


@pytest.mark.parametrize(
    ("mold", "cast", "grade"),
    [
        ("condensation-silicone", "urethane-fast", Grade.NOTE),
        ("condensation-silicone", "epoxy", Grade.CAUTION),
        ("urethane-rubber", "urethane-fast", Grade.CAUTION),
        ("addition-silicone", "polyester", Grade.CAUTION),
        ("latex", "plaster", Grade.NOTE),
    ],
)
def test_what_the_mold_bears(mold: str, cast: str, grade: Grade) -> None:
    (found,) = heat_findings(job(mold, cast))
    assert found.grade is grade
    assert (found.measured or 0.0) > (found.limit or 0.0) or grade is Grade.NOTE


def test_wax_hotter_than_its_mold() -> None:
    """Poured at 75 °C: silicone bears it, a rubber whose maker says 70 °C does not."""
    wishes = job("condensation-silicone", "wax")
    assert heat_findings(wishes) == ()
    weak = replace(wishes.mold_rubber, limit_c=70.0)
    shelf = replace(wishes.materials, rubbers={"condensation-silicone": weak})
    (found,) = heat_findings(replace(wishes, materials=shelf))
    assert found.grade is Grade.CAUTION
    assert (found.measured, found.limit) == (75.0, 70.0)
