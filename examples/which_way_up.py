"""Which way up? Rank the poses of a bracket and say what each costs."""

from moldgen import Job, demo_part_path, read_part, study_poses

part = read_part(demo_part_path("bracket"))
for pose in study_poses(part.mesh, Job()).poses:
    up = ", ".join(f"{x:+.2f}" for x in pose.pose.up)
    print(
        f"up ({up}): gate and vents {pose.connections}, {pose.rubber_mm3 / 1000:.0f} cm³ of rubber"
    )
