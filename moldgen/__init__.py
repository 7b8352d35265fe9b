"""moldgen turns a part into a checked flexible-rubber casting mold.

The public names load their rooms on first use, so that `import moldgen` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from moldgen.apps.make import make as make
    from moldgen.build.set import build_set as build_set
    from moldgen.demo import demo_part_path as demo_part_path
    from moldgen.files.deliver import write_set as write_set
    from moldgen.files.read import read_part as read_part
    from moldgen.job.job import Job as Job
    from moldgen.job.job import MoldKind as MoldKind
    from moldgen.part.part import Part as Part
    from moldgen.pose.pose import Pose as Pose
    from moldgen.study.search import study_poses as study_poses
    from moldgen.workflow import make_plan as make_plan

__version__ = "0.1.0"

_HOMES = {
    "Part": "moldgen.part.part",
    "Pose": "moldgen.pose.pose",
    "Job": "moldgen.job.job",
    "MoldKind": "moldgen.job.job",
    "read_part": "moldgen.files.read",
    "study_poses": "moldgen.study.search",
    "make_plan": "moldgen.workflow",
    "build_set": "moldgen.build.set",
    "write_set": "moldgen.files.deliver",
    "make": "moldgen.apps.make",
    "demo_part_path": "moldgen.demo",
}

__all__ = ["__version__", *_HOMES]


def __getattr__(name: str) -> Any:
    """A public name, from the room it lives in."""
    if name not in _HOMES:
        raise AttributeError(f"module 'moldgen' has no attribute {name!r}")
    value = getattr(import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted(__all__)
