"""Loading the exact kernel (OCP, CadQuery's binding), or saying what is missing.

It is large and needs a graphics library to load, so it is imported inside functions: the mesh part
of a job works without it.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any, TypeAlias

from moldgen.errors import SolidError

Shape: TypeAlias = Any  # OCP.TopoDS.TopoDS_Shape; the binding carries no types

_DEBIAN_PACKAGES = {"libGL.so.1": "libgl1", "libEGL.so.1": "libegl1", "libX11.so.6": "libx11-6"}


@cache
def exact_kernel_missing() -> str | None:
    """Why the exact kernel does not load and what to do, in one sentence; None if it loads."""
    try:
        from OCP.Message import Message
    except ModuleNotFoundError:
        return "the exact kernel is not installed; install it with: pip install cadquery"
    except ImportError as error:
        return _loading_sentence(str(error))
    _silence(Message.DefaultMessenger_s())
    return None


def _loading_sentence(reason: str) -> str:
    """The loader's own words turned into what is missing and where it comes from."""
    found = re.match(r"(\S+): cannot open shared object file", reason)
    if not found:
        return f"the exact kernel does not load: {reason}"
    library = found[1]
    package = _DEBIAN_PACKAGES.get(library)
    remedy = f"install the Debian package {package}" if package else "install that library"
    return f"the exact kernel does not load because {library} is missing; {remedy}"


def _silence(messenger: Any) -> None:
    """Keep the kernel's remarks off standard output, where a program may be reading."""
    for printer in list(messenger.Printers()):
        messenger.RemovePrinter(printer)


def require_exact_kernel() -> None:
    """Load the exact kernel.

    Raises
    ------
    SolidError
        If it does not load; the message says what to install.
    """
    if missing := exact_kernel_missing():
        raise SolidError(missing)
