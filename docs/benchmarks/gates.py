"""The gate chosen for each fitting, with three resins in a cold, a usual and a warm shop.

Each is checked by running the forecast again with its size given, which must be in time, and one
standard size smaller, which must not be. Where no gate is in time the row says what the best one
does. Prints the table of docs/filling.md. Run: python docs/benchmarks/gates.py [PARTS_FOLDER]
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from moldgen.demo import FITTINGS, demo_part_path
from moldgen.errors import MoldError
from moldgen.files.read import read_part
from moldgen.geometry.mesh import Mesh
from moldgen.geometry.repair import repair
from moldgen.job.job import Breather, ChannelWishes, Job, ResinWishes
from moldgen.part.part import Part
from moldgen.plan.bores import Bore, bores_for
from moldgen.plan.nouns import Gate, MoldPlan
from moldgen.plan.plan import plan_mold
from moldgen.pose.pose import Pose
from moldgen.units import LengthUnit
from moldgen.workflow import choose_pose

RESINS = ("urethane-slow", "urethane-fast", "epoxy")
SHOPS_C = (15.0, 23.0, 30.0)
OTHERS = ("**/component8.step", "**/api/object.stl")
SAME_MM = 1e-6
ALONE = ChannelWishes(breather=Breather.NEVER)

HEAD = "| part | resin | °C | sprue, neck mm | full after s | granted s | % | one size smaller |"


def main(folder: Path | None) -> None:
    print(HEAD)
    print("|---" * 8 + "|")
    for name, part in parts(folder):
        pose = choose_pose(part, Job())
        for resin in RESINS:
            for shop_c in SHOPS_C:
                wishes = ResinWishes(material=resin)
                print(row(name, part, pose, Job(shop_c=shop_c, resin=wishes, channels=ALONE)))


def parts(folder: Path | None) -> Iterator[tuple[str, Part]]:
    for name in FITTINGS:
        yield name, read_part(demo_part_path(name))
    if folder and (folder / "bunny" / "index.js").exists():
        yield "scanned hare", scan(folder / "bunny" / "index.js")
    found = [p for pattern in OTHERS for p in sorted(folder.glob(pattern))] if folder else []
    for path in dict.fromkeys(found):
        try:
            yield path.stem, read_part(path)
        except MoldError as error:
            print(f"{path.name}: {error}", file=sys.stderr)


def scan(path: Path) -> Part:
    """A scanned figure that a package carries as numbers, 60 mm long."""
    text = path.read_text()
    points, faces = (
        np.array(json.loads(re.search(rf"exports\.{name}\s*=\s*(\[\[.*?\]\])", text, re.S)[1]))
        for name in ("positions", "cells")
    )
    mesh = repair(Mesh(points, faces)).mesh
    sized = Mesh(mesh.vertices * (60.0 / mesh.extents_mm.max()), mesh.faces)
    return Part(sized, "hare", path.name, "", LengthUnit.MM)


def row(name: str, part: Part, pose: Pose, job: Job) -> str:
    start = f"| {name} | {job.resin.material} | {job.shop_c:g}"
    short = replace(job, resin=replace(job.resin, allow_short_fill=True))
    try:
        plan = plan_mold(part, pose, short)
    except MoldError as error:
        return f"{start} | {error} | | | | |"
    fill, gate = plan.forecast, plan.gate
    assert fill is not None
    time = "never" if fill.fill_time_s is None else f"{fill.fill_time_s:.0f}"
    late = "" if fill.is_in_time else ", late" if fill.is_full else ", refused"
    return (
        f"{start} | {gate.sprue_diameter_mm:.3g}, {gate.neck_diameter_mm:.1f} | {time}{late} "
        f"| {fill.due_s:.0f} | {100.0 * fill.filled_fraction:.0f} "
        f"| {smaller(part, pose, short, plan)} |"
    )


def smaller(part: Part, pose: Pose, job: Job, plan: MoldPlan) -> str:
    """What the next smaller pair does; the pair itself must do as planned."""
    if plan.forecast is None or not plan.forecast.is_in_time:
        return "–"
    pairs = bores_for(job.channels)
    least = plan.gate.sprue_diameter_mm - SAME_MM
    for i, bore in enumerate(pairs):
        again = given(part, pose, job, bore) if bore.sprue_mm >= least else None
        if again is None or not is_same(again.gate, plan.gate):
            continue
        assert again.forecast is not None and again.forecast.is_in_time
        if again.gate.sprue_diameter_mm < bore.sprue_mm - SAME_MM:
            return "no room for a standard one"
        return told(given(part, pose, job, pairs[i - 1])) if i else "none"
    raise AssertionError("no pair lays the gate that was planned")


def told(less: MoldPlan | None) -> str:
    """What a smaller pair does, which must not be in time."""
    if less is None or less.forecast is None:
        return "none"
    assert not less.forecast.is_in_time, "a smaller size would have done"
    time = less.forecast.fill_time_s
    return "never full" if time is None else f"full after {time:.0f} s"


def is_same(one: Gate, two: Gate) -> bool:
    return (
        abs(one.sprue_diameter_mm - two.sprue_diameter_mm) < SAME_MM
        and abs(one.neck_diameter_mm - two.neck_diameter_mm) < SAME_MM
    )


def given(part: Part, pose: Pose, job: Job, bore: Bore) -> MoldPlan | None:
    wishes = replace(ALONE, sprue_diameter_mm=bore.sprue_mm, neck_diameter_mm=bore.neck_mm)
    try:
        return plan_mold(part, pose, replace(job, channels=wishes))
    except MoldError:
        return None


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
