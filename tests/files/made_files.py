"""Part files made byte by byte, with bodies to put in them."""

from __future__ import annotations

import io
import struct
import zipfile
from itertools import pairwise

import numpy as np

FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


# bodies as lists of triangles, (m, 3, 3)


def box(low=(0.0, 0.0, 0.0), high=(20.0, 20.0, 20.0)) -> np.ndarray:
    """The twelve triangles of a box, normals outward."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    a, b, c, d = (x0, y0, z0), (x1, y0, z0), (x1, y1, z0), (x0, y1, z0)
    e, f, g, h = (x0, y0, z1), (x1, y0, z1), (x1, y1, z1), (x0, y1, z1)
    quads = [(a, d, c, b), (e, f, g, h), (a, b, f, e), (b, c, g, f), (c, d, h, g), (d, a, e, h)]
    return np.array([t for p, q, r, s in quads for t in ((p, q, r), (p, r, s))], dtype=float)


def moebius(n: int = 24) -> np.ndarray:
    """A band with one twist: a surface with one side only."""
    t = 2.0 * np.pi * np.arange(n) / n
    rim = []
    for side in (-5.0, 5.0):
        radius = 20.0 + side * np.cos(t / 2.0)
        rim.append(np.column_stack([radius * np.cos(t), radius * np.sin(t), side * np.sin(t / 2)]))
    low, high = rim
    low_next = np.vstack([low[1:], high[:1]])
    high_next = np.vstack([high[1:], low[:1]])
    return np.concatenate(
        [np.stack([low, low_next, high_next], 1), np.stack([low, high_next, high], 1)]
    )


def pierced_ring() -> np.ndarray:
    """A bar bent into a flat S whose last limb runs through its first: closed, one shell."""
    path = [(0, 0), (40, 0), (40, 20), (20, 20), (20, -20)]
    corners = [np.array([x, y, 0.0]) for x, y in path]
    rings = []
    for k, p in enumerate(corners):
        back = corners[k] - corners[k - 1] if k else corners[1] - corners[0]
        ahead = corners[k + 1] - corners[k] if k + 1 < len(corners) else back
        u, v = back / np.linalg.norm(back), ahead / np.linalg.norm(ahead)
        side = np.array([-u[1] - v[1], u[0] + v[0], 0.0])
        side *= 3.0 / (side @ np.array([-u[1], u[0], 0.0]))
        up = np.array([0.0, 0.0, 3.0 if k < 3 else 2.0])
        rings.append([p - side - up, p - side + up, p + side + up, p + side - up])
    triangles = []
    for r, s in pairwise(rings):
        for i in range(4):
            j = (i + 1) % 4
            triangles += [(r[i], r[j], s[j]), (r[i], s[j], s[i])]
    for ring, order in ((rings[0], (0, 3, 2, 1)), (rings[-1], (0, 1, 2, 3))):
        a, b, c, d = (ring[i] for i in order)
        triangles += [(a, b, c), (a, c, d)]
    return np.array(triangles)


# files


def stl(triangles: np.ndarray, count: int | None = None, header: bytes = b"") -> bytes:
    """Binary STL."""
    records = np.zeros(len(triangles), FACET)
    records["corners"] = triangles
    count = len(triangles) if count is None else count
    return header.ljust(80, b"\0") + struct.pack("<I", count) + records.tobytes()


def ascii_stl(triangles: np.ndarray) -> str:
    """ASCII STL."""
    lines = ["solid part"]
    for corners in triangles.tolist():
        lines += ["facet normal 0 0 0", "outer loop"]
        lines += [f"vertex {x!r} {y!r} {z!r}" for x, y, z in corners]
        lines += ["endloop", "endfacet"]
    return "\n".join([*lines, "endsolid part", ""])


CUBE_V = [(x, y, z) for z in (0, 20) for x, y in ((0, 0), (20, 0), (20, 20), (0, 20))]
CUBE_F = [(0, 3, 2, 1), (4, 5, 6, 7), (0, 1, 5, 4), (1, 2, 6, 5), (2, 3, 7, 6), (3, 0, 4, 7)]


def obj(vertices=CUBE_V, faces=CUBE_F) -> str:
    """OBJ of a cube of 20 in six squares."""
    lines = [f"v {x} {y} {z}" for x, y, z in vertices]
    lines += ["f " + " ".join(str(k + 1) for k in face) for face in faces]
    return "\n".join([*lines, ""])


def ply(
    n_vertices: int | None = None, n_faces: int | None = None, vertices=CUBE_V, faces=CUBE_F
) -> str:
    """ASCII PLY of a cube of 20 in six squares."""
    return "\n".join(
        [
            "ply",
            "format ascii 1.0",
            f"element vertex {len(vertices) if n_vertices is None else n_vertices}",
            *(f"property float {axis}" for axis in "xyz"),
            f"element face {len(faces) if n_faces is None else n_faces}",
            "property list uchar int vertex_indices",
            "end_header",
            *(f"{x} {y} {z}" for x, y, z in vertices),
            *(f"{len(face)} " + " ".join(map(str, face)) for face in faces),
            "",
        ]
    )


def binary_ply(faces=CUBE_F, order: str = "<", vertices=CUBE_V) -> bytes:
    """Binary PLY of a cube of 20 in six squares."""
    name = "binary_little_endian" if order == "<" else "binary_big_endian"
    header = ply(vertices=vertices, faces=faces).split("end_header\n")[0].replace("ascii", name)
    points = b"".join(struct.pack(order + "3f", *v) for v in vertices)
    rows = b"".join(struct.pack(f"{order}B{len(f)}i", len(f), *f) for f in faces)
    return (header + "end_header\n").encode() + points + rows


CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" '
    'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
)
RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL = "3D/3dmodel.model"
TETRA_V = "".join(
    f'<vertex x="{x}" y="{y}" z="{z}"/>'
    for x, y, z in ((0, 0, 0), (30, 0, 0), (0, 30, 0), (0, 0, 30))
)
TETRA_F = "".join(
    f'<triangle v1="{a}" v2="{b}" v3="{c}"/>'
    for a, b, c in ((0, 2, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3))
)


def model(
    unit: str = 'unit="millimeter"',
    vertices: str = TETRA_V,
    triangles: str = TETRA_F,
    kind: str = "",
    more: str = "",
    build: str = '<item objectid="1"/>',
    root: str = "",
    before: str = "",
) -> str:
    """The 3D model of a 3MF file: a corner of a cube of 30, of volume 4500."""
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{before}<model {unit} xmlns="{CORE}" {root}>'
        f'<resources><object id="1" {kind}><mesh><vertices>{vertices}</vertices>'
        f"<triangles>{triangles}</triangles></mesh></object>{more}</resources>"
        f"<build>{build}</build></model>"
    )


def threemf(
    text: str | bytes | None,
    types: str | None = CONTENT_TYPES,
    relations: str | None = RELATIONS,
    extra: dict[str, bytes] | None = None,
    packing: int = zipfile.ZIP_DEFLATED,
) -> bytes:
    """A 3MF archive."""
    entries = {"[Content_Types].xml": types, "_rels/.rels": relations, MODEL: text, **(extra or {})}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", packing) as archive:
        for name, content in entries.items():
            if content is not None:
                archive.writestr(name, content)
    return buffer.getvalue()


def components(levels: int, fan: int = 2) -> str:
    """Objects 2 to levels + 1, each placing the one before it `fan` times."""
    return "".join(
        f'<object id="{k + 2}"><components>'
        + fan * f'<component objectid="{k + 1}"/>'
        + "</components></object>"
        for k in range(levels)
    )


def encrypted(data: bytes) -> bytes:
    """The archive with its entries marked as encrypted in the directory."""
    return data.replace(b"PK\1\2\x14\3\x14\0\0\0", b"PK\1\2\x14\3\x14\0\1\0")


def step(body: str, unit: str = "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )") -> str:
    """A STEP file around some lines of data."""
    return (
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\n"
        "FILE_NAME('part','2000-01-01T00:00:00',(''),(''),'','','');\n"
        "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n"
        "#1=(GEOMETRIC_REPRESENTATION_CONTEXT(3)\n"
        "GLOBAL_UNIT_ASSIGNED_CONTEXT((#2)) REPRESENTATION_CONTEXT('',''));\n"
        f"#2={unit};\n{body}\nENDSEC;\nEND-ISO-10303-21;\n"
    )
