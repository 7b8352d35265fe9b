"""The command line keeps its promises: documents on stdout, sentences on stderr, exit codes."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import trimesh
from typer.testing import CliRunner

from moldgen.apps.cli import app

SCHEMAS = Path(__file__).parents[2] / "docs" / "schema"
BODIES = ("rubber", "casting")
PROGRAM = (sys.executable, "-m", "moldgen")


def run(*arguments: object, folder: Path) -> subprocess.CompletedProcess[str]:
    order = [*PROGRAM, *map(str, arguments)]
    return subprocess.run(order, cwd=folder, capture_output=True, text=True, timeout=300)


def run_here(*arguments: str) -> subprocess.CompletedProcess[str]:
    """The same inside this process, which has the rooms loaded already."""
    done = CliRunner().invoke(app, arguments, prog_name="moldgen")
    assert isinstance(done.exception, SystemExit | None), done.exception
    return subprocess.CompletedProcess(list(arguments), done.exit_code, done.stdout, done.stderr)


def write_foot(folder: Path) -> None:
    """A furniture foot: a square stump of 24 mm below, 16 mm above, 18 mm high."""
    corners = [[x, y, 0.0] for x in (-12.0, 12.0) for y in (-12.0, 12.0)]
    corners += [[x, y, 18.0] for x in (-8.0, 8.0) for y in (-8.0, 8.0)]
    trimesh.convex.convex_hull(corners).export(folder / "foot.stl")


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with the checksum of its bytes."""
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file()
    }


