"""A look through XML from an unknown hand: whole, plain, and what its root says."""

from __future__ import annotations

from collections.abc import Iterable
from xml.parsers import expat

from moldgen.errors import PartError


def root_attributes(pieces: Iterable[bytes], name: str) -> dict[str, str]:
    """The attributes of an XML text's outermost element, once the whole text has been read.

    Raises
    ------
    PartError
        If the text is not well formed to its end, or declares a document type or entities.
    """
    parser = expat.ParserCreate(namespace_separator=" ")
    found: dict[str, str] = {}

    def on_start(_tag: str, attributes: dict[str, str]) -> None:
        found.update(attributes)
        parser.StartElementHandler = None

    def on_doctype(*_declared: object) -> None:
        raise PartError(f"'{name}' declares a document type (DOCTYPE): it is refused as a trap")

    parser.StartElementHandler = on_start
    parser.StartDoctypeDeclHandler = on_doctype
    try:
        for piece in pieces:
            parser.Parse(piece, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise PartError(
            f"'{name}' is not well-formed XML at line {error.lineno} "
            f"({expat.ErrorString(error.code)}): the file is cut short or damaged, export it again"
        ) from error
    return found
