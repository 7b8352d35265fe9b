"""A plan is numbers: compare two rubber walls for a knob without cutting a single solid."""

from dataclasses import replace

from moldgen import Job, Pose, demo_part_path, make_plan, read_part

knob = read_part(demo_part_path("fluted-knob"))
standing_up = Pose.from_up((0.0, 0.0, 1.0))
job = Job()
for wall_mm in (8.0, 12.0):
    plan = make_plan(knob, replace(job, rubber=replace(job.rubber, wall_mm=wall_mm)), standing_up)
    print(f"{wall_mm:g} mm: {plan.quantities.rubber.total_g:.0f} g, lift {plan.loads.lift_n:.2f} N")
