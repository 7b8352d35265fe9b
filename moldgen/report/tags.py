"""The elements that both sheets are made of, as HTML text: whole page, tags, figures, plates."""

from __future__ import annotations

import base64
from collections.abc import Iterable
from html import escape
from importlib.resources import files

from moldgen.report.phrases import Figure

POLICY = "default-src 'none'; img-src data:; style-src 'unsafe-inline'"


def page(title: str, body: str) -> str:
    """A whole page that fetches nothing, round finished HTML."""
    style = (files("moldgen.report") / "sheet.css").read_text("utf-8")
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title>\n<style>\n{style}</style></head>\n"
        f"<body>\n{body}\n</body></html>\n"
    )


def tag(name: str, inner: str, kind: str = "", **attributes: str) -> str:
    """An element round finished HTML; attributes are escaped, `_` in their names becomes `-`."""
    marks = {**({"class": kind} if kind else {}), **attributes}
    said = "".join(f' {k.replace("_", "-")}="{escape(v)}"' for k, v in marks.items())
    return f"<{name}{said}>{inner}</{name}>"


def text(name: str, words: str, kind: str = "") -> str:
    """An element round a text, which is escaped."""
    return tag(name, escape(words), kind)


def join(parts: Iterable[str]) -> str:
    """Elements one below the other."""
    return "\n".join(parts)


def section(title: str, inner: str, kind: str = "") -> str:
    """A section with its heading, round finished HTML."""
    return tag("section", text("h2", title) + inner, kind)


def figures(rows: Iterable[Figure], kind: str) -> str:
    """A list of figures, each with its name and its note."""
    return tag("dl", "".join(_figure(f) for f in rows), kind)


def _figure(figure: Figure) -> str:
    note = text("dd", figure.note, "note") if figure.note else ""
    return tag("div", text("dt", figure.name) + text("dd", figure.value, "value") + note)


def remark(grade: str, words: str) -> str:
    """A list item for something found: how grave, and what."""
    return tag("li", text("b", grade, f"grade {grade}") + text("span", words))


def image(png: bytes, said: str, kind: str = "") -> str:
    """A picture written into the page itself, with what it says for those who cannot see it."""
    mark = f' class="{kind}"' if kind else ""
    return f'<img{mark} alt="{escape(said)}" src="{data_uri(png)}">'


def plate(caption: str, png: bytes, kind: str = "") -> str:
    """A picture with its caption."""
    return tag("figure", image(png, caption) + text("figcaption", caption), kind)


def data_uri(png: bytes) -> str:
    """A picture as an address that holds it."""
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")
