"""The whole job on a finial: part file in, checked folder out."""

from pathlib import Path

from moldgen import Job, demo_part_path, make

manifest = make(demo_part_path("finial"), Path("finial-mold"), Job())
rubber = manifest["quantities"]["rubber"]
print(f"rubber: {rubber['a_g']:.1f} g of A, {rubber['b_g']:.1f} g of B")
