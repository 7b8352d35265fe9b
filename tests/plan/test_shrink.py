"""A part made larger by what its mold and casting lose, once, and written down."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Job, ResinWishes, RubberWishes
from moldgen.materials.read import names, resin, rubber
from moldgen.part.part import Part
from moldgen.plan.shrink import compensated
from moldgen.units import LengthUnit

MESH = mesh_solid(Box((10.0, 0.0, 0.0), (30.0, 30.0, 10.0))).mesh()


def bracket(scale: float = 1.0) -> Part:
    return Part(MESH, "bracket", "bracket.stl", "0" * 64, LengthUnit.MM, scale)


def job(mold: str = "condensation-silicone", cast: str = "urethane-fast") -> Job:
    return Job(
        compensate_shrink=True,
        rubber=RubberWishes(material=mold),
        resin=ResinWishes(material=cast),
    )


def test_without_the_wish_it_stays() -> None:
    part = bracket()
    assert compensated(part, Job()) is part


def test_by_hand() -> None:
    """.5 % and .4 %: 1 / (0.995 * 0.996) = 1.00907 on every length, its cube on the volume."""
    part = compensated(bracket(), job())
    factor = 1.0 / (0.995 * 0.996)
    assert part.scale == pytest.approx(factor, rel=1e-12)
    assert part.mesh.extents_mm == pytest.approx([20.0 * factor, 30.0 * factor, 10.0 * factor])
    assert part.mesh.volume_mm3 == pytest.approx(6000.0 * factor**3, rel=1e-12)
    (told,) = part.findings
    assert "0.91 % larger" in told.text
    assert told.measured == part.scale


def test_once_however_often() -> None:
    part = compensated(bracket(), job())
    assert compensated(part, job()) is part


def test_on_top_of_a_scale_of_the_maker() -> None:
    assert compensated(bracket(2.0), job()).scale == pytest.approx(2.0 / (0.995 * 0.996))


def test_plaster_that_grows_makes_it_smaller() -> None:
    """Mold and cast both grow by .2 %: 1 / 1.002² = 0.996008."""
    part = compensated(bracket(), job("plaster-mold", "plaster"))
    assert part.scale == pytest.approx(1.0 / 1.002**2, rel=1e-12)
    assert "0.40 % smaller" in part.findings[0].text


@given(st.sampled_from(names()["rubber"]), st.sampled_from(names()["resin"]))
def test_a_cast_of_the_grown_part_has_the_drawn_size(mold: str, cast: str) -> None:
    part = compensated(bracket(), job(mold, cast))
    left = (1.0 - rubber(mold).shrink_percent / 100.0) * (1.0 - resin(cast).shrink_percent / 100.0)
    assert part.mesh.extents_mm * left == pytest.approx(MESH.extents_mm, rel=1e-12)
