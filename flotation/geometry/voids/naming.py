"""Names for the voids of a search that say where they are, and the void that a name means.

A number would move on to the next void when a part is added or the gap is changed, and foam and
holes with it. A place does not.
"""

import re
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from flotation.geometry.voids.finding import Void

Floats = NDArray[np.float64]

NEAR = 0.020
"""m along each axis by which a void may stand off the place in its name: far more than a finer
mesh moves a centroid, less than two cavities of a boat stand apart. Common practice, no source."""

# Centroids of drawn things stand at round millimetres or halves of them; rounding to centimetres
# changes over in between, so that neither rounding of numbers nor a finer mesh changes a name.
_STEP, _OVER = 0.01, 0.0013
_ALIKE = 0.005  # m; centroids this close are told apart by volume
_NAME = re.compile(
    r"(?P<x>-?\d+\.\d\d) (?P<side>port|starboard|centre)(?: (?P<y>\d+\.\d\d))?"
    r" up (?P<z>-?\d+\.\d\d)(?: (?P<letter>[a-z]))?"
)
_LETTERS = "abcdefghijklmnopqrstuvwxyz"


class NoSuchVoid(LookupError):  # noqa: N818 - reads as what happened: there is no such void
    """A name that means no void, or more than one; the text says which."""


def names_by_place(voids: Sequence[Void]) -> tuple[str, ...]:
    """A name for each void: its centroid to the centimetre, "1.75 port 0.33 up 0.15".

    voids  in the order of the search: forward to aft, port to starboard, from the top down
    Metres from the transom, from the centreline ("centre" within 2 cm of it) and above the
    baseline. Voids of one place get letters, in the order of the search; where they stand one
    inside the other, the largest first.
    """
    places = [_place_name(void.centroid) for void in voids]
    names = list(places)
    for place in sorted({one for one in places if places.count(one) > 1}):
        here = [number for number, one in enumerate(places) if one == place]
        centroids = np.stack([voids[number].centroid for number in here])
        if float(np.ptp(centroids, axis=0).max()) < _ALIKE:
            here.sort(key=lambda number: -voids[number].volume)
        for letter, number in enumerate(here):
            names[number] = f"{place} {_lettered(letter)}"
    return tuple(names)


def void_named(name: str, voids: Sequence[Void]) -> int:
    """The number of the void that a name means.

    name  as `names_by_place` gave it, for these voids or for those of a finer or coarser mesh
    Raises NoSuchVoid where no void, or more than one of other names, stands within 20 mm of the
    place.
    """
    names = names_by_place(voids)
    match = _NAME.fullmatch(name)
    if match is None or (match["side"] == "centre") != (match["y"] is None):
        raise NoSuchVoid(f'"{name}" is no name of a found cavity')
    near = [number for number, void in enumerate(voids) if _is_near(match, void.centroid)]
    if match["letter"] is not None:
        near = [number for number in near if names[number] == name]
    if not near:
        raise NoSuchVoid(f'no cavity is found at "{name}"')
    if len(near) > 1 and name in names:
        return names.index(name)
    if len(near) > 1:
        listed = ", ".join(f'"{names[number]}"' for number in near)
        raise NoSuchVoid(f'"{name}" fits more than one cavity: {listed}')
    return near[0]


def _place_name(centroid: Floats) -> str:
    x, y, z = (float(value) for value in centroid)
    across = _hundredths(abs(y))
    side = "centre" if across <= 2 else f"{'port' if y > 0 else 'starboard'} {across / 100:.2f}"
    return f"{_hundredths(x) / 100:.2f} {side} up {_hundredths(z) / 100:.2f}"


def _hundredths(value: float) -> int:
    return int(np.floor((value + _OVER) / _STEP + 0.5))


def _lettered(number: int) -> str:
    if number >= len(_LETTERS):
        raise NoSuchVoid("more than 26 cavities stand at one place")
    return _LETTERS[number]


def _is_near(match: re.Match[str], centroid: Floats) -> bool:
    across = {"port": 1.0, "starboard": -1.0, "centre": 0.0}[match["side"]]
    y = across * float(match["y"] or 0.0)
    # on the centreline the name leaves 2 cm open
    reach = np.array([NEAR, NEAR * (2.0 if match["side"] == "centre" else 1.0), NEAR])
    named = np.array([float(match["x"]), y, float(match["z"])])
    return bool((np.abs(centroid - named) <= reach).all())
