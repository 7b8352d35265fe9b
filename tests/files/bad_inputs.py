"""Part files that must be refused: each with the words that its refusal has to hold."""

from __future__ import annotations

import runpy
import zipfile
from pathlib import Path
from typing import NamedTuple

import numpy as np

MADE = runpy.run_path(str(Path(__file__).with_name("made_files.py")))
box = MADE["box"]
moebius = MADE["moebius"]
pierced_ring = MADE["pierced_ring"]
stl = MADE["stl"]
ascii_stl = MADE["ascii_stl"]
obj, ply = MADE["obj"], MADE["ply"]
binary_ply = MADE["binary_ply"]
model, threemf = MADE["model"], MADE["threemf"]
components = MADE["components"]
encrypted = MADE["encrypted"]
step = MADE["step"]
RELATIONS, MODEL = MADE["RELATIONS"], MADE["MODEL"]
TETRA_V, TETRA_F = MADE["TETRA_V"], MADE["TETRA_F"]


class BadInput(NamedTuple):
    """A file that cannot be used, and what its refusal must say."""

    name: str
    file: str
    data: bytes
    says: str


def _stl_inputs() -> list[BadInput]:
    cube, text = box(), ascii_stl(box())
    nan, inf = box(), box()
    nan[4, 1, 2], inf[4, 1, 2] = np.nan, np.inf
    return [
        BadInput("nothing", "a.stl", b"", "empty"),
        BadInput("ten bytes", "a.stl", b"0123456789", "too short"),
        BadInput("header alone", "a.stl", stl(cube[:0]), "no triangles"),
        BadInput("count of all ones", "a.stl", stl(cube, 0xFFFFFFFF), "announces 4,294,967,295"),
        BadInput("one too many", "a.stl", stl(cube, 13), "announces 13 triangles"),
        BadInput("count nought", "a.stl", stl(cube, 0), "announces 0 triangles"),
        BadInput("junk behind", "a.stl", stl(cube) + b"junk", "4 bytes more"),
        BadInput("cut in a triangle", "a.stl", stl(cube)[:-20], "cut short"),
        BadInput("cut between", "a.stl", stl(cube)[:-100], "cut short"),
        BadInput(
            "prose", "a.stl", b"Dear workshop, here is the knob. " * 9, "cut short or damaged"
        ),
        BadInput("not a number", "a.stl", stl(nan), "vertex 14"),
        BadInput("infinite", "a.stl", stl(inf), "not a finite place"),
        BadInput("1e30 long", "a.stl", stl(cube * 1e29), "longest side is 2e+30 mm"),
        BadInput("an atom long", "a.stl", stl(cube * 1e-9), "check the unit"),
        BadInput("far away", "a.stl", ascii_stl(cube + 1e9).encode(), "from the origin"),
        BadInput("no facets", "a.stl", b"solid x\nendsolid x\n", "no triangles"),
        BadInput("cut in words", "a.stl", text[:700].encode(), "cut short inside the facet"),
        BadInput(
            "four corners",
            "a.stl",
            text.replace("endloop", "vertex 0 0 0\nendloop", 1).encode(),
            "the facet of line 2 has 4 corners",
        ),
        BadInput(
            "two corners",
            "a.stl",
            text.replace("vertex 0.0 0.0 0.0\n", "", 1).encode(),
            "has 2 corners",
        ),
        BadInput("commas", "a.stl", text.replace(".", ",").encode(), "line 4 has '0,0'"),
        BadInput("a word", "a.stl", text.replace("20.0", "twenty", 1).encode(), "'twenty'"),
        BadInput("underscore", "a.stl", text.replace("20.0", "2_0", 1).encode(), "'2_0'"),
        BadInput(
            "half a facet", "a.stl", text.replace("endloop", "loop", 1).encode(), "as STL asks"
        ),
        BadInput("junk between", "a.stl", text.replace("facet n", "face n", 3).encode(), "'facet'"),
        BadInput("nan in words", "a.stl", text.replace("20.0", "nan", 1).encode(), "finite"),
        BadInput("overflow", "a.stl", text.replace("20.0", "1e999", 1).encode(), "finite"),
        BadInput("unknown kind", "a.xyz", stl(cube), "'.xyz' is not read"),
        BadInput("no kind", "knob", stl(cube), "export the part as .stl"),
    ]


