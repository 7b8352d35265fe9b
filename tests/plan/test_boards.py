"""The box out of the rack: inside exact, tight but at its seams, fewest cuts, shortfalls in mm."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest
from shapely.geometry import box as rectangle
from shapely.ops import unary_union

from moldgen.geometry.solids import Solid
from moldgen.job.rack import Board, Rack, Stock
from moldgen.plan.board_nouns import BUTTS_ON, BoardBox
from moldgen.plan.boards import LEDGE_MM, WALLS, board_box, choose_boards
from moldgen.plan.shortfall import least_step, less_by, shortfall, thinner_rubber
from moldgen.plan.wanted import Wanted

RUBBER = 1.15e-3  # g/mm3
INSIDE = ((-40.0, -30.0), (40.0, 30.0))
WANTED = Wanted((80.0, 60.0), 50.0, 60.0, 5.5, RUBBER, 0.3, 3.0)


def boards(*rows: tuple[float, float, float], stock: Stock = Stock.SCRAP) -> Rack:
    return Rack(tuple(Board(f"b{i}", *row, "mdf", 1, stock) for i, row in enumerate(rows)))


FIVE = boards((150, 70, 12), (110, 60, 12), (100, 65, 12), (95, 62, 12), (220, 180, 16))


def made(rack: Rack = FIVE, wanted: Wanted = WANTED) -> BoardBox:
    choice = choose_boards(wanted, rack)
    assert choice is not None
    return board_box(wanted, rack, choice, INSIDE)


def require_box(box: BoardBox, wanted: Wanted = WANTED) -> None:
    """Walls do not overlap, ring the inside and nothing but it, and the base lies under all."""
    walls = [rectangle(*w.rect[0], *w.rect[1]) for w in box.walls]
    assert all(a.intersection(b).area < 1e-9 for a, b in combinations(walls, 2))
    (hole,) = unary_union(walls).interiors
    x, y = wanted.inside
    assert rectangle(*hole.bounds).area == pytest.approx(x * y, rel=1e-9)
    ring = unary_union([rectangle(*INSIDE[0], *INSIDE[1])]).buffer(1e-6, join_style="mitre")
    assert ring.covers(rectangle(*hole.bounds))
    for wall in box.walls:
        long, high, _ = wall.size_mm
        assert long >= wall.needs_mm[0] - 1e-9
        assert high >= wanted.wall_mm - 1e-9
        assert wall.bow_mm is not None
        assert wall.bow_mm <= wanted.bow_mm


def test_scraps_that_serve_are_taken_as_they_are() -> None:
    box = made()
    assert box.n_cuts == 0
    require_box(box)


def test_the_flood_stays_out_of_the_glued_box() -> None:
    """Union of all boards under a lid, in a larger room: the air inside is a body of its own."""
    box, top = made(), min(w.height_mm for w in made().walls)
    solids = [Solid.box((*w.rect[0], 0.0), (*w.rect[1], w.height_mm)) for w in box.walls]
    (a, b) = box.base.rect
    solids.append(Solid.box((*a, -box.base.height_mm), (*b, 0.0)))
    glued = solids[0]
    for solid in solids[1:]:
        glued = glued + solid
    glued = glued + Solid.box((-150.0, -150.0, top - 1.0), (150.0, 150.0, top + 20.0))
    air = Solid.box((-200.0, -200.0, -50.0), (200.0, 200.0, top + 50.0)) - glued
    bodies = [b for b in air.components() if b.volume_mm3 > 0.0]
    assert len(bodies) == 2
    shut_in = min(bodies, key=lambda b: b.volume_mm3)
    assert shut_in.volume_mm3 == pytest.approx(80.0 * 60.0 * (top - 1.0), rel=1e-9)


def test_every_wall_covers_the_end_of_the_wall_that_butts_on_it() -> None:
    box = made()
    rects = {w.name: rectangle(*w.rect[0], *w.rect[1]) for w in box.walls}
    for wall in box.walls:
        shared = rects[wall.name].boundary.intersection(rects[BUTTS_ON[wall.name]].boundary)
        assert shared.length == pytest.approx(wall.size_mm[2], rel=1e-9)


@pytest.mark.parametrize(
    ("rack", "cuts"),
    [
        pytest.param(boards((700, 60, 12), (220, 180, 16)), 3, id="four walls of one scrap"),
        pytest.param(boards((205, 60, 12), (205, 60, 12), (120, 100, 12)), 2, id="two of two"),
        pytest.param(boards((800, 400, 12), stock=Stock.SHEET), 7, id="all of one sheet"),
    ],
)
def test_the_cuts_are_counted(rack: Rack, cuts: int) -> None:
    choice = choose_boards(WANTED, rack)
    assert (choice.price[1] if choice else None) == cuts


def brute_force(wanted: Wanted, rack: Rack) -> bool:
    """Whether five boards, each whole, make the box: every assignment there is."""
    for picked in combinations(range(len(rack.boards)), 5):
        for order in _orders(picked):
            base, *walls = (rack.boards[i] for i in order)
            thick = {n: b.thickness_mm for n, b in zip(WALLS, walls, strict=True)}
            past = {"wall-1": "wall-4", "wall-4": "wall-2", "wall-2": "wall-3", "wall-3": "wall-1"}
            sides = (
                wanted.inside[0] + thick["wall-3"] + thick["wall-4"] + 2 * LEDGE_MM,
                wanted.inside[1] + thick["wall-1"] + thick["wall-2"] + 2 * LEDGE_MM,
            )
            good = base.thickness_mm >= wanted.base_mm and _holds(base, sides)
            for name, board in zip(WALLS, walls, strict=True):
                span = wanted.inside[0 if name in ("wall-1", "wall-2") else 1]
                good = good and _holds(board, (span + thick[past[name]], wanted.wall_mm))
            if good:
                return True
    return False


def _orders(picked: tuple[int, ...]) -> list[tuple[int, ...]]:
    return list(permutations(picked))


def _holds(board: Board, sides: tuple[float, float]) -> bool:
    a, b = board.length_mm, board.width_mm
    if board.grain:
        return a >= sides[0] and b >= sides[1]
    return (a >= sides[0] and b >= sides[1]) or (a >= sides[1] and b >= sides[0])


SEEDS = [pytest.param(i, marks=[pytest.mark.slow] if i >= 20 else []) for i in range(200)]


@pytest.mark.parametrize("seed", SEEDS)
def test_every_plan_from_a_random_rack_is_valid(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n = int(rng.integers(3, 8))
    rows = [
        Board(
            f"b{i}",
            float(rng.integers(60, 500)),
            float(rng.integers(40, 260)),
            float(rng.choice([6.0, 12.0])),
            str(rng.choice(["mdf", "plywood"])),
            1,
            Stock.SHEET if rng.random() < 0.2 else Stock.SCRAP,
            bool(rng.random() < 0.2),
        )
        for i in range(n)
    ]
    rack = Rack(tuple(rows))
    choice = choose_boards(WANTED, rack)
    if choice is None:
        assert not brute_force(WANTED, rack)
        return
    box = board_box(WANTED, rack, choice, INSIDE)
    require_box(box)
    for sawn in box.sawn:
        rects = [
            rectangle(*p.low, p.low[0] + p.size[0], p.low[1] + p.size[1]) for p in sawn.layout.parts
        ]
        whole = rectangle(0, 0, sawn.board.length_mm * 1000, sawn.board.width_mm * 1000)
        assert all(whole.covers(r) for r in rects)
        assert all(a.distance(b) >= 3000 - 1e-6 for a, b in combinations(rects, 2))
        assert not (sawn.board.grain and any(p.turned for p in sawn.layout.parts))


@pytest.mark.parametrize(
    ("short", "axis", "by"),
    [
        pytest.param((150, 52, 12), 2, 8.0, id="a board 8 mm too low for the walls"),
        pytest.param((84.5, 62, 12), None, None, id="none too short"),
    ],
)
def test_a_rack_too_small_gives_the_shortfall(
    short: tuple[float, float, float], axis: int | None, by: float | None
) -> None:
    rack = boards((140, 70, 12), (110, 60, 12), (100, 65, 12), short, (116, 96, 16))
    if axis is None:
        assert choose_boards(WANTED, rack) is not None
        return
    assert less_by(WANTED, rack, axis) == by
    assert f"{by:.1f} mm too high" in shortfall(WANTED, rack)


def test_a_missing_board_is_named_with_its_size() -> None:
    rack = boards((150, 70, 12), (110, 60, 12), (100, 65, 12), (95, 62, 12))
    assert "one more board of 114.0 × 94.0 mm, 5.5 mm thick, for the base" in shortfall(
        WANTED, rack
    )


def test_boards_too_soft_are_named() -> None:
    rack = boards(*[(150.0, 70.0, 1.0)] * 4, (220, 180, 16))
    soft = Wanted((80.0, 60.0), 50.0, 60.0, 20.0, RUBBER, 0.3, 3.0)
    assert "no board is thick enough for the base: 20 mm" in shortfall(soft, rack)
    rack = Rack(tuple(Board(f"s{i}", 150, 90, 1.0, "mdf") for i in range(5)))
    limp = Wanted((80.0, 60.0), 50.0, 60.0, 0.5, RUBBER, 1e-3, 3.0)
    assert "no board is stiff enough for wall-1" in shortfall(limp, rack)


def test_thinner_rubber_that_fits() -> None:
    """Four walls 58 mm high where 60 are needed: 2 mm less below, and as much beside."""
    rack = boards(*[(150.0, 58.0, 12.0)] * 4, (116, 96, 16))
    assert thinner_rubber(WANTED, rack, 10.0, 10.0) == 2.0
    assert thinner_rubber(WANTED, rack, 7.0, 10.0) is None


@pytest.mark.parametrize(("edge", "found"), [(0.04, 0.1), (3.21, 3.3), (9.0, 9.0), (11.0, None)])
def test_the_least_step(edge: float, found: float | None) -> None:
    assert least_step(lambda mm: mm >= edge - 1e-9, 10.0) == found


def test_a_clamp_spans_its_wall_and_the_one_it_butts_on() -> None:
    box = made()
    wall = box.walls[0]
    other = next(w for w in box.walls if w.name == BUTTS_ON[wall.name])
    assert box.clamps[0].opening_mm == wall.size_mm[0] + other.size_mm[2]
    # by hand: rho g w h^2 / 2 = 1.15e-3 * 9806.65 * 80 * 50^2 / 2 = 1.1278e6 uN on wall-1, 3/4 of
    # that on wall-3; twice (0.8458 + 1.1278 / 0.3) / 2
    assert box.clamps[0].force_n == pytest.approx(0.84582 + 1.12776 / 0.3, rel=1e-4)
