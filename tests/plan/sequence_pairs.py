"""Whether rectangles can be packed, by every sequence pair: slow, blind, and sure.

H. Murata and others, "VLSI module placement based on rectangle-packing by the sequence-pair", IEEE
Transactions on CAD 15 (1996), from memory: every packing is that of some pair of orders of its
rectangles, i left of j where i comes first in both, i below j where it comes last in the first
order and first in the second.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
from numba import njit

from moldgen.plan.guillotine import Need


def can_be_packed(size: tuple[int, int], needs: list[Need], kerf: int) -> bool:
    """Every pair of orders, and every piece both ways."""
    n = len(needs)
    if sum((need.long + kerf) * (need.wide + kerf) for need in needs) > (size[0] + kerf) * (
        size[1] + kerf
    ):
        return False
    sides = np.array([(need.long + kerf, need.wide + kerf) for need in needs], dtype=np.int64)
    turns = np.array([need.turns for need in needs])
    orders = np.array(list(permutations(range(n))), dtype=np.int64)
    return bool(_any(size[0] + kerf, size[1] + kerf, sides, turns, orders))


@njit
def _any(width, height, sides, turns, orders):  # type: ignore[no-untyped-def]
    n = len(sides)
    rank, x, y = np.zeros(n, np.int64), np.zeros(n, np.int64), np.zeros(n, np.int64)
    w, h = np.zeros(n, np.int64), np.zeros(n, np.int64)
    for mask in range(1 << n):
        legal = True
        for i in range(n):
            turned = mask >> i & 1
            legal = legal and (turns[i] or not turned)
            w[i], h[i] = (sides[i, 1], sides[i, 0]) if turned else (sides[i, 0], sides[i, 1])
        if not legal:
            continue
        for a in range(len(orders)):
            for i in range(n):
                rank[orders[a, i]] = i
            for b in range(len(orders)):
                if _fits(width, height, w, h, rank, orders[b], x, y):
                    return True
    return False


@njit
def _fits(width, height, w, h, rank, second, x, y):  # type: ignore[no-untyped-def]
    for k in range(len(second)):
        j = second[k]
        x[j], y[j] = 0, 0
        for m in range(k):
            i = second[m]
            if rank[i] < rank[j]:
                x[j] = max(x[j], x[i] + w[i])
            else:
                y[j] = max(y[j], y[i] + h[i])
        if x[j] + w[j] > width or y[j] + h[j] > height:
            return False
    return True