def _topology_inputs() -> list[BadInput]:
    cube = box()
    fin = np.array([[[0, 0, 0], [20, 0, 0], [10, 10, 10.0]]])
    sheet = np.array([[[0, 0, 0], [40, 0, 0], [0, 40, 0.0]], [[0, 0, 0], [0, 40, 0], [40, 0, 0.0]]])
    crumbs = np.concatenate([box((k, 0, 0), (k + 0.5, 10, 10)) for k in range(1001)])
    pair = np.concatenate([cube, box((30, 0, 0), (40, 10, 10))])
    needles = np.zeros((4, 3, 3))
    needles[:, 1] = (30, 0, 0)
    a, b, c, d = np.array([(0, 0, 0), (40, 0, 0), (40, 40, 0), (0, 40, 0.0)])
    pillow = np.array([(a, b, c), (a, c, d), (b, a, d), (b, d, c)])
    return [
        BadInput("open side", "a.stl", stl(cube[:-2]), "4 open edges (the longest 20 mm)"),
        BadInput("missing corner", "a.stl", stl(cube[:-1]), "widest 28.3 mm across"),
        BadInput("single triangle", "a.stl", stl(cube[:1]), "3 open edges"),
        BadInput("fin inside", "a.stl", stl(np.concatenate([cube, fin])), "more than two"),
        BadInput("inner wall", "a.stl", stl(_walled()), "more than two faces meet at 4 edges"),
        BadInput("sheet, both sides", "a.stl", stl(sheet), "open edges"),
        BadInput("all needles", "a.stl", stl(needles), "enclose nothing"),
        BadInput("pressed flat", "a.stl", stl(pillow), "no volume"),
        BadInput("twisted band", "a.stl", stl(moebius()), "only one side"),
        BadInput("runs through itself", "a.stl", stl(pierced_ring()), "passes through itself"),
        BadInput("two bodies", "a.stl", stl(pair), "2 separate bodies, 1 of 20 x 20 x 20 mm"),
        BadInput("a thousand crumbs", "a.stl", stl(crumbs), "1,001 separate shells"),
    ]


def _walled() -> np.ndarray:
    """Two rooms that share one wall of single triangles."""
    left, right = box((0, 0, 0), (20, 20, 20)), box((20, 0, 0), (40, 20, 20))
    return np.concatenate([left, right[~(right[..., 0] == 20).all(axis=1)]])


def _obj_inputs() -> list[BadInput]:
    text = obj()
    return [
        BadInput("obj: empty words", "a.obj", b"# a knob\n", "no triangles"),
        BadInput("obj: no faces", "a.obj", text.split("f ")[0].encode(), "no triangles"),
        BadInput(
            "obj: out of range", "a.obj", text.encode() + b"f 1 2 99\n", "face 7 names a vertex"
        ),
        BadInput("obj: vertex 0", "a.obj", text.encode() + b"f 0 1 2\n", "corner numbers from 1"),
        BadInput("obj: too far back", "a.obj", text.encode() + b"f -9 -1 -2\n", "counts back 9"),
        BadInput("obj: huge number", "a.obj", text.encode() + b"f 1 2 9999999999999\n", "face 7"),
        BadInput("obj: a word", "a.obj", text.encode() + b"f a b c\n", "line 15 is 'f a b c'"),
        BadInput("obj: two corners", "a.obj", text.encode() + b"f 1 2\n", "face 7 has 2 corners"),
        BadInput("obj: nan", "a.obj", text.replace("v 20", "v nan", 1).encode(), "finite"),
        BadInput(
            "obj: comma", "a.obj", text.replace("v 20", "v 20,0", 1).encode(), "decimal points"
        ),
        BadInput("obj: flat point", "a.obj", text.encode() + b"v 1 2\n", "three numbers"),
        BadInput("obj: free form", "a.obj", b"cstype bezier\n" + text.encode(), "free-form"),
        BadInput("obj: zero bytes", "a.obj", b"\0" * 200, "zero bytes"),
        BadInput("obj: endless line", "a.obj", b"f " + b"1 2 3 " * 20_000, "longer than 100,000"),
        BadInput(
            "obj: endless face",
            "a.obj",
            text.encode() + b"f" + b" 1 2 3" * 400 + b"\n",
            "1200 corners",
        ),
        BadInput("obj: stl inside", "a.obj", ascii_stl(box()).encode(), "no triangles"),
    ]


