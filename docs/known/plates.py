"""Bending of plates."""

from __future__ import annotations

from collections.abc import Iterator

from known.row import Kind, Row, test_file
from moldgen.physics.plates import Bending, Edge, Edges, Plate, bend_plate

ROARK = "Roark, Table 11.4 case 1a"
BOOK = "Timoshenko and Woinowsky-Krieger (from memory)"
BEAMS = "beams, as text books print them"
CONVERGED = "converged solutions made on their own"


def unit_plate(width: float, height: float, edges: Edges, top: float = 1.0) -> Bending:
    """Rigidity 1, pressure 1 at the foot."""
    return bend_plate(Plate(width, height, 1.0, 12.0 * 0.91), edges, 1.0, top)


def rows() -> Iterator[Row]:
    """Every figure about plates."""
    yield from roark()
    yield from hinged()
    yield from clamped()
    yield from beams()
    yield from hydrostatic()
    yield from open_walls()


def roark() -> Iterator[Row]:
    """Hinged, even pressure, by the short side."""
    for ratio, alpha, beta in test_file("roark").TABLE:
        bent = bend_plate(Plate(1.0, ratio, 1.0, 1.0), Edges.all(Edge.HINGED), 1.0, 1.0)
        middle = (0.5, ratio / 2)
        case = f"b/a = {ratio:g}"
        yield Row(ROARK, Kind.PRINTED, f"{case}, deflection", alpha, bent.deflection(*middle))
        yield Row(ROARK, Kind.PRINTED, f"{case}, stress", beta, 6.0 * bent.moments(*middle)[0])


def hinged() -> Iterator[Row]:
    """Table 8, and Navier's square."""
    for ratio, deflection, across, along in test_file("timoshenko").HINGED:
        bent = unit_plate(1.0, ratio, Edges.all(Edge.HINGED))
        mx, my = bent.moments(0.5, ratio / 2)
        case = f"hinged, b/a = {ratio:g}"
        middle = bent.deflection(0.5, ratio / 2)
        yield Row(BOOK, Kind.PRINTED, f"{case}, deflection", deflection, middle)
        yield Row(BOOK, Kind.PRINTED, f"{case}, moment across", across, mx)
        yield Row(BOOK, Kind.PRINTED, f"{case}, moment along", along, my)
    square = unit_plate(1.0, 1.0, Edges.all(Edge.HINGED)).deflection(0.5, 0.5)
    yield Row("Navier's series", Kind.PRINTED, "hinged square", 0.0040624, square)


def clamped() -> Iterator[Row]:
    """Table 35, a clamped square under liquid, a square with a free edge."""
    for ratio, deflection, long_edge, short_edge, across, along in test_file("timoshenko").CLAMPED:
        bent = unit_plate(1.0, ratio, Edges.all(Edge.CLAMPED))
        mx, my = bent.moments(0.5, ratio / 2)
        for what, known, ours in (
            ("deflection", deflection, bent.deflection(0.5, ratio / 2)),
            ("long edge", long_edge, bent.moments(0.0, ratio / 2)[0]),
            ("short edge", short_edge, bent.moments(0.5, 0.0)[1]),
            ("moment across", across, mx),
            ("moment along", along, my),
        ):
            yield Row(BOOK, Kind.PRINTED, f"clamped, b/a = {ratio:g}, {what}", known, ours)
    deep = unit_plate(1.0, 1.0, Edges.all(Edge.CLAMPED), 0.0)
    for what, known, ours in (
        ("deep", -0.0334, deep.moments(0.5, 0.0)[1]),
        ("shallow", -0.0179, deep.moments(0.5, 1.0)[1]),
        ("side", -0.0257, deep.moments(0.0, 0.5)[0]),
    ):
        yield Row(BOOK, Kind.PRINTED, f"clamped square under liquid, {what} edge", known, ours)
    free = unit_plate(1.0, 1.0, Edges.open_top(Edge.HINGED, Edge.HINGED))
    case = "three hinged edges and a free one"
    yield Row(BOOK, Kind.PRINTED, f"{case}, deflection", 0.01286, free.deflection(0.5, 1.0))
    yield Row(BOOK, Kind.PRINTED, f"{case}, moment", 0.112, free.moments(0.5, 1.0)[0])


def beams() -> Iterator[Row]:
    """Strips without cross contraction."""
    strip = test_file("euler_bernoulli").strip
    even = strip(Edge.HINGED, Edge.HINGED, 1.0, 1.0)
    fixed = strip(Edge.CLAMPED, Edge.CLAMPED, 1.0, 1.0)
    stake = strip(Edge.CLAMPED, Edge.FREE, 1.0, 0.0)
    for case, known, ours in (
        ("hinged, deflection 5/384", 5 / 384, even.deflection(0.15, 0.5)),
        ("hinged, moment 1/8", 1 / 8, even.moments(0.15, 0.5)[1]),
        ("clamped, deflection 1/384", 1 / 384, fixed.deflection(0.15, 0.5)),
        ("clamped, moment at the end -1/12", -1 / 12, fixed.moments(0.15, 0.0)[1]),
        ("clamped, moment in the middle 1/24", 1 / 24, fixed.moments(0.15, 0.5)[1]),
        ("cantilever under liquid, deflection 1/30", 1 / 30, stake.deflection(0.15, 1.0)),
        ("cantilever under liquid, moment -1/6", -1 / 6, stake.moments(0.15, 0.0)[1]),
    ):
        yield Row(BEAMS, Kind.PRINTED, case, known, ours)


def hydrostatic() -> Iterator[Row]:
    """Hinged all round, under liquid up to the rim."""
    for ratio, middle, largest, _place in test_file("timoshenko").HYDROSTATIC:
        bent = unit_plate(ratio, 1.0, Edges.all(Edge.HINGED), 0.0)
        case = f"hinged under liquid, width/depth = {ratio:g}"
        at_middle = bent.deflection(ratio / 2, 0.5)
        yield Row(CONVERGED, Kind.INDEPENDENT, f"{case}, middle", middle, at_middle)
        yield Row(CONVERGED, Kind.INDEPENDENT, f"{case}, deepest", largest, bent.deepest[0])


def open_walls() -> Iterator[Row]:
    """Walls of an open box."""
    held = (
        ("clamped", Edge.CLAMPED, Edge.CLAMPED),
        ("hinged", Edge.HINGED, Edge.HINGED),
        ("hinged, foot clamped", Edge.HINGED, Edge.CLAMPED),
    )
    walls = test_file("open_wall")
    for ratio, *known in walls.DEFLECTION:
        for (name, sides, bottom), figure in zip(held, known, strict=True):
            bow = walls.wall(ratio, sides, bottom).deepest[0]
            case = f"open wall, {name}, width/depth = {ratio:g}"
            yield Row(CONVERGED, Kind.INDEPENDENT, case, figure, bow)
    for ratio, figure in walls.FOOT_MOMENT:
        moment = walls.wall(ratio, Edge.CLAMPED, Edge.CLAMPED).moments(ratio / 2, 0.0)[1]
        case = f"open wall, clamped, moment at the foot, width/depth = {ratio:g}"
        yield Row(CONVERGED, Kind.INDEPENDENT, case, figure, moment)
