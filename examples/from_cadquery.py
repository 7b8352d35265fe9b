"""From a CadQuery model to its mold: write STEP, read it back, plan the mold."""

from pathlib import Path

import cadquery as cq

from moldgen import Job, Pose, make_plan, read_part

foot = cq.Workplane("XY").circle(12).extrude(6).faces(">Z").workplane().circle(5).extrude(20)
cq.exporters.export(foot.edges(">Z").fillet(2), "foot.step")
plan = make_plan(read_part(Path("foot.step")), Job(), Pose.from_up((0.1, 0.1, 1.0)))
print(f"gate and vents: {plan.connections}, {plan.quantities.resin.total_g:.1f} g of resin")
