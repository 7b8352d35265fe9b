"""The routed box out of the rack: as few boards as any map, every sheet valid, shortfalls in mm."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from itertools import combinations, product
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from shapely.geometry import box as rectangle

from moldgen.job.rack import Board, Rack, Stock
from moldgen.plan.guillotine import Need
from moldgen.plan.routed import (
    LEDGE_MM,
    choose_routed,
    finger_edges,
    routed_box,
    usable_thicknesses,
)
from moldgen.plan.routed_nouns import GROOVE_MM, RoutedBox
from moldgen.plan.shortfall import less_by, shortfall, thinner_rubber
from moldgen.plan.wanted import Router, Wanted, is_stiff

PAIRS = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("sequence_pairs.py"))))
ROUTER = Router(6.0, 10.0, 0.1)
INSIDE = ((-40.0, -30.0), (40.0, 30.0))
WANTED = Wanted((80.0, 60.0), 50.0, 60.0, 5.5, 1.15e-3, 0.3, 3.0, ROUTER)
HIGH = 62.5  # walls and groove


def rack_of(*rows: tuple[float, float, float, int]) -> Rack:
    return Rack(tuple(Board(f"b{i}", *row[:3], "mdf", row[3]) for i, row in enumerate(rows)))


def made(rack: Rack, wanted: Wanted = WANTED) -> RoutedBox:
    choice = choose_routed(wanted, rack)
    assert choice is not None
    return routed_box(wanted, rack, choice, INSIDE)


def require_sheets(box: RoutedBox) -> None:
    """Every piece once; on its board, off its edges, a cutter apart, along the grain."""
    names = [name for sawn in box.sawn for name in sawn.pieces]
    assert sorted(names) == ["base", "wall-1", "wall-2", "wall-3", "wall-4"]
    needs = {p.name: p.needs_mm for p in box.pieces}
    for sawn in box.sawn:
        board, edge = sawn.board, round(box.router.edge_mm * 1000)
        room = rectangle(
            edge, edge, board.length_mm * 1000 - edge, board.width_mm * 1000 - edge
        ).buffer(1e-3)
        rects = []
        for part in sawn.layout.parts:
            long, wide = needs[sawn.pieces[part.need]]
            wanted = (wide, long) if part.turned else (long, wide)
            assert part.size == pytest.approx([v * 1000 for v in wanted], abs=1.0)
            assert not (board.grain and part.turned)
            (x, y), (w, h) = part.low, part.size
            rects.append(rectangle(x, y, x + w, y + h))
        assert all(room.covers(r) for r in rects)
        apart = box.router.cutter_mm * 1000 - 1e-3
        assert all(a.distance(b) >= apart for a, b in combinations(rects, 2))


def drawn(seed: int) -> Rack:
    rng = np.random.default_rng(seed)
    rows = [
        Board(
            f"b{i}",
            float(rng.integers(90, 420)),
            float(rng.integers(70, 260)),
            float(rng.choice([6.0, 12.0])),
            str(rng.choice(["mdf", "plywood"])),
            1,
            Stock.SHEET if rng.random() < 0.3 else Stock.SCRAP,
            bool(rng.random() < 0.3),
        )
        for i in range(int(rng.integers(1, 5)))
    ]
    return Rack(tuple(rows))


def by_brute_force(rack: Rack) -> tuple[int, int] | None:
    """Fewest sheets opened and boards taken over maps of pieces to boards, by sequence pairs."""
    best = None
    known: dict[tuple[int, tuple[Need, ...]], bool] = {}
    for t in usable_thicknesses(WANTED, rack):
        x, y = WANTED.inside
        beyond = 2 * (t + ROUTER.fit_mm + LEDGE_MM)
        sizes = [(x + beyond, y + beyond), *[(x + 2 * t, HIGH)] * 2, *[(y + 2 * t, HIGH)] * 2]
        names = ("base", "wall-1", "wall-2", "wall-3", "wall-4")
        for where in product(range(len(rack.boards)), repeat=5):
            used = sorted(set(where))
            key = (sum(rack.boards[b].stock is Stock.SHEET for b in used), len(used))
            if best is not None and key >= best:
                continue
            if all(_holds(rack.boards[b], b, where, names, sizes, t, known) for b in used):
                best = key
    return best


def _holds(board, b, where, names, sizes, t, known) -> bool:  # type: ignore[no-untyped-def]
    mine = [i for i, w in enumerate(where) if w == b]
    for i in mine:
        if names[i] == "base":
            if board.thickness_mm < WANTED.base_mm:
                return False
        elif board.thickness_mm != t or not is_stiff(WANTED, names[i], board):
            return False
    needs = [Need(*(round(v * 1000) for v in sizes[i]), not board.grain) for i in mine]
    key = (b, tuple(sorted(needs)))
    if key not in known:
        edge = 2 * round(ROUTER.edge_mm * 1000)
        size = (round(board.length_mm * 1000) - edge, round(board.width_mm * 1000) - edge)
        known[key] = PAIRS.can_be_packed(size, needs, 6000)
    return known[key]


SEEDS = [pytest.param(i, marks=[pytest.mark.slow] if i >= 30 else []) for i in range(200)]


@pytest.mark.parametrize("seed", SEEDS)
def test_every_plan_from_a_random_rack_is_valid_and_takes_the_fewest_boards(seed: int) -> None:
    rack = drawn(seed)
    choice = choose_routed(WANTED, rack)
    assert (choice.price[:2] if choice else None) == by_brute_force(rack)
    if choice:
        require_sheets(routed_box(WANTED, rack, choice, INSIDE))


def test_walls_ring_the_inside_and_stand_in_the_base() -> None:
    box = made(rack_of((900, 600, 12, 1)))
    assert box.inside == INSIDE
    assert box.outside == ((-52.0, -42.0), (52.0, 42.0))
    assert box.base.size_mm == pytest.approx((104.0 + 16.2, 84.0 + 16.2, 12.0))
    sizes = [(104.0, HIGH, 12.0)] * 2 + [(84.0, HIGH, 12.0)] * 2
    assert np.allclose([w.size_mm for w in box.walls], sizes)
    assert all(0.0 < (w.bow_mm or 0.0) <= 0.3 for w in box.walls)


@pytest.mark.parametrize(
    ("thick", "cutter", "high", "edges"),
    [
        pytest.param(12.0, 6.0, 60.0, 2, id="62.5 / 24 is 2.6: three, not two"),
        pytest.param(6.0, 3.0, 60.0, 4, id="62.5 / 12 is 5.2: five"),
        pytest.param(6.0, 2.0, 60.0, 4, id="twice the thickness rules"),
        pytest.param(5.9, 6.0, 60.0, None, id="thinner than the cutter is wide"),
        pytest.param(12.0, 6.0, 33.8, 2, id="three of 12.1"),
        pytest.param(12.0, 6.0, 33.7, None, id="a hair too low for three of 12.1"),
    ],
)
def test_fingers_by_hand(thick: float, cutter: float, high: float, edges: int | None) -> None:
    wanted = replace(WANTED, wall_mm=high, router=Router(cutter, 10.0, 0.1))
    found = finger_edges(wanted, thick)
    assert (len(found) if found else None) == edges
    if found:
        steps = np.diff([-GROOVE_MM, *found, high])
        assert steps == pytest.approx([(high + GROOVE_MM) / (len(found) + 1)] * len(steps))


def test_a_clamp_along_a_wall_holds_half_the_push_of_its_neighbors_twice() -> None:
    """By hand: rho g w h^2 / 2 = 1.15e-3 * 9806.65 * 80 * 50^2 / 2 = 1.1278e6 uN on wall-1."""
    along = {clamp.wall: clamp for clamp in made(rack_of((900, 600, 12, 1))).clamps}
    assert along["wall-3"].other == "wall-1 and wall-2"
    assert along["wall-3"].force_n == pytest.approx(1.12776, rel=1e-4)
    assert along["wall-1"].force_n == pytest.approx(0.84582, rel=1e-4)
    assert along["wall-3"].opening_mm == 84.0


@pytest.mark.parametrize(
    ("rows", "axis", "by"),
    [
        pytest.param([(300, 80, 12, 4), (142, 122, 16, 1)], 2, 2.5, id="2.5 mm too low"),
        pytest.param([(118.3, 82.5, 12, 4), (142, 122, 16, 1)], 0, 5.7, id="5.7 mm too short in X"),
        pytest.param([(98.0, 82.5, 12, 2), (142, 122, 16, 1), (130, 90, 12, 2)], 1, 6.0, id="Y"),
    ],
)
def test_a_rack_too_small_gives_the_shortfall(
    rows: list[tuple[float, float, float, int]], axis: int, by: float
) -> None:
    """A wall of 104 or 84 x 62.5 mm, and 10 mm of edge all round it."""
    rack = rack_of(*rows)
    assert choose_routed(WANTED, rack) is None
    assert less_by(WANTED, rack, axis) == by
    assert f"{by:.1f} mm too {('long in X', 'long in Y', 'high')[axis]}" in shortfall(WANTED, rack)


def test_less_rubber_that_fits() -> None:
    rack = rack_of((300, 80, 12, 4), (142, 122, 16, 1))
    assert thinner_rubber(WANTED, rack, 10.0, 10.0) == 2.5


@pytest.mark.parametrize(
    ("rack", "wanted", "says"),
    [
        pytest.param(
            rack_of((500, 500, 5.5, 1)), WANTED, "use one of 5.5 mm or less", id="too thin"
        ),
        pytest.param(
            rack_of((500, 500, 12, 1)),
            replace(WANTED, wall_mm=33.0),
            "35.5 mm are too low for three fingers of 12.1 mm",
            id="too low",
        ),
    ],
)
def test_a_cutter_too_wide_is_named(rack: Rack, wanted: Wanted, says: str) -> None:
    assert says in shortfall(wanted, rack)


def test_pieces_take_as_little_of_a_sheet_as_does() -> None:
    """To a millimeter: on a sheet shorter by one they cannot be packed in any way."""
    (sawn,) = made(rack_of((1200, 600, 12, 1))).sawn
    worked = max(p.low[0] + p.size[0] for p in sawn.layout.parts) / 1000 + ROUTER.edge_mm
    needs = [Need(*(p.size[::-1] if p.turned else p.size)) for p in sawn.layout.parts]
    shorter = (math.ceil(worked) - 1 - 20) * 1000
    assert not PAIRS.can_be_packed((shorter, 580000), needs, 6000)
    assert worked < 400.0
