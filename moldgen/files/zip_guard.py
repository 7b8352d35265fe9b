"""A look at a zip archive from an unknown hand, before any library unpacks it."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterator

from moldgen.errors import PartError
from moldgen.files.raw import shown

MAX_ENTRIES = 1000
MAX_UNPACKED_BYTES = 256_000_000
MAX_RATIO = 200
_RATIO_FROM_BYTES = 1_000_000  # small entries of blanks pack better than any bomb
_CHUNK_BYTES = 1 << 20
_DAMAGED = "the archive is cut short or damaged, export or copy the part again"


def open_archive(data: bytes) -> zipfile.ZipFile:
    """The archive, once its directory has been found harmless.

    Raises
    ------
    PartError
        If it is no zip archive, is encrypted, has odd names, or unpacks to too much.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except (zipfile.BadZipFile, NotImplementedError, ValueError, EOFError) as error:
        raise PartError(f"it is no readable zip archive: {_DAMAGED}") from error
    entries = archive.infolist()
    if len(entries) > MAX_ENTRIES:
        raise PartError(f"its archive has {len(entries):,} entries, at most {MAX_ENTRIES} are read")
    for entry in entries:
        _check_entry(entry)
    _check_names([entry.filename for entry in entries])
    total = sum(entry.file_size for entry in entries)
    if total > MAX_UNPACKED_BYTES:
        raise PartError(
            f"its archive unpacks to {total / 1e6:,.0f} MB and at most "
            f"{MAX_UNPACKED_BYTES / 1e6:.0f} MB are read: export the part more coarsely"
        )
    return archive


def _check_entry(entry: zipfile.ZipInfo) -> None:
    name = shown(entry.filename)
    if entry.flag_bits & 0x1:
        raise PartError(f"archive entry '{name}' is encrypted: save the part without a password")
    if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise PartError(f"archive entry '{name}' is packed in a way 3MF does not use: {_DAMAGED}")
    large = entry.file_size > _RATIO_FROM_BYTES
    if large and entry.file_size > MAX_RATIO * max(entry.compress_size, 1):
        raise PartError(
            f"archive entry '{name}' unpacks from {entry.compress_size:,} to "
            f"{entry.file_size:,} bytes, more than {MAX_RATIO} times: it is refused as a trap"
        )


def _check_names(names: list[str]) -> None:
    for name in names:
        parts = name.replace("\\", "/").split("/")
        if ".." in parts or name.startswith(("/", "\\")) or ":" in parts[0]:
            raise PartError(
                f"archive entry '{shown(name)}' points outside the archive: it is refused as a trap"
            )
    if len({name.lower() for name in names}) != len(names):
        raise PartError(f"two entries of its archive have one name: {_DAMAGED}")


def unpacked(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Iterator[bytes]:
    """The entry's bytes in pieces; never more than its directory announced.

    Raises
    ------
    PartError
        If the entry is damaged or larger than announced.
    """
    size = 0
    try:
        with archive.open(entry) as stream:
            while piece := stream.read(_CHUNK_BYTES):
                size += len(piece)
                yield piece
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError) as error:
        raise PartError(
            f"archive entry '{shown(entry.filename)}' cannot be unpacked: {_DAMAGED}"
        ) from error
    if size != entry.file_size:
        raise PartError(
            f"archive entry '{shown(entry.filename)}' is not as long as announced: {_DAMAGED}"
        )
