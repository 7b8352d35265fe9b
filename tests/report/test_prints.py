"""What the sheet says of the printer: the figures, a picture a piece, what is joined from parts."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from PIL import Image

from moldgen.build.nouns import MoldSet
from moldgen.build.piece import AS_IT_STANDS, printed
from moldgen.build.split import fit_to_printer
from moldgen.files.manifest import manifest
from moldgen.geometry.recipe import Box
from moldgen.geometry.solids import mesh_solid
from moldgen.job.job import Job, PrintWishes
from moldgen.report import rigid_steps
from moldgen.report.bench import standing_pieces
from moldgen.report.html import job_sheet
from moldgen.report.print_view import BED, SIZE_PX, print_view
from moldgen.report.prints import PrintPages, print_pages
from moldgen.report.steps import make_steps

BLANK = (255, 255, 255)


@pytest.fixture(scope="module")
def split_set(standing_set: MoldSet) -> MoldSet:
    """The set with its base as a bare plate of 100 x 68 x 6 mm, for a printer of 90 mm."""
    plate = Box((-50.0, -34.0, 48.0), (50.0, 34.0, 54.0))
    base = printed("base", "base", mesh_solid(plate), plate, AS_IT_STANDS)
    job = Job(printing=PrintWishes(room_mm=(90.0, 90.0, 90.0)))
    others = tuple(p for p in standing_set.pieces if p.role != "base")
    whole = replace(standing_set, plan=replace(standing_set.plan, job=job), pieces=(base, *others))
    return fit_to_printer(whole)


@pytest.fixture(scope="module")
def document(split_set: MoldSet) -> dict[str, Any]:
    return manifest(split_set, {})


@pytest.fixture(scope="module")
def pages(split_set: MoldSet, document: dict[str, Any]) -> PrintPages:
    found = print_pages(split_set, document)
    assert found is not None
    return found


def test_base_is_split_and_counted(document: dict[str, Any]) -> None:
    """Four prints: two of the base, a gate cone and a rod."""
    printing = document["printing"]
    assert printing["pieces"] == 4
    (split,) = printing["splits"]
    assert split["parts"] == ["base-1", "base-2"]
    assert split["volume_mm3"] == pytest.approx(100.0 * 68.0 * 6.0)
    made = [p for p in document["pieces"] if p["part_of"] == "base"]
    parts = sum(p["volume_mm3"] for p in made)
    assert parts + split["gap_mm3"] == pytest.approx(split["volume_mm3"], rel=1e-6)
    assert split["gap_mm3"] == pytest.approx(np.sqrt(3.0) * 0.15 * 68.0 * 6.0, rel=1e-5)


def test_totals_are_the_sums(document: dict[str, Any]) -> None:
    made = [p["print"] for p in document["pieces"] if p["print"]]
    printing = document["printing"]
    assert printing["filament_g"] == pytest.approx(sum(m["filament_g"] for m in made))
    assert printing["filament_m"] == pytest.approx(sum(m["filament_m"] for m in made))


def test_seam_stands_in_the_casting_frame(document: dict[str, Any]) -> None:
    """100 mm in 90: the first part ends in 47.5 + its joint, so the seam is at x = -2.5 mm."""
    (seam,) = document["printing"]["splits"][0]["seams"]
    assert seam["direction"] == [1.0, 0.0, 0.0]
    assert seam["point_mm"][0] == pytest.approx(-2.5)
    assert (seam["clearance_mm"], seam["tongue_mm"], seam["teeth"]) == (0.15, 1.5, 1)


def test_what_is_not_printed_has_no_figures(document: dict[str, Any]) -> None:
    others = [p for p in document["pieces"] if p["material"] != "print"]
    assert others
    assert all(p["print"] is None and p["part_of"] is None for p in others)


def test_every_print_has_a_row_and_a_picture(pages: PrintPages) -> None:
    names = ["base-1", "base-2", "gate-cone", "outlet-rod-1"]
    assert [row[0] for row in pages.tables[0].rows] == names
    assert [name for name, _, _ in pages.pictures] == names


def test_row_of_a_part(pages: PrintPages) -> None:
    """47.5 mm and a tongue and tooth of 1.5 and 2 mm; all of it on the bed but for the tongue."""
    row = [cell.replace("\u00a0", " ") for cell in pages.tables[0].rows[0]]
    assert row[:3] == ["base-1", "1", "51.0 × 68.0 × 6.0"]
    assert row[4] in ("inner face", "outer face")


def test_answer_and_printer_are_told(pages: PrintPages, document: dict[str, Any]) -> None:
    assert pages.answer.startswith(f"4 pieces, {document['printing']['filament_g']:.1f} g")
    assert "room for 90 × 90 × 90 mm" in pages.words[0]
    assert "3 lines of skin" in pages.words[1]


def test_joined_pieces_have_a_table(pages: PrintPages) -> None:
    (row,) = pages.tables[1].rows
    assert row[:2] == ("base", "base-1, base-2")


def test_joining_is_a_step(split_set: MoldSet, standing_set: MoldSet) -> None:
    said = [step for step in make_steps(split_set) if step.text.startswith("Join the parts")]
    assert [step.amounts for step in said] == [("base: 2 parts",)]
    assert "wax" in said[0].text
    assert not any("Join" in step.text for step in make_steps(standing_set))


def test_joining_is_a_step_of_rigid_molds_too(split_set: MoldSet) -> None:
    assert [s.amounts for s in rigid_steps._make(split_set)[1:2]] == [("base: 2 parts",)]


def test_section_is_on_the_sheet(split_set: MoldSet, document: dict[str, Any]) -> None:
    page = job_sheet(split_set, {}, document)
    for words in ("What to print", "Joined from parts", "base-1 on the printer", "base-2"):
        assert words in page


def test_no_section_where_nothing_is_printed(split_set: MoldSet, document: dict[str, Any]) -> None:
    bare = {**document, "pieces": [p for p in document["pieces"] if not p["print"]]}
    assert print_pages(split_set, bare) is None


@pytest.mark.parametrize("share", [0.25, 1.0], ids=["quarter", "full"])
def test_bed_is_drawn_to_scale(share: float) -> None:
    """A plate as large as a share of the bed's sides covers that share of the drawn bed."""
    plate = Box((0.0, 0.0, 0.0), (200.0 * share, 200.0 * share, 5.0))
    piece = printed("base", "base", mesh_solid(plate), plate, AS_IT_STANDS)
    paper = print_view(piece, (200.0, 200.0, 200.0))
    image = Image.open(io.BytesIO(paper.png())).convert("RGB")
    assert image.width == SIZE_PX[0]
    pixels = np.array(image)[:, int(BED.left) :]
    dark = (pixels.sum(axis=2) < 300).any(axis=0)
    assert np.ptp(np.flatnonzero(dark)) == pytest.approx(BED.width * share, abs=3.0)


def test_pictures_show_a_split_piece_as_one(split_set: MoldSet) -> None:
    """Named after the whole, with the number of its parts."""
    names = [piece.name for piece in standing_pieces(split_set)]
    assert names.count("base\n(in 2 parts)") == 1
    assert not {"base-1", "base-2"} & set(names)
