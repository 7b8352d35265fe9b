"""Building a tree of boxes: halve the triangles at the median of the longest axis."""

from __future__ import annotations

import numpy as np
from numba import njit

LEAF_TRIANGLES = 4
DEEPEST = 64  # a stack this deep holds any tree of int32 triangles


@njit(cache=True)
def split_at_medians(middles):  # type: ignore[no-untyped-def]
    """Order, right children and spans of a tree over (m, 3) triangle middles."""
    n = len(middles)
    order = np.arange(n).astype(np.int32)
    right = np.full(2 * n, -1, np.int32)
    spans = np.zeros((2 * n, 2), np.int32)
    todo = np.empty((DEEPEST, 3), np.int64)
    todo[0, 0], todo[0, 1], todo[0, 2] = 0, n, -1
    size, waiting = 0, 1
    while waiting:
        waiting -= 1
        first, last, parent = todo[waiting]
        node = size
        size += 1
        spans[node, 0], spans[node, 1] = first, last
        if parent >= 0:
            right[parent] = node
        if last - first > LEAF_TRIANGLES:
            half = (first + last) // 2
            _select(
                middles, order, first, last - 1, half, _longest_axis(middles, order, first, last)
            )
            todo[waiting, 0], todo[waiting, 1], todo[waiting, 2] = half, last, node
            todo[waiting + 1, 0], todo[waiting + 1, 1], todo[waiting + 1, 2] = first, half, -1
            waiting += 2
    return order, right[:size].copy(), spans[:size].copy()


@njit(cache=True)
def _longest_axis(middles, order, first, last):  # type: ignore[no-untyped-def]
    best, longest = 0, -1.0
    for axis in range(3):
        low = high = middles[order[first], axis]
        for i in range(first + 1, last):
            value = middles[order[i], axis]
            low, high = min(low, value), max(high, value)
        if high - low > longest:
            best, longest = axis, high - low
    return best


@njit(cache=True)
def _select(middles, order, low, high, k, axis):  # type: ignore[no-untyped-def]
    while low < high:
        pivot = middles[order[(low + high) // 2], axis]
        i, j = low, high
        while i <= j:
            while middles[order[i], axis] < pivot:
                i += 1
            while middles[order[j], axis] > pivot:
                j -= 1
            if i <= j:
                order[i], order[j] = order[j], order[i]
                i += 1
                j -= 1
        if k <= j:
            high = j
        elif k >= i:
            low = i
        else:
            return


@njit(cache=True)
def boxes_of_nodes(corners, right, spans, pad):  # type: ignore[no-untyped-def]
    """Box of each node, (k, 2, 3), widened by `pad` against rounding [mm]."""
    boxes = np.empty((len(right), 2, 3))
    for node in range(len(right) - 1, -1, -1):
        for axis in range(3):
            if right[node] < 0:
                block = corners[spans[node, 0] : spans[node, 1], :, axis]
                boxes[node, 0, axis] = block.min() - pad
                boxes[node, 1, axis] = block.max() + pad
            else:
                left, other = node + 1, right[node]
                boxes[node, 0, axis] = min(boxes[left, 0, axis], boxes[other, 0, axis])
                boxes[node, 1, axis] = max(boxes[left, 1, axis], boxes[other, 1, axis])
    return boxes
