"""Fetch the test parts from the registries by package name: `python tests/fetch_parts.py FOLDER`.

What cannot be had is left out with one line on stderr; the tests that need it skip.
"""

from __future__ import annotations

import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

NPM = ("bunny", "stl-models")
WHEELS = ("pyvista", "gmsh")
SOURCES = ("build123d",)


def main() -> None:
    folder = Path(sys.argv[1]).resolve()
    folder.mkdir(parents=True, exist_ok=True)
    for name in NPM:
        attempt(name, folder / name, lambda name=name: from_npm(name, folder))
    for name in WHEELS:
        attempt(name, folder / "whl" / f".{name}", lambda name=name: from_wheel(name, folder))
    for name in SOURCES:
        attempt(name, folder / f".{name}", lambda name=name: from_source(name, folder))


def attempt(name, mark, fetch):
    """Fetch once; a mark says it is there."""
    if mark.exists():
        return
    try:
        fetch()
    except (OSError, subprocess.SubprocessError, tarfile.TarError, zipfile.BadZipFile) as error:
        print(f"{name} left out: {error}", file=sys.stderr)
        return
    mark.parent.mkdir(parents=True, exist_ok=True)
    if not mark.exists():
        mark.touch()


def from_npm(name, folder):
    run("npm", "pack", name, "--silent", cwd=folder)
    archive = next(folder.glob(f"{name}-*.tgz"))
    with tarfile.open(archive) as packed:
        packed.extractall(folder / "unpacked", filter="data")
    (folder / "unpacked" / "package").rename(folder / name)
    archive.unlink()


def from_wheel(name, folder):
    download(name, folder)
    wheel = next(folder.glob(f"{name}-*.whl"))
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder / "whl")
    wheel.unlink()


def from_source(name, folder):
    download(name, folder, "--no-binary", ":all:")
    archive = next(folder.glob(f"{name}-*.tar.gz"))
    with tarfile.open(archive) as packed:
        packed.extractall(folder, filter="data")
    archive.unlink()


def download(name, folder, *options):
    run(sys.executable, "-m", "pip", "download", "-q", "--no-deps", *options, "-d", folder, name)


def run(*command, cwd=None):
    subprocess.run(command, cwd=cwd, check=True, capture_output=True, timeout=300)


if __name__ == "__main__":
    main()
