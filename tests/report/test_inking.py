"""Tones of faces and ink where depth or normal jumps."""

from __future__ import annotations

import numpy as np
import pytest

from moldgen.report.inking import Seen, lines, shade


def test_a_face_turned_to_the_light_has_a_tone() -> None:
    """Rounded a little beyond the light, a normal gave no number."""
    light = np.array([[[-0.46, 0.70, 0.55]]], dtype=np.float32)
    normal = light / np.linalg.norm(light) * np.float32(1.00001)
    seen = Seen(np.zeros((1, 1), np.int32), np.ones((1, 1), np.float32), normal)
    assert shade(seen)[0, 0] == pytest.approx(1.0)


def test_a_fold_is_a_light_line_and_a_step_a_heavy_one() -> None:
    """Normals turn between columns 2 and 3, depth jumps between columns 5 and 6."""
    normal = np.zeros((4, 9, 3), np.float32)
    normal[:, :3, 2], normal[:, 3:, 0] = 1.0, 1.0
    depth = np.ones((4, 9), np.float32)
    depth[:, 6:] = 9.0
    heavy, light = lines(Seen(np.zeros((4, 9), np.int32), depth, normal), 0.1)
    assert (np.flatnonzero(light.all(axis=0)) == [2]).all()
    assert (np.flatnonzero(heavy.all(axis=0)) == [5, 6]).all()
