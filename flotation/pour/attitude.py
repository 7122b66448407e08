"""Other attitudes of the hull in its jig: which needs fewer lifts, which catches less."""

from collections.abc import Mapping, Sequence
from itertools import product

from flotation.boat import Boat, Cavity, Jig
from flotation.pour.cavity import Filled
from flotation.pour.holes import Traced, trace
from flotation.pour.layering import cut_of, place_in_jig, shares_for
from flotation.pour.lifts import height_of, number_of_lifts
from flotation.pour.limits import Setting
from flotation.pour.outlook import Attitude, AttitudeProposal
from flotation.pour.widest import width_of

# How many angles are tried over a range, its ends included.
_HEELS, _TRIMS = 3, 5
# m3; less above the holes is as good as none, and no reason to turn a hull.
_DROP = 1e-5


def attitude_proposal(
    boat: Boat, settings: Mapping[str, Setting], each: Sequence[Filled]
) -> AttitudeProposal | None:
    """Which attitude within the jig's ranges needs fewer lifts or leaves less above the holes?

    settings  foam system name -> its setting today
    each      the cavities as they are filled in the stated attitude; how thick one is stays,
              however it stands
    Returns None where the boat file gives the jig no range. A proposal only: nothing is planned
    in it. Caught is what lies above the highest hole of each cavity, so a least estimate; lifts
    are counted as the plan counts them. Of attitudes that are as good, the one nearest to the
    stated attitude is proposed. Tried are three heels by five trims over the ranges.
    """
    jig = boat.jig
    if jig.heel_range is None and jig.trim_range is None:
        return None
    filled = []
    for one in each:
        cavity = boat.cavity(one.pour.cavity)
        setting = settings[one.pour.foam].for_width(width_of(one.widest))
        filled.append((cavity, setting, _traced(cavity, one, setting)))
    stated = _tried(filled, jig)
    others = [
        _tried(filled, Jig(heel, trim))
        for heel, trim in product(
            _angles(jig.heel_range, jig.heel, _HEELS),
            _angles(jig.trim_range, jig.trim, _TRIMS),
        )
        if (heel, trim) != (jig.heel, jig.trim)
    ]
    every = (stated, *others)
    return AttitudeProposal(
        stated=stated,
        least_caught=min(every, key=lambda one: (_drops(one), one.lifts, _turned(one, jig))),
        fewest_lifts=min(every, key=lambda one: (one.lifts, _drops(one), _turned(one, jig))),
        tried=every,
    )


def _traced(cavity: Cavity, one: Filled, setting: Setting) -> Traced | None:
    """How far foam gets in the whole cavity, with the air that another attitude may let out."""
    if one.space.traced is not None and not one.space.air.counted:
        return one.space.traced
    return trace(cavity, cavity.solid, setting.today.foam)


def _angles(limits: tuple[float, float] | None, stated: float, steps: int) -> tuple[float, ...]:
    if limits is None:
        return (stated,)
    low, high = limits
    evenly = (low + (high - low) * i / (steps - 1) for i in range(steps))
    return tuple(sorted({stated, *evenly}))


def _tried(filled: Sequence[tuple[Cavity, Setting, Traced | None]], jig: Jig) -> Attitude:
    """The whole boat in one attitude."""
    lifts, caught = 0, 0.0
    for cavity, setting, traced in filled:
        place = place_in_jig(cavity, jig, traced)
        count = number_of_lifts(cavity.name, place.curve, setting.today.foam, setting.lowered)
        layers = cut_of(place, 1 if count is None else round(count.value), setting).layers
        lifts += sum(max(1, len(shares_for(one, place))) for one in layers)
        if cavity.holes:
            highest = max(height_of(hole.at, place.up) for hole in cavity.holes)
            caught += place.curve.volume - place.curve.volume_at(highest)
    return Attitude(jig.heel, jig.trim, lifts, caught)


def _drops(one: Attitude) -> int:
    return round(one.caught / _DROP)


def _turned(one: Attitude, jig: Jig) -> tuple[float, float, float]:
    """How far from the stated attitude; of equals the one with the bow, then starboard, lower."""
    away = abs(one.heel - jig.heel) + abs(one.trim - jig.trim)
    return round(away, 9), one.trim, -one.heel