def document(done: subprocess.CompletedProcess[str], name: str) -> Any:
    """The one JSON document on stdout, held against its published schema."""
    assert done.returncode == 0, done.stderr
    read = json.loads(done.stdout)
    schema = json.loads((SCHEMAS / f"moldgen-{name}-1.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(read)
    return read


def require_refusal(done: subprocess.CompletedProcess[str], code: int, words: str) -> None:
    """One sentence on stderr, nothing on stdout, the right code."""
    assert done.returncode == code, done.stderr
    assert done.stdout == ""
    assert done.stderr.startswith("moldgen: ")
    assert done.stderr.count("\n") == 1
    assert words in done.stderr


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a foot and two sets made of it, one over an older one."""
    folder = tmp_path_factory.mktemp("bench")
    write_foot(folder)
    done = run("make", "foot.stl", "--out", "first", "--up", 0, 0, 1, "--json", folder=folder)
    (folder / "first.json").write_text(done.stdout, encoding="utf-8")
    assert done.returncode == 0, done.stderr
    (folder / "second").mkdir()
    (folder / "second" / "set.json").write_text('{"schema": "moldgen-set/1"}')
    (folder / "second" / "left-over").write_text("from an older set")
    done = run("make", "foot.stl", "--out", "second", "--up", 0, 0, 1, folder=folder)
    assert done.returncode == 0, done.stderr
    (folder / "second.txt").write_text(done.stdout, encoding="utf-8")
    return folder


def test_check_tells_what_was_read(tmp_path: Path) -> None:
    write_foot(tmp_path)
    part = document(run("check", "foot.stl", "--json", folder=tmp_path), "check")["part"]
    # Frustum of a pyramid by hand: h / 3 * (A + B + sqrt(A B)) = 6 * (576 + 256 + 384) mm³.
    assert part["volume_mm3"] == pytest.approx(7296.0)
    assert part["extents_mm"] == pytest.approx([24.0, 24.0, 18.0])
    assert part["sha256"] == tree(tmp_path)["foot.stl"]
    assert part["closed"] is True


def test_unit_and_scale_are_applied(tmp_path: Path) -> None:
    write_foot(tmp_path)
    order = ("check", "foot.stl", "--unit", "inch", "--scale", "1.01", "--json")
    part = document(run(*order, folder=tmp_path), "check")["part"]
    assert part["extents_mm"] == pytest.approx([s * 25.4 * 1.01 for s in (24.0, 24.0, 18.0)])


def test_check_speaks_to_people_too(tmp_path: Path) -> None:
    write_foot(tmp_path)
    done = run("check", "foot.stl", folder=tmp_path)
    assert done.returncode == 0
    assert "24.00 × 24.00 × 18.00 mm" in done.stdout
    assert "7.30 cm³" in done.stdout


def test_poses_go_by_the_makers_order_and_to_the_end_if_asked(tmp_path: Path) -> None:
    write_foot(tmp_path)
    (tmp_path / "job.toml").write_text('[ranking]\norder = ["bulk"]\nheight_weight = 0\n')
    done = run("poses", "foot.stl", "--config", "job.toml", "--thorough", "--json", folder=tmp_path)
    read = document(done, "poses")
    assert read["ranking"]["order"] == ["bulk"]
    assert (read["claim"], read["open_share"]) == ("fewest possible", 0.0)
    rubber = [p["rubber_cm3"] for p in read["poses"]]
    assert rubber == sorted(rubber)


def test_the_table_of_poses_says_what_is_claimed(tmp_path: Path) -> None:
    write_foot(tmp_path)
    done = run("poses", "foot.stl", folder=tmp_path)
    assert "foot.stl: fewest possible, proved over every direction" in done.stdout
    assert "connections" in done.stdout


def test_poses_are_ranked_and_put_on_a_sheet(tmp_path: Path) -> None:
    write_foot(tmp_path)
    done = run("poses", "foot.stl", "--sheet", "poses.html", "--json", folder=tmp_path)
    read = document(done, "poses")
    assert [p["rank"] for p in read["poses"]] == list(range(1, len(read["poses"]) + 1))
    # A convex body fills through one gate: air only stays at the top.
    assert read["poses"][0]["connections"] == 1
    assert (tmp_path / "poses.html").read_text(encoding="utf-8").lstrip().startswith("<!")


def test_make_prints_the_manifest_it_wrote(bench: Path) -> None:
    printed = json.loads((bench / "first.json").read_text(encoding="utf-8"))
    written = json.loads((bench / "first" / "set.json").read_text(encoding="utf-8"))
    assert printed.pop("folder") == "first"
    assert printed == written


def test_set_keeps_its_schema_and_its_pose(bench: Path) -> None:
    text = (bench / "first" / "set.json").read_text(encoding="utf-8")
    read = document(subprocess.CompletedProcess([], 0, text, ""), "set")
    assert read["pose"]["up"] == pytest.approx([0.0, 0.0, 1.0])
    assert read["pose"]["rank"] is None
    assert read["closure"]["relative_error"] <= 1e-6


def test_every_file_named_is_there_and_every_body_is_named(bench: Path) -> None:
    read = json.loads((bench / "first" / "set.json").read_text(encoding="utf-8"))
    named = {path for piece in read["pieces"] for path in piece["files"].values()}
    there = set(tree(bench / "first"))
    assert named <= there
    bodies = {path for path in there if path.split("/")[0] in ("print", "cad", "view")}
    assert bodies == named
    assert {"set.json", "job-sheet.html", "print/set.3mf", "view/casting.stl"} <= there


def test_every_stl_is_the_closed_body_the_manifest_tells_of(bench: Path) -> None:
    # trimesh, an independent reader of the format.
    read = json.loads((bench / "first" / "set.json").read_text(encoding="utf-8"))
    for piece in read["pieces"]:
        body = trimesh.load_mesh(bench / "first" / piece["files"]["stl"])
        assert body.is_watertight and body.is_winding_consistent, piece["name"]
        assert body.volume == pytest.approx(piece["volume_mm3"], rel=1e-5)


def test_the_closure_holds_on_the_files(bench: Path) -> None:
    # The rubber and the casting beside it fill the block, except the funnel's air, by another
    # reader: casting and rubber share no volume, and the rubber's box is the block.
    read = json.loads((bench / "first" / "set.json").read_text(encoding="utf-8"))
    rubber, casting = (trimesh.load_mesh(bench / "first" / f"view/{n}.stl") for n in BODIES)
    block = read["block"]
    assert rubber.bounds[0] == pytest.approx(block["low_mm"], abs=1e-4)
    assert rubber.bounds[1] == pytest.approx(block["high_mm"], abs=1e-4)
    assert rubber.volume + casting.volume == pytest.approx(read["closure"]["block_mm3"], rel=2e-6)


def test_same_input_same_bytes(bench: Path) -> None:
    first, second = tree(bench / "first"), tree(bench / "second")
    assert set(first) == set(second)
    for name in first:
        if name.endswith((".json", ".stl", ".3mf", ".step", ".png", ".html")):
            assert first[name] == second[name], name


def test_make_speaks_to_people_too(bench: Path) -> None:
    text = (bench / "second.txt").read_text(encoding="utf-8")
    assert "second" in text and "rubber" in text and "gate" in text


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (["check", "missing.stl"], 3, "missing.stl"),
        (["check", "broken.stl"], 3, "broken.stl"),
        (["poses", "broken.stl", "--json"], 3, "broken.stl"),
        (["make", "broken.stl", "--out", "new"], 3, "broken.stl"),
        (["make", "foot.stl", "--out", "new", "--kind", "jacket"], 4, "not built yet"),
        (["make", "foot.stl", "--out", "new", "--up", "0", "0", "0"], 2, "--up needs three"),
        (["make", "foot.stl", "--out", "new", "--turn", "0", "inf", "0"], 2, "--turn needs"),
        (["make", "foot.stl", "--out", "new", "--pose", "1", "--up", "0", "0", "1"], 2, "exclude"),
        (["make", "foot.stl", "--out", "new", "--wall", "900"], 2, "from 3 to 100 mm"),
        (["make", "foot.stl", "--out", "new", "--config", "none.toml"], 2, "none.toml"),
        (["make", "foot.stl", "--out", "new", "--pose", "999"], 2, "999"),
        (["make", "foot.stl", "--out", "new", "--pull", "1", "0", "0"], 2, "goes with --kind two"),
        (["make", "foot.stl", "--out", "theirs"], 2, "not written by moldgen"),
        (["make", "foot.stl", "--out", "foot.stl"], 2, "is a file"),
        (["make", "foot.stl", "--out", ".", "--force"], 2, "holds"),
        (["poses", "foot.stl", "--sheet", "foot.stl"], 2, "is the part itself"),
        (["check", "foot.stl", "--scale", "-1"], 2, "scale"),
    ],
    ids=lambda a: " ".join(a) if isinstance(a, list) else "",
)
def test_a_refusal_is_one_sentence_and_changes_nothing(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    code: int,
    words: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    write_foot(tmp_path)
    (tmp_path / "broken.stl").write_bytes(b"solid nothing")
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / "letter").write_text("dear")
    before = tree(tmp_path)
    require_refusal(run_here(*arguments), code, words)
    assert tree(tmp_path) == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["broken.stl", "foot.stl", "theirs"]


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["mend"],
        ["check"],
        ["make", "foot.stl"],
        ["make", "foot.stl", "--out", "new", "--kind", "blok"],
        ["make", "foot.stl", "--out", "new", "--up", "0", "0"],
        ["make", "foot.stl", "--out", "new", "--pose", "0"],
        ["check", "foot.stl", "--unit", "ell"],
    ],
    ids=" ".join,
)
def test_a_wrong_command_line_is_code_two(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    done = run_here(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_refusal_ends_the_process_with_its_code(tmp_path: Path) -> None:
    require_refusal(run("check", "missing.stl", "--json", folder=tmp_path), 3, "missing.stl")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM], ids=["Ctrl-C", "SIGTERM"])
def test_a_stop_while_writing_leaves_nothing_behind(bench: Path, number: int) -> None:
    before = tree(bench)
    for _ in range(3):
        code, said = stopped_while_writing(bench, number)
        if code == 128 + number:
            break  # else, on a busy machine, it came when all was done
    assert (code, said) == (128 + number, "moldgen: stopped, nothing was written\n")
    assert tree(bench) == before


def stopped_while_writing(bench: Path, number: int) -> tuple[int, str]:
    """Exit code and stderr of a make that gets a signal as soon as its folder appears."""
    order = [*PROGRAM, "make", "foot.stl", "--out", "first", "--up", "0", "0", "1"]
    child = subprocess.Popen(order, cwd=bench, stderr=subprocess.PIPE, text=True)
    while not list(bench.glob(".first-*")):
        assert child.poll() is None
        time.sleep(0.002)
    os.kill(child.pid, number)
    _, said = child.communicate(timeout=60)
    return child.returncode, said


def test_demo_needs_no_file(tmp_path: Path) -> None:
    done = run("demo", "--out", "set", "--json", folder=tmp_path)
    read = document(done, "set")
    assert read["closure"]["relative_error"] <= 1e-6
    assert done.stderr == ""


def test_version_is_the_one_of_the_package() -> None:
    project = tomllib.loads((SCHEMAS.parents[1] / "pyproject.toml").read_text(encoding="utf-8"))
    done = run("--version", folder=SCHEMAS)
    assert done.stdout.strip() == project["project"]["version"]
