"""Sheets against the weight list: does what is drawn weigh what is listed, and lie there?"""

import math
from collections.abc import Sequence

import numpy as np

from flotation.boat import Part, Weight
from flotation.swamped.assessment import Finding
from flotation.swamped.trials.condition import SwampedBoat
from flotation.swamped.wording import both

_WEIGHS = "the sheets weigh what the weight list says, within its tolerance"


def sheet_findings(swamped: SwampedBoat) -> tuple[Finding, ...]:
    """Mass and place of each listed item against the sheets that stand for it.

    The mass of a sheet is area x thickness x density. What the simulation takes is the listed mass,
    spread over the sheets, at the sheets' own centre.
    """
    by_item: dict[str, list[Part]] = {}
    for part in swamped.boat.parts:
        by_item.setdefault(part.weight, []).append(part)
    found = []
    for item, parts in by_item.items():
        weight = swamped.weight(item)
        found += [_mass(swamped, weight, parts), *_place(swamped, weight, parts)]
    return tuple(found)


def _mass(swamped: SwampedBoat, weight: Weight, parts: Sequence[Part]) -> Finding:
    drawn = math.fsum(part.skin.volume for part in parts)
    density = weight.mass / swamped.displaced(weight, wood_lifts=True)
    over = drawn * density - weight.mass
    way = "more" if over > 0.0 else "less"
    text = (
        f"area x thickness x density give {both(drawn * density, 'kg')}, {both(abs(over), 'kg')} "
        f"{way} than listed"
    )
    if weight.tolerance is None:
        return Finding(weight.item, _WEIGHS, f"{text}; no tolerance is stated", None, None)
    heeded = abs(over) <= weight.tolerance
    text += f"; the tolerance is {both(weight.tolerance, 'kg')}"
    return Finding(weight.item, _WEIGHS, text, heeded, None)


def _place(swamped: SwampedBoat, weight: Weight, parts: Sequence[Part]) -> list[Finding]:
    """Only where the centres are further apart than counts as the same place."""
    limit = swamped.books.own.number("sheet_place")
    volumes = [part.skin.volume for part in parts]
    centre = np.average([part.skin.centroid for part in parts], axis=0, weights=volumes)
    apart = float(np.linalg.norm(centre - np.array(weight.at)))
    if apart <= limit.value:
        return []
    x, y, z = (f"{value:.3f}" for value in centre)
    found = f"they are {both(apart, 'm')} apart; the sheets have theirs at ({x}, {y}, {z}) m"
    return [Finding(weight.item, limit.quote, found, False, limit)]