def _ply_inputs() -> list[BadInput]:
    text, data = ply(), binary_ply()
    head, body = text.split("end_header\n")
    strips = head.replace("element face 6", "element tristrips 1") + "end_header\n" + body
    return [
        BadInput("ply: prose", "a.ply", b"polygons", "line 'ply'"),
        BadInput("ply: no end", "a.ply", head.encode(), "header has no end"),
        BadInput("ply: count", "a.ply", ply(n_vertices=10**9).encode(), "1,000,000,000 records"),
        BadInput("ply: count digits", "a.ply", ply(n_faces=10**30).encode(), "not understood"),
        BadInput("ply: too few rows", "a.ply", ply(n_faces=7).encode(), "record 7 of 'face'"),
        BadInput("ply: no room", "a.ply", ply(n_faces=5000).encode(), "5,000 records of 'face'"),
        BadInput("ply: cut in words", "a.ply", text[:-6].encode(), "record 6 of 'face'"),
        BadInput("ply: cut in bytes", "a.ply", data[:-6], "bytes"),
        BadInput(
            "ply: out of range", "a.ply", text.replace("0 4 7", "0 4 8").encode(), "face 6 names"
        ),
        BadInput(
            "ply: negative", "a.ply", text.replace("0 4 7", "0 4 -7").encode(), "face 6 names"
        ),
        BadInput(
            "ply: list of 255", "a.ply", data.replace(b"\4\0\0\0\0", b"\xff\0\0\0\0", 1), "bytes"
        ),
        BadInput(
            "ply: list of -1",
            "a.ply",
            data.replace(b"list uchar", b"list char").replace(b"\4\0\0\0\0", b"\xff\0\0\0\0", 1),
            "list of -1",
        ),
        BadInput("ply: order", "a.ply", text.replace("ascii", "middle_endian").encode(), "middle"),
        BadInput("ply: type", "a.ply", text.replace("float x", "half x").encode(), "half x"),
        BadInput("ply: twice", "a.ply", text.replace("float y", "float x").encode(), "twice"),
        BadInput("ply: flat", "a.ply", text.replace("float z", "float w").encode(), "x, y and z"),
        BadInput("ply: points", "a.ply", ply(faces=[]).encode(), "no triangles"),
        BadInput(
            "ply: no faces",
            "a.ply",
            text.replace("element face", "element edge").encode(),
            "no faces",
        ),
        BadInput("ply: strips", "a.ply", strips.encode(), "triangle strips"),
        BadInput("ply: nan", "a.ply", text.replace("20 0 0", "nan 0 0").encode(), "finite"),
        BadInput("ply: word", "a.ply", text.replace("20 0 0", "x 0 0").encode(), "record 2"),
        BadInput("ply: old", "a.ply", text.replace("1.0", "0.9", 1).encode(), "format ascii 0.9"),
    ]


