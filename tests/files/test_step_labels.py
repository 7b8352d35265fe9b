"""Names and colors of faces: read from STEP, kept through scale, place and mending."""

from __future__ import annotations

import runpy
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from moldgen.files.read import read_part
from moldgen.files.step import write_step
from moldgen.geometry.brep import exact_solid
from moldgen.geometry.brep_kernel import exact_kernel_missing
from moldgen.geometry.brep_mesh import tessellate
from moldgen.geometry.brep_read import read_exact
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.recipe import Box
from moldgen.part.part import Part

if missing := exact_kernel_missing():
    pytest.skip(missing, allow_module_level=True)

DRAWN = runpy.run_path(str(Path(__file__).with_name("drawn_steps.py")))
BODY_HEX, TOP_HEX = DRAWN["BODY_HEX"], DRAWN["TOP_HEX"]
labeled_block, two_blocks = DRAWN["labeled_block"], DRAWN["two_blocks"]

PLACES = [(0.0, 0.0, 0.0), (100.0, -7.0, 3.0)]


def area_mm2(mesh: Mesh, chosen: NDArray[np.bool_]) -> float:
    return float(np.linalg.norm(mesh.area_vectors[chosen], axis=1).sum())


def labeled(part: Part) -> tuple[Mesh, NDArray[np.bool_], NDArray[np.bool_]]:
    assert part.labels is not None
    return part.mesh, part.labels.named("top"), part.labels.named("front")


@pytest.mark.parametrize("place", PLACES, ids=["home", "moved"])
@pytest.mark.parametrize("scale", [1.0, 1.02])
def test_names_lie_where_they_were_drawn(
    tmp_path: Path, place: tuple[float, float, float], scale: float
) -> None:
    part = read_part(labeled_block(tmp_path / "block.step", place), scale=scale)
    mesh, top, front = labeled(part)
    assert area_mm2(mesh, top) == pytest.approx(20.0 * 30.0 * scale**2)
    assert area_mm2(mesh, front) == pytest.approx(20.0 * 40.0 * scale**2)
    assert mesh.corners[top][:, :, 2] == pytest.approx((place[2] + 20.0) * scale)
    assert mesh.corners[front][:, :, 1] == pytest.approx((place[1] - 15.0) * scale)


def test_a_face_takes_its_own_color_or_its_bodys(tmp_path: Path) -> None:
    part = read_part(labeled_block(tmp_path / "block.step"))
    assert part.labels is not None
    assert sorted(part.labels.colors) == [BODY_HEX] * 5 + [TOP_HEX]
    top = part.labels.named("top")
    assert (part.labels.colored(TOP_HEX) == top).all()
    assert (part.labels.colored(BODY_HEX) == ~top).all()


def test_united_bodies_keep_their_colors(tmp_path: Path) -> None:
    part = read_part(two_blocks(tmp_path / "bracket.step"))
    assert part.labels is not None
    red, blue = part.labels.colored(TOP_HEX), part.labels.colored(BODY_HEX)
    assert (red | blue).all()
    left = part.mesh.corners[:, :, 0].max(axis=1) <= 10.0
    right = part.mesh.corners[:, :, 0].min(axis=1) >= 20.0
    assert left.any() and right.any()
    assert red[left].all() and blue[right].all()
    assert any("carried over" in finding.text for finding in part.findings)


def test_plain_files_carry_no_labels(tmp_path: Path) -> None:
    path = tmp_path / "plain.step"
    write_step(path, [("block", exact_solid(Box((0, 0, 0), (20, 30, 40))))])
    assert "STYLED_ITEM" not in path.read_text()
    assert read_part(path).labels is None


def test_labels_do_not_change_the_mesh(tmp_path: Path) -> None:
    step = labeled_block(tmp_path / "block.step", (100.0, -7.0, 3.0))
    plain = tessellate(read_exact(step.read_bytes()), 0.02)
    mesh = read_part(step).mesh
    ours, theirs = (sorted(m.corners.reshape(-1, 9).tolist()) for m in (mesh, plain))
    assert np.allclose(ours, theirs, rtol=0.0, atol=1e-9)


def test_damaged_styles_cost_the_labels_only(tmp_path: Path) -> None:
    """The kernel crashes on a style that names lines that are gone; the body is still sound."""
    path = labeled_block(tmp_path / "block.step")
    text = path.read_text()
    styles = ("= SURFACE_SIDE_STYLE", "= SURFACE_STYLE_FILL_AREA")
    kept = [line for line in text.splitlines() if not any(style in line for style in styles)]
    assert len(kept) < len(text.splitlines())
    path.write_text("\n".join(kept) + "\n")
    part = read_part(path)
    assert part.mesh.volume_mm3 == pytest.approx(20.0 * 30.0 * 40.0)
    assert part.labels is None
    assert any("no face can be marked by them" in finding.text for finding in part.findings)
