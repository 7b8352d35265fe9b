"""The documents hold what they promise: every key, every unit, and no invented figure."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import numpy as np
import pytest
import trimesh

from moldgen.build.nouns import Closure, MoldSet, Piece
from moldgen.errors import Finding, Grade
from moldgen.files.check_document import check_document
from moldgen.files.document import json_text, part_entry
from moldgen.files.manifest import is_our_set, manifest
from moldgen.files.poses_document import poses_document
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.rigid import placement
from moldgen.job.job import Arrangement, Job, ResinWishes
from moldgen.materials.pot_life import PotLife
from moldgen.part.part import Part
from moldgen.plan.nouns import (
    Block,
    Channel,
    Cup,
    Gate,
    Loads,
    MoldPlan,
    PocketFate,
    Quantities,
    Weighed,
)
from moldgen.pose.pose import Pose
from moldgen.study.pocket import Liquid, Pocket, PocketList
from moldgen.study.ranking import PoseStudy, RankedPose
from moldgen.study.survey import Survey
from moldgen.units import LengthUnit

SCHEMAS = Path(__file__).parents[2] / "docs" / "schema"
TOP = (0.0, 0.0, 10.0)
POCKET = Pocket(TOP, 6000.0, 600.0)
TRIED = Survey(np.array([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]]), np.array([2.9, 4.2]))
FINDING = Finding(Grade.CAUTION, "the part floats", 1.5, 1.0)


def box(x: float, y: float, z: float) -> Mesh:
    """A box on the plane z = 0, centred over the origin."""
    body = trimesh.creation.box((x, y, z))
    body.apply_translation((0.0, 0.0, z / 2.0))
    return Mesh(body.vertices, body.faces)


def plain_part() -> Part:
    return Part(box(20.0, 30.0, 10.0), "slip", "slip.stl", "ab" * 32, LengthUnit.MM)


def plain_plan() -> MoldPlan:
    """A block of 40 x 50 x 38 mm with one straight gate of 28 mm over a box of 20 x 30 x 10."""
    part, pose = plain_part(), Pose(np.eye(3), rank=1)
    channel = Channel((TOP, (0.0, 0.0, 38.0)), (2.0, 4.0), POCKET, "straight", 4.0)
    return MoldPlan(
        part=part,
        pose=pose,
        job=Job(resin=ResinWishes(material="urethane-fast")),
        matrix=pose.matrix_for(part.mesh),
        mesh=part.mesh,
        arrangement=Arrangement.STANDING,
        block=Block((-20.0, -25.0, 0.0), (20.0, 25.0, 38.0)),
        gate=Gate(channel, 4.0, 8.0, 20.0, 10.0),
        vents=(Channel(((5.0, 0.0, 10.0), (5.0, 3.0, 38.0)), (1.0, 1.5), POCKET, "slanted", 3.0),),
        resin_pockets=(PocketFate(POCKET, "gate", "the largest pocket"),),
        rubber_pockets=(),
        connections=2,
        tilt_tolerance_deg=None,
        quantities=Quantities(
            Weighed(
                88.0,
                80.0,
                8.0,
                ("A", "B"),
                (
                    Cup("coat", 1, 5.5, 5.0, 0.5, 0.1, 7.0),
                    Cup("main", 1, 82.5, 75.0, 7.5, 1.0, 99.0),
                ),
            ),
            5.0,
            0.08,
            Weighed(7.0, 3.5, 3.5, ("B", "A"), (Cup("cast", 1, 7.0, 3.5, 3.5, 0.1, 10.0),)),
        ),
        loads=Loads(0.1, None, None, None),
        findings=(),
        cautions=(("wear gloves", "rubber"),),
    )


def plain_set(**changes: Any) -> MoldSet:
    base = Piece("base", "base", "print", box(48.0, 58.0, 6.0), placement(offset=(0, 0, 38)))
    return MoldSet(replace(plain_plan(), **changes), (base,), Closure(76000.0, 76000.0))


def schema(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((SCHEMAS / f"moldgen-{name}-1.json").read_text("utf-8"))
    return loaded


def validate(document: Any, name: str) -> None:
    """Hold a document, as its readers get it, against its published schema."""
    jsonschema.Draft202012Validator(schema(name)).validate(json.loads(json_text(document)))


def ranked(pose: Pose) -> RankedPose:
    return RankedPose(
        pose,
        connections=2,
        tilt_tolerance_deg=3.5,
        height_mm=10.0,
        rubber_mm3=70000.0,
        resin=PocketList(Liquid.RESIN, (POCKET,)),
        rubber=PocketList(Liquid.RUBBER, ()),
        findings=(FINDING,),
    )


def poses() -> dict[str, Any]:
    study = PoseStudy((ranked(Pose(np.eye(3))),), 20.0, TRIED, "best found", 0.5)
    return poses_document(plain_part(), study)


@pytest.mark.parametrize("name", ["set", "poses", "check"])
def test_the_schemas_are_schemas(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(schema(name))


def test_set_keeps_its_schema() -> None:
    validate(manifest(plain_set(), {"base": {"stl": "print/base.stl"}}, (FINDING,)), "set")


def test_poses_keep_their_schema() -> None:
    validate(poses(), "poses")


def test_check_keeps_its_schema() -> None:
    validate(check_document(replace(plain_part(), findings=(FINDING,))), "check")


@pytest.mark.parametrize("name", ["set", "poses", "check"])
def test_every_key_is_required(name: str) -> None:
    full = {
        "set": lambda: manifest(plain_set(), {}),
        "poses": poses,
        "check": lambda: check_document(plain_part()),
    }[name]()
    for key in schema(name)["required"]:
        without = {k: v for k, v in full.items() if k != key}
        with pytest.raises(jsonschema.ValidationError, match=f"'{key}' is a required property"):
            validate(without, name)


@pytest.mark.parametrize(
    ("arrangement", "up"),
    [(Arrangement.STANDING, [0.0, 0.0, -1.0]), (Arrangement.HUNG, [0.0, 0.0, 1.0])],
)
def test_rubber_pour(arrangement: Arrangement, up: list[float]) -> None:
    document = manifest(plain_set(arrangement=arrangement), {})
    assert document["rubber_pour"] == {"arrangement": arrangement.value, "up": up}


def test_gate_figures() -> None:
    # Frustum by hand: pi * 10 / 3 * (10² + 10 * 4 + 4²) = 520 pi.
    gate = manifest(plain_set(), {})["gate"]
    assert gate["point_mm"] == [0.0, 0.0, 10.0]
    assert gate["length_mm"] == pytest.approx(28.0)
    assert gate["funnel_volume_mm3"] == pytest.approx(520.0 * math.pi)


def test_vent_figures() -> None:
    # Length by hand: sqrt(3² + 28²).
    (vent,) = manifest(plain_set(), {})["vents"]
    assert vent["length_mm"] == pytest.approx(math.sqrt(793.0))
    assert vent["diameter_mm"] == 3.0
    assert vent["path_mm"] == [[5.0, 0.0, 10.0], [5.0, 3.0, 38.0]]


def test_part_figures_by_hand() -> None:
    entry = part_entry(plain_part())
    assert entry["volume_mm3"] == pytest.approx(20.0 * 30.0 * 10.0)
    assert entry["area_mm2"] == pytest.approx(2.0 * (600.0 + 200.0 + 300.0))
    assert entry["extents_mm"] == pytest.approx([20.0, 30.0, 10.0])


def test_pieces_tell_where_they_stand_and_whether_they_are_closed() -> None:
    files = {"base": {"stl": "print/base.stl", "step": "cad/base.step"}}
    (piece,) = manifest(plain_set(), files)["pieces"]
    assert piece["files"] == files["base"]
    assert piece["placement"] == placement(offset=(0, 0, 38)).tolist()
    assert piece["closed"] is True
    assert piece["volume_mm3"] == pytest.approx(48.0 * 58.0 * 6.0)


def test_an_open_piece_is_said_to_be_open() -> None:
    whole = plain_set()
    mesh = whole.pieces[0].mesh
    torn = replace(whole.pieces[0], mesh=Mesh(mesh.vertices, mesh.faces[1:]))
    (piece,) = manifest(replace(whole, pieces=(torn,)), {})["pieces"]
    assert piece["closed"] is False


def test_what_was_not_computed_is_null() -> None:
    document = manifest(plain_set(), {})
    assert document["pose"]["tilt_tolerance_deg"] is None
    assert document["loads"]["hold_down_n"] is None
    assert document["forecast"]["peak_temperature_c"] is None


def test_times_to_demold_are_those_of_the_class() -> None:
    """16 h and 0.33 h at 23 °C, the temperature of their pot lives and of the shop."""
    forecast = manifest(plain_set(), {})["forecast"]
    assert forecast["demold_rubber_s"] == pytest.approx(16 * 3600.0)
    assert forecast["demold_resin_s"] == pytest.approx(0.33 * 3600.0)


def test_the_clock_runs_from_the_scale_to_the_casting() -> None:
    clock = manifest(plain_set(), {})["clock"]
    assert clock["rubber"][0]["what"] == "weigh tin hardener for the first coat"
    assert clock["resin"][-1]["what"] == "open the mold, take the casting out"
    assert all(set(t) == {"what", "start_s", "end_s", "latest_s"} for t in clock["resin"])


def test_materials_are_told_as_they_were_reckoned_with() -> None:
    base = plain_set()
    wish = replace(base.plan.job.resin, pot_life=PotLife.DOUBLES, pot_life_min=4.0)
    job = replace(base.plan.job, resin=wish)
    document = manifest(plain_set(job=job), {})
    assert document["materials"]["resin"]["pot_life_min"] == 4.0
    assert document["materials"]["resin"]["pot_life"] == "doubles"
    assert document["materials"]["rubber"]["density_g_cm3"] == 1.15
    assert document["job"]["materials"] == "the package"


def test_findings_of_the_plan_come_before_those_of_writing() -> None:
    later = Finding(Grade.NOTE, "cad is left out")
    texts = [f["text"] for f in manifest(plain_set(findings=(FINDING,)), {}, (later,))["findings"]]
    assert texts == ["the part floats", "cad is left out"]


def test_poses_are_ranked_from_one_and_count_rubber_in_cm3() -> None:
    (pose,) = poses()["poses"]
    assert pose["rank"] == 1
    assert pose["rubber_cm3"] == pytest.approx(70.0)


def test_same_set_same_text() -> None:
    assert json_text(manifest(plain_set(), {})) == json_text(manifest(plain_set(), {}))


@pytest.mark.parametrize("figure", [math.nan, math.inf])
def test_a_figure_that_json_cannot_hold_is_refused(figure: float) -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        json_text({"figure": figure})


@pytest.mark.parametrize(
    ("text", "ours"),
    [
        ('{"schema": "moldgen-set/1"}', True),
        ('{"schema": "moldgen-poses/1"}', False),
        ('["moldgen-set/1"]', False),
        ("moldgen-set/1", False),
        (None, False),
    ],
    ids=["ours", "another schema", "a list", "no JSON", "no file"],
)
def test_is_our_set(tmp_path: Path, text: str | None, ours: bool) -> None:
    if text is not None:
        (tmp_path / "set.json").write_text(text)
    assert is_our_set(tmp_path) is ours
