"""A finding between parts, made by hand: two cavities, two leaks, one sealed gap."""

import numpy as np

from flotation.foundcavities import FoundCavities
from flotation.geometry.shapes import box
from flotation.geometry.voids import OUTSIDE, CavityFinding, Gap, Leak, Void


def void(x: float, y: float, gaps: tuple[Gap, ...] = ()) -> Void:
    solid = box((x, y, 0.1), (0.5, 0.3, 0.2), name="void")
    return Void(solid, solid.volume, 1e-4, solid.centroid, ("hull",), gaps, (), (), 0.0)


def leak(cavity: int, to: int) -> Leak:
    beyond = np.full(3, np.nan) if to == OUTSIDE else np.array([2.0, 0.3, 0.2])
    place, home = np.array([1.0, 0.3, 0.15]), np.array([0.7, 0.3, 0.2])
    return Leak(place, 0.01, 0.012, ("hull", "web"), 0.03, home, cavity, to, beyond)


def found_by_hand() -> FoundCavities:
    gap = Gap(("hull", "web"), np.array([1.8, 0.3, 0.1]), 0.0, 0.002, 0.3, 1e-5, (OUTSIDE, 0))
    finding = CavityFinding(
        0.004, 0.04, (void(1.8, 0.15, (gap,)), void(0.5, 0.15)), (gap,),
        (leak(OUTSIDE, OUTSIDE), leak(1, 0)), 0.0, (), (),
    )  # fmt: skip
    hull = box((0.0, -1.0, 0.0), (3.0, 2.0, 0.5), name="hull")
    return FoundCavities(
        "#panic() $x$", (hull,), finding, ("bow", ""), ("slot",), ((1,),), (), 1e-4
    )
