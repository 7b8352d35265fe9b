"""The fittings that the package carries are what their scripts draw."""

from __future__ import annotations

from importlib import import_module

import pytest

from moldgen.demo import FITTINGS, demo_part_path
from moldgen.files.read import read_part
from moldgen.geometry.brep import exact_volume
from moldgen.geometry.brep_kernel import exact_kernel_missing


@pytest.mark.parametrize("fitting", FITTINGS)
def test_carried_file_has_the_volume_of_the_drawing(fitting: str) -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    shape = import_module(f"moldgen.demo.{fitting.replace('-', '_')}").shape()
    part = read_part(demo_part_path(fitting))
    assert part.mesh.volume_mm3 == pytest.approx(exact_volume(shape.wrapped), rel=5e-3)


@pytest.mark.parametrize("fitting", FITTINGS)
def test_carried_file_is_closed(fitting: str) -> None:
    assert read_part(demo_part_path(fitting)).closed


def test_unknown_fitting_is_refused() -> None:
    with pytest.raises(ValueError, match="no fitting"):
        demo_part_path("dragon")


@pytest.mark.parametrize("fitting", FITTINGS)
def test_both_carried_files_read_as_the_same_body(fitting: str) -> None:
    if missing := exact_kernel_missing():
        pytest.skip(missing)
    by_step = read_part(demo_part_path(fitting, ".step")).mesh.volume_mm3
    assert by_step == pytest.approx(read_part(demo_part_path(fitting)).mesh.volume_mm3, rel=5e-3)
