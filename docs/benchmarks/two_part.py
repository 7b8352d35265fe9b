"""What two-part molds cost and what they keep: two tables of docs/sets.md, written by this script.

Run: `MOLDGEN_TEST_PARTS=... python docs/benchmarks/two_part.py [parts | sizes]`. Each row is a
process of its own, so that its peak memory is its own; ratios are taken in one run. The first table
is of parts, from the part to the proved set without pictures; the second of a ribbed ball of
growing size over its bare run: reading it, taking it out of the block and splitting the block by a
plane.
"""

from __future__ import annotations

import os
import resource
import runpy
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "sets.md"
SIZES = (1_000, 20_000, 100_000, 330_000)
HEADS = {
    "parts": "| part | triangles | stuck mm³ | flat | climb mm | jumps | sheet adds mm³ "
    "| caught mm³ | halves share, cut / written mm³ | A poured over drawn "
    "| key gap to cavity mm | s | MB |",
    "sizes": "| triangles | reading s | bare booleans s | sheet s | sweep s | halves s | bed s "
    "| (sheet + sweep + halves) / bare | set / (reading + bare) | MB, set / bare |",
}


def load(path: str) -> SimpleNamespace:
    """A script of the project by its path."""
    return SimpleNamespace(**runpy.run_path(str(ROOT / path)))


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Seconds of some work, and what it gives."""
    start = time.perf_counter()
    done = work()
    return time.perf_counter() - start, done


def peak_mb() -> float:
    """The most memory this process has held [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def part_row(name: str) -> str:
    """The row of a part, as `tests/build/halved.py` names them."""
    from moldgen.build.keys import key_recipe
    from moldgen.geometry.columns import columns_along
    from moldgen.geometry.overlap import overlap_mm3, shared_mm3
    from moldgen.geometry.solids import mesh_solid

    bodies = load("tests/build/halved.py")
    if name in bodies.OWN:
        part = bodies.own_part(name)
    elif name in bodies.FITTINGS:
        part = bodies.fitting(name)
    else:
        part = bodies.registry_part(name, Path(os.environ["MOLDGEN_TEST_PARTS"]))
    start = time.perf_counter()
    made = bodies.halved(part, name)
    written = made.written
    seconds, mb = time.perf_counter() - start, peak_mb()
    cut, two = made.cut, made.plan.two_part
    pitch = float(np.ptp(cut.part.bounds, axis=0).max()) / 800
    stuck = columns_along(cut.part.mesh(), np.eye(3), pitch).stuck_mm3
    caught = max(
        (bodies.moved(cut.half_a, lift) & cut.part).volume_mm3
        + (bodies.moved(cut.half_b, -lift) & cut.part).volume_mm3
        for lift in (0.05, 0.3, 3.0, 20.0)
    )
    as_cut = overlap_mm3(cut.half_a, cut.half_b, 1e-6)
    as_written = shared_mm3(written["rubber-a"].mesh(), written["rubber-b"].mesh())
    keys = [
        mesh_solid(key_recipe(key)).trimmed((0.0, 0.0, 1.0), key.foot_mm - key.fall_mm)
        for key in two.keys
    ]
    gap = min(key.min_gap(cut.part, 20.0) for key in keys)
    flat = two.parting.sheet.is_level
    return (
        f"| {name} | {part.mesh.n_triangles} | {stuck:.1f} | {'yes' if flat else 'no'} "
        f"| {0.0 if flat else two.parting.climb_mm:.1f} | {two.parting.pinched} "
        f"| {two.parting.trespass_mm3:.2f} | {caught:.1f} | {as_cut:.0e} / {as_written:.0e} "
        f"| {poured_over_drawn(made):.6f} | {gap:.2f} | {seconds:.0f} | {mb:.0f} |"
    )


def poured_over_drawn(made: Any) -> float:
    """Half A as poured over the bed, every contact shut by a film, over half A as drawn [ratio]."""
    from moldgen.build.two_part import mold_of
    from moldgen.geometry.solids import Solid
    from moldgen.geometry.sweep import swept_up

    cut, block = made.cut, made.plan.two_part.block
    swept = swept_up(cut.part.mesh(), block.high[2] + 2.0)
    lifted = load("tests/build/halved.py").moved(swept, 1e-3)
    room = Solid.box(block.low, block.high)
    poured = room.minus([cut.part, *cut.rods, mold_of(made.plan) - lifted]).components()[0]
    return poured.volume_mm3 / cut.half_a.volume_mm3


def size_row(triangles: int) -> str:
    """The row of a ball of about so many triangles."""
    from moldgen.build.two_part import bed_of, build_two_part, mold_of, part_of
    from moldgen.files.read import read_part
    from moldgen.files.stl import write_stl
    from moldgen.geometry.parting import parting_sheet
    from moldgen.geometry.pour_apart import poured_apart
    from moldgen.geometry.solids import Solid
    from moldgen.geometry.sweep import swept_up
    from moldgen.job.job import Job, MoldKind
    from moldgen.job.two_part import TwoPartWishes
    from moldgen.plan.two_part import plan_two_part
    from moldgen.pose.pose import Pose

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ball.stl"
        write_stl(path, load("docs/benchmarks/make.py").ribbed_ball(triangles))
        reading, part = timed(lambda: read_part(path))
    job = Job(kind=MoldKind.TWO_PART, two_part=TwoPartWishes(pull=(0.0, 1.0, 0.0)))
    low, high = part.mesh.bounds[0] - 10.0, part.mesh.bounds[1] + 10.0

    def bare() -> None:
        rest = Solid.box(low, high) - Solid.from_mesh(part.mesh)
        for half in rest.split(Solid.box(low - 2.0, (*(high + 2.0)[:2], 0.1))):
            half.mesh()

    bare_s, _ = timed(bare)
    bare_mb = peak_mb()
    plan_s, plan = timed(lambda: plan_two_part(part, job, Pose.from_up((0.0, 0.0, 1.0))))
    two, body = plan.two_part, part_of(plan)
    sheet_s, _ = timed(
        lambda: parting_sheet(body.mesh(), two.block.low[:2], two.block.high[:2], two.strips)
    )
    block = Solid.box(two.block.low, two.block.high)
    sweep_s, swept = timed(lambda: swept_up(body.mesh(), two.block.high[2] + 2.0))

    def halves() -> None:
        apart = poured_apart(block.minus([body]), body, mold_of(plan), swept)
        for half in (apart.half_a, apart.half_b):
            half.mesh()

    halves_s, _ = timed(halves)
    bed_s, _ = timed(lambda: bed_of(plan, mold_of(plan), swept).mesh())
    set_s, _ = timed(lambda: build_two_part(plan))
    return (
        f"| {part.mesh.n_triangles} | {reading:.2f} | {bare_s:.2f} | {sheet_s:.1f} | {sweep_s:.2f} "
        f"| {halves_s:.2f} | {bed_s:.1f} | {(sheet_s + sweep_s + halves_s) / bare_s:.1f} "
        f"| {(plan_s + set_s) / (reading + bare_s):.1f} | {peak_mb():.0f} / {bare_mb:.0f} |"
    )


def in_own_process(kind: str, name: str) -> str:
    """A row from a process of its own, or why there is none."""
    order = [sys.executable, __file__, kind, name]
    done = subprocess.run(order, capture_output=True, text=True)
    if done.returncode == 0:
        return done.stdout.strip().splitlines()[-1]
    return f"| {name} | {done.stderr.strip().splitlines()[-1]} |"


def put(kind: str, rows: list[str]) -> None:
    """Write a table between its marks on the page."""
    begin, end = f"<!-- {kind} -->\n", f"<!-- end of {kind} -->"
    text = PAGE.read_text("utf-8")
    before, after = text.split(begin)[0], text.split(end)[1]
    rule = "|" + "---|" * (HEADS[kind].count("|") - 1)
    table = "\n".join([HEADS[kind], rule, *rows])
    PAGE.write_text(f"{before}{begin}{table}\n{end}{after}", "utf-8")


def main(kinds: list[str]) -> None:
    bodies = load("tests/build/halved.py")
    names = [*bodies.FITTINGS, *bodies.OWN]
    names += bodies.REGISTRY if os.environ.get("MOLDGEN_TEST_PARTS") else []
    for kind, wanted in (("parts", names), ("sizes", [str(n) for n in SIZES])):
        rows = []
        for name in wanted if kind in kinds else ():
            rows.append(in_own_process(kind, name))
            print(rows[-1], flush=True)
            put(kind, rows)


if __name__ == "__main__":
    if len(sys.argv) == 3:
        print(part_row(sys.argv[2]) if sys.argv[1] == "parts" else size_row(int(sys.argv[2])))
    else:
        main(sys.argv[1:] or list(HEADS))
