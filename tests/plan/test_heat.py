"""The hottest a casting can get is a bound: heat over heat capacity, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from moldgen.errors import Grade
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.read import names, resin
from moldgen.plan.heat import heat_findings, hottest_c


def job(mold: str, cast: str, shop: float = 23.0) -> Job:
    wishes = RubberWishes(material=mold)
    return Job(shop_c=shop, rubber=wishes, resin=ResinWishes(material=cast))


@pytest.mark.parametrize(
    ("cast", "shop", "bound"),
    [
        ("urethane-fast", 23.0, 23.0 + 200.0 / 1.8),
        ("epoxy", 15.0, 15.0 + 420.0 / 1.7),
        ("plaster", 20.0, 20.0 + 85.0 / 1.05),
        ("wax", 10.0, 75.0),
        ("soap", 10.0, 60.0),
    ],
)
def test_bound_by_hand(cast: str, shop: float, bound: float) -> None:
    assert hottest_c(resin(cast), shop) == pytest.approx(bound, rel=1e-12)


@pytest.mark.parametrize("cast", names()["resin"])
def test_a_bound_is_told_as_a_bound(cast: str) -> None:
    for found in heat_findings(job("addition-silicone", cast)):
        assert "cannot exceed" in found.text
        assert "if it kept all its heat" in found.text


@pytest.mark.parametrize(
    ("mold", "cast", "grade"),
    [
        ("condensation-silicone", "urethane-fast", Grade.NOTE),
        ("condensation-silicone", "epoxy", Grade.CAUTION),
        ("urethane-rubber", "urethane-fast", Grade.CAUTION),
        ("addition-silicone", "polyester", Grade.CAUTION),
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