def _threemf_inputs() -> list[BadInput]:
    good = threemf(model())
    doctype = '<!DOCTYPE model [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]>'
    outside = '<!DOCTYPE model [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    vertex = '<vertex x="30"'
    return [
        BadInput("3mf: prose", "a.3mf", b"Dear workshop", "zip archive"),
        BadInput("3mf: cut", "a.3mf", good[:-40], "zip archive"),
        BadInput("3mf: damaged", "a.3mf", _damaged(good), "cannot be unpacked"),
        BadInput("3mf: no model", "a.3mf", threemf(None), "no 3D model"),
        BadInput("3mf: no relations", "a.3mf", threemf(model(), relations=None), "which entry"),
        BadInput("3mf: no types", "a.3mf", threemf(model(), types=None), "which entry"),
        BadInput("3mf: parsec", "a.3mf", threemf(model('unit="parsec"')), "'parsec'"),
        BadInput("3mf: unit empty", "a.3mf", threemf(model('unit=""')), "its unit ''"),
        BadInput(
            "3mf: nan",
            "a.3mf",
            threemf(model(vertices=TETRA_V.replace(vertex, '<vertex x="nan"'))),
            "finite",
        ),
        BadInput(
            "3mf: overflow",
            "a.3mf",
            threemf(model(vertices=TETRA_V.replace(vertex, '<vertex x="1e400"'))),
            "finite",
        ),
        BadInput(
            "3mf: comma",
            "a.3mf",
            threemf(model(vertices=TETRA_V.replace(vertex, '<vertex x="3,5"'))),
            "decimal point",
        ),
        BadInput(
            "3mf: no x",
            "a.3mf",
            threemf(model(vertices=TETRA_V.replace(vertex, "<vertex"))),
            "lacks a coordinate",
        ),
        BadInput(
            "3mf: out of range",
            "a.3mf",
            threemf(model(triangles=TETRA_F.replace('v1="1"', 'v1="9"'))),
            "vertex that is not there",
        ),
        BadInput(
            "3mf: one vertex twice",
            "a.3mf",
            threemf(model(triangles=TETRA_F.replace('v1="1"', 'v1="2"'))),
            "twice",
        ),
        BadInput("3mf: no triangles", "a.3mf", threemf(model(triangles="")), "no triangles"),
        BadInput("3mf: open", "a.3mf", threemf(model(triangles=TETRA_F[33:])), "not"),
        BadInput("3mf: nothing to build", "a.3mf", threemf(model(build="")), "nothing to build"),
        BadInput(
            "3mf: object missing",
            "a.3mf",
            threemf(model(build='<item objectid="7"/>')),
            "not there",
        ),
        BadInput("3mf: support", "a.3mf", threemf(model(kind='type="support"')), "type support"),
        BadInput(
            "3mf: ring of components",
            "a.3mf",
            threemf(
                model(
                    more='<object id="2"><components><component objectid="3"/></components>'
                    '</object><object id="3"><components><component objectid="2"/></components>'
                    "</object>",
                    build='<item objectid="2"/>',
                )
            ),
            "component holds itself",
        ),
        BadInput(
            "3mf: 2^20 instances",
            "a.3mf",
            threemf(model(more=components(20), build='<item objectid="21"/>')),
            "more than 10,000 times",
        ),
        BadInput("3mf: entities", "a.3mf", threemf(model(before=doctype)), "DOCTYPE"),
        BadInput("3mf: outer entity", "a.3mf", threemf(model(before=outside)), "DOCTYPE"),
        BadInput(
            "3mf: doctype in relations",
            "a.3mf",
            threemf(model(), relations=RELATIONS.replace("?><", f"?>{doctype}<", 1)),
            "DOCTYPE",
        ),
        BadInput("3mf: model cut", "a.3mf", threemf(model()[:-30]), "not well-formed XML"),
        BadInput("3mf: model no xml", "a.3mf", threemf("solid knob"), "not well-formed XML"),
        BadInput("3mf: utf-16", "a.3mf", threemf(model().encode("utf-16")), "not well-formed XML"),
        BadInput(
            "3mf: extension",
            "a.3mf",
            threemf(model(root='xmlns:q="http://example.org/q" requiredextensions="q"')),
            "extension",
        ),
        BadInput(
            "3mf: flattened",
            "a.3mf",
            threemf(model(build='<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>')),
            "flattens",
        ),
        BadInput(
            "3mf: short transform",
            "a.3mf",
            threemf(model(build='<item objectid="1" transform="1 0 0 0 1"/>')),
            "12 numbers",
        ),
        BadInput(
            "3mf: one number twice",
            "a.3mf",
            threemf(model(more='<object id="1"><mesh/></object>')),
            "number",
        ),
        BadInput(
            "3mf: climbs out",
            "a.3mf",
            threemf(model(), extra={"../../etc/knob": b"x"}),
            "outside the archive",
        ),
        BadInput(
            "3mf: absolute",
            "a.3mf",
            threemf(model(), extra={"/etc/knob": b"x"}),
            "outside the archive",
        ),
        BadInput("3mf: encrypted", "a.3mf", encrypted(good), "encrypted"),
        BadInput(
            "3mf: packed oddly", "a.3mf", threemf(model(), packing=zipfile.ZIP_LZMA), "packed"
        ),
        BadInput(
            "3mf: two of one name",
            "a.3mf",
            threemf(model(), extra={MODEL.upper(): b"x"}),
            "one name",
        ),
        BadInput("3mf: bomb", "a.3mf", threemf(model() + " " * 20_000_000), "more than 200 times"),
        BadInput(
            "3mf: bomb beside",
            "a.3mf",
            threemf(model(), extra={"Metadata/picture.png": b"\0" * 20_000_000}),
            "more than 200 times",
        ),
        BadInput(
            "3mf: many entries",
            "a.3mf",
            threemf(model(), extra={f"Metadata/{k}": b"" for k in range(1001)}),
            "1,004 entries",
        ),
    ]


