"""From a CadQuery model to its mold: write STEP, read it back with its exact body, make the set."""

from pathlib import Path

import cadquery as cq

from moldgen import Job, Pose, make_plan, read_part

drop = (
    cq.Workplane("XZ").moveTo(0, 0).lineTo(9, 0).threePointArc((11, 12), (0, 40)).close().revolve()
)
cq.exporters.export(drop, "drop.step")
plan = make_plan(read_part(Path("drop.step")), Job(), Pose.from_up((0.0, 0.0, 1.0)))
print(f"{plan.connections} connection, {plan.quantities.resin.total_g:.1f} g of resin")
