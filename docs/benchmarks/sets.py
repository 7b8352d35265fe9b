"""Make a set from each example and registry part and print one table row for each.

Run: `MOLDGEN_TEST_PARTS=... python docs/benchmarks/sets.py [NAME ...]`. Seconds and peak memory are
the whole process as the operating system accounts for it; they are figures of one machine.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from moldgen.demo import FITTINGS, demo_part_path

HEAD = (
    "| part | up | connections | gate | straight/slanted/bent vents | arrangement "
    "| closure | promises 1-5 | s | MB |\n|---|---|---|---|---|---|---|---|---|---|"
)


def bunny(folder: Path, out: Path) -> Path:
    """The npm bunny as OBJ, its longest side 60 mm."""
    text = (folder / "bunny" / "index.js").read_text()
    cells = re.search(r"exports\.cells=(\[\[.*?\]\])", text)
    points = re.search(r"exports\.positions=(\[\[.*?\]\])", text)
    assert cells and points
    corners, faces = json.loads(points.group(1)), json.loads(cells.group(1))
    sides = [max(c) - min(c) for c in zip(*corners, strict=True)]
    scale = 60.0 / max(sides)
    path = out / "bunny.obj"
    lines = ["v " + " ".join(f"{x * scale:.6f}" for x in p) for p in corners]
    lines += ["f " + " ".join(str(i + 1) for i in f) for f in faces]
    path.write_text("\n".join(lines) + "\n")
    return path


def parts(out: Path) -> dict[str, tuple[Path, list[str]]]:
    """Every part of the table with the options it needs."""
    found: dict[str, tuple[Path, list[str]]] = {f: (demo_part_path(f), []) for f in FITTINGS}
    folder = os.environ.get("MOLDGEN_TEST_PARTS")
    if not folder:
        return found
    root = Path(folder)
    found["bunny"] = (bunny(root, out), [])
    for name, pattern, options in (
        ("ant", "whl/pyvista/examples/ant.ply", []),
        ("airplane", "whl/pyvista/examples/airplane.ply", ["--scale", "0.05"]),
        ("nut", "whl/pyvista/examples/nut.ply", []),
        ("sphere", "whl/pyvista/examples/sphere.ply", ["--scale", "0.16"]),
        ("t20_data", "whl/gmsh-*/data/share/doc/gmsh/tutorials/t20_data.step", []),
        ("t13_data", "whl/gmsh-*/data/share/doc/gmsh/tutorials/t13_data.stl", []),
        (
            "nema-17-bracket",
            "build123d-*/docs/topology_selection/examples/nema-17-bracket.step",
            [],
        ),
        ("low_poly_benchy", "build123d-*/examples/low_poly_benchy.stl", []),
    ):
        for path in root.glob(pattern):
            found[name] = (path, options)
    return found


def row(name: str, path: Path, options: list[str], out: Path) -> str:
    """Run `moldgen make` in a process of its own and put its figures in a row."""
    command = [
        sys.executable,
        "-m",
        "moldgen",
        "make",
        str(path),
        "--out",
        str(out / name),
        *options,
    ]
    start = time.perf_counter()
    with subprocess.Popen(
        [*command, "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as child:
        stdout, stderr = child.communicate()
    seconds = time.perf_counter() - start
    if child.returncode:
        return f"| {name} | exit {child.returncode}: {' '.join(stderr.split())[-300:]} |"
    made = json.loads(stdout)
    ways = [v["way"] for v in made["vents"]]
    gate = made["gate"]
    return (
        f"| {name} | {[round(x, 2) for x in made['pose']['up']]} "
        f"| {made['pose']['connections']} | {gate['sprue_diameter_mm']:g} mm {gate['way']} "
        f"| {ways.count('straight')}/{ways.count('slanted')}/{ways.count('bent')} "
        f"| {made['rubber_pour']['arrangement']} | {made['closure']['relative_error']:.1e} | yes "
        f"| {seconds:.1f} | {peak_mb(command, out / (name + '-again')):.0f} |"
    )


def peak_mb(command: list[str], out: Path) -> float:
    """Peak resident memory of a fresh run [MB]."""
    again = [*command]
    again[again.index("--out") + 1] = str(out)
    pid = os.posix_spawn(again[0], again, dict(os.environ), file_actions=QUIET)
    _, _, usage = os.wait4(pid, 0)
    return usage.ru_maxrss / 1024.0


QUIET = [
    (os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0o600),
    (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0o600),
]


def main() -> None:
    wanted = sys.argv[1:]
    print(HEAD)
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder)
        for name, (path, options) in parts(out).items():
            if not wanted or name in wanted:
                print(row(name, path, options, out), flush=True)


if __name__ == "__main__":
    main()
