"""A box afloat.

Nicholls's "Seamanship and Nautical Knowledge" (read): a box of 36 ft beam at 18 ft draught has
KB 9 ft, BM 6 ft and KM 15 ft. The length does not enter.
"""

import pytest

from flotation.geometry.solid import Solid

FOOT = 0.3048


def test_centre_of_buoyancy_and_metacentre() -> None:
    length, beam, depth = 80 * FOOT, 36 * FOOT, 25 * FOOT
    corners = [[x, y, z] for x in (0, length) for y in (-beam / 2, beam / 2) for z in (0, depth)]
    faces = [[0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1]]
    faces += [[2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4], [1, 5, 7], [1, 7, 3]]
    part = Solid(corners, faces).below((0, 0, 1), 18 * FOOT)  # type: ignore[arg-type]
    kb = float(part.centroid[2]) / FOOT
    bm = float(part.waterplane.second_moments[1, 1]) / part.volume / FOOT
    assert kb == pytest.approx(9.0, abs=1e-12)
    assert bm == pytest.approx(6.0, abs=1e-12)
    assert kb + bm == pytest.approx(15.0, abs=1e-12)