def _damaged(data: bytes) -> bytes:
    """The archive with some bytes of its largest entry overwritten."""
    place = data.index(MODEL.encode()) + 100
    return data[:place] + b"\xff" * 40 + data[place + 40 :]


def _step_inputs() -> list[BadInput]:
    point = "#9=CARTESIAN_POINT('',({},0.,0.));"
    circle = (
        "#3=AXIS2_PLACEMENT_3D('',#3,#3,#3);\n"
        "#4=MANIFOLD_SOLID_BREP('',#5);\n#5=CLOSED_SHELL('',(#4));"
    )
    return [
        BadInput("step: prose", "a.step", b"Dear workshop", "ISO-10303-21"),
        BadInput("step: cut", "a.step", step(point.format("1."))[:-20].encode(), "cut short"),
        BadInput("step: nan", "a.stp", step(point.format("NaN")).encode(), "line 11 has 'NaN'"),
        BadInput("step: minus inf", "a.step", step(point.format("-INF")).encode(), "'-INF'"),
        BadInput("step: overflow", "a.step", step(point.format("1.E400")).encode(), "'1.E400'"),
        BadInput(
            "step: no unit",
            "a.step",
            step("").replace("GLOBAL_UNIT_ASSIGNED_CONTEXT((#2))", "").encode(),
            "does not state its length unit",
        ),
        BadInput(
            "step: cubits",
            "a.step",
            step("", "( CONVERSION_BASED_UNIT('CUBIT',#9) LENGTH_UNIT() NAMED_UNIT(#8) )").encode(),
            "'CUBIT'",
        ),
        BadInput(
            "step: kilometers",
            "a.step",
            step("", "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.KILO.,.METRE.) )").encode(),
            "'.KILO.'",
        ),
        BadInput("step: no shape", "a.step", step(point.format("1.")).encode(), "shape"),
        BadInput("step: in circles", "a.step", step(circle).encode(), "shape"),
        BadInput("step: garbage", "a.step", step("#3=$$$(((;;;").encode(), "STEP"),
    ]


def bad_inputs() -> list[BadInput]:
    """Every file that must be refused."""
    return [
        *_stl_inputs(),
        *_topology_inputs(),
        *_obj_inputs(),
        *_ply_inputs(),
        *_threemf_inputs(),
        *_step_inputs(),
    ]
