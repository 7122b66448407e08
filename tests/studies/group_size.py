"""How many triangles belong in a group, and how long may the first list of groups be?

    python tests/studies/group_size.py

A smooth boat-shaped body of some 10^3 to 10^6 triangles is cut by 300 planes with groups of 4, 8
and 16 and first lists of up to 64, 2,048 and 16,384 groups. Printed are the median time of a query,
ms, and what it reads on the average: boxes, sums, triangles below and near, in kB.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from immersion import body, planes

from flotation.geometry import below, grouping

SIZES = (1_000, 10_000, 100_000, 1_000_000)
GROUPS = (4, 8, 16)
LISTS = (64, 2_048, 16_384)


def cut(triangles: int, group: int, longest_list: int) -> tuple[float, float]:
    """Median time of a query, ms, and the kB that it reads."""
    grouping.GROUP = below.GROUP = group
    below._BITS = group.bit_length() - 1
    grouping.LONGEST_LIST = longest_list
    grouped = grouping.group_triangles(*body(triangles))
    times, read = [], []
    for normal, offset in planes(300):
        start = time.perf_counter()
        below.sums_below(grouped, normal, offset)
        times.append(time.perf_counter() - start)
        read.append(bytes_read(grouped, normal, offset, group))
    return 1e3 * float(np.median(times)), float(np.mean(read)) / 1e3


def bytes_read(
    grouped: grouping.GroupedTriangles, normal: np.ndarray, offset: float, group: int
) -> int:
    """By the same descent, in double precision: what is opened at each size, and what is added."""
    opened = np.arange(len(grouped.boxes[0]))
    total = 0
    for size, boxes in enumerate(grouped.boxes):
        if size:
            opened = (opened[:, None] * group + np.arange(group)).ravel()
        height = boxes[opened, :3] @ normal - offset
        near = np.abs(height) <= boxes[opened, 3:] @ np.abs(normal)
        last = size == len(grouped.sums)
        total += 24 * len(opened) + (56 if last else 128) * int(((height < 0) & ~near).sum())
        opened = opened[near]
    return total + 128 * len(opened)


if __name__ == "__main__":
    print("ms, kB for lists of " + ", ".join(f"{longest:,}" for longest in LISTS))
    for size in SIZES:
        for group in GROUPS:
            row = [cut(size, group, longest) for longest in LISTS]
            cells = "   ".join(f"{time_:.3f} {read:6.0f}" for time_, read in row)
            print(f"{size:>9,} triangles, groups of {group:>2}:   {cells}")

# Groups of 4 read least and groups of 16 have the fewest sizes to go through; in time they lie
# within the noise of each other, with 8 never last. A first list of 2,048 saves one or two sizes
# (some 20 us each) and reads hardly more; one of 16,384 reads up to twice as much at 10^5 and 10^6.
# Decision: groups of 8, a first list of at most 2,048.
