"""The whole job on a finial: part file in, checked folder out."""

from pathlib import Path

from moldgen import Job, demo_part_path, make

folder = make(demo_part_path("finial"), Path("finial-mold"), Job())
print("made", folder)
