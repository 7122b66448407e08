"""From a mixed mass to buckets on a scale, or to shots of a metering machine.

What is weighed is a whole number of scale steps; the steps of a lift are shared out over its
buckets so that they add up to the lift, to the nearest step of A and of B. A machine's timer
counts likewise.
"""

import math
from dataclasses import dataclass

from flotation.foamsystem import HandMixing, MachineMixing
from flotation.pour.figures import figure
from flotation.pour.foam import FoamToday
from flotation.pour.pourplan import Shot
from flotation.pour.wording import both, percent

# Rounding of a division alone must not ask for one more bucket or one more lift.
SLACK = 1e-9


@dataclass(frozen=True)
class Mixture:
    """What a lift is mixed from.

    share_a    share of A in the mixed mass; density_a, density_b  kg/m3
    tolerance  share by which the ratio, and the amount of a lift, may be off
    """

    share_a: float
    density_a: float
    density_b: float
    tolerance: float


@dataclass(frozen=True)
class Batches:
    """The shots of one lift, and why they cannot be poured so; `fault` is "" if they can."""

    shots: tuple[Shot, ...]
    fault: str


def mixture(today: FoamToday) -> Mixture:
    """The foam system's mixture; a sheet without a tolerance of the ratio gets the usual one."""
    foam = today.foam
    usual = figure("ratio_tolerance").value
    tolerance = usual if foam.mix_tolerance is None else foam.mix_tolerance
    return Mixture(today.share_a.value, foam.density_a, foam.density_b, tolerance)


def shots(
    mixed_mass: float, mix: Mixture, mixing: HandMixing | MachineMixing, limit: float
) -> Batches:
    """The fewest shots that make up a mixed mass, each within the limit.

    mixed_mass  kg of A and B, waste included; limit  kg of the largest shot
    Hand: A and B of the lift are each rounded to whole scale steps (the nearest, or the next one
    if only that keeps the ratio) and the steps shared out as evenly as they go.
    Machine: the opening time of the lift is rounded to whole timer steps, likewise shared out.
    """
    if isinstance(mixing, MachineMixing):
        return _machine_shots(mixed_mass, mix, mixing, limit)
    return _buckets(mixed_mass, mix, mixing, limit)


def alike(
    mixed_mass: float, mix: Mixture, mixing: HandMixing | MachineMixing, limit: float
) -> tuple[tuple[int, float, float], float | None]:
    """The same lift in shots that are all alike, for a table: how many, kg of A, kg of B; seconds.

    Each shot is rounded to the nearest step, so the lift may be off by half a step for each.
    """
    count = len(shots(mixed_mass, mix, mixing, limit).shots)
    if isinstance(mixing, MachineMixing):
        ticks = round(mixed_mass / count / mixing.rate / mixing.timer_step)
        seconds = _stepped(ticks, mixing.timer_step)
        mass = seconds * mixing.rate
        return (count, mass * mix.share_a, mass * (1.0 - mix.share_a)), seconds
    step = mixing.scale_step
    while True:
        a = _stepped(round(mixed_mass * mix.share_a / count / step), step)
        b = _stepped(round(mixed_mass * (1.0 - mix.share_a) / count / step), step)
        if a + b <= limit * (1.0 + SLACK) or min(a, b) < step:
            return (count, a, b), None
        count += 1


def _buckets(mixed_mass: float, mix: Mixture, mixing: HandMixing, limit: float) -> Batches:
    step = mixing.scale_step
    exact_a, exact_b = mixed_mass * mix.share_a / step, mixed_mass * (1.0 - mix.share_a) / step
    fewest = max(1, math.ceil(mixed_mass / limit - SLACK))
    for count in range(fewest, 2 * fewest + 2):
        for a, b in _roundings(exact_a, exact_b):
            within = _largest(a, b, count) * step <= limit * (1.0 + SLACK)
            whole = abs(a + b - exact_a - exact_b) <= mix.tolerance * (exact_a + exact_b)
            if within and whole and _ratio_off(a, b, count, mix) <= mix.tolerance:
                return Batches(_weighed(a, b, count, mix, step), "")
    a, b = round(exact_a), round(exact_b)
    each = mixed_mass / fewest
    finest = _finer(mix.tolerance * each * mix.share_a * (1.0 - mix.share_a))
    fault = (
        f"batches of {both(each, 'kg')} on a scale that shows {both(step, 'kg')} keep neither the "
        f"amount nor the mix ratio within {percent(mix.tolerance)}; weigh on a scale that shows "
        f"{both(finest, 'kg')} or less"
    )
    return Batches(_weighed(a, b, fewest, mix, step), fault)


def _roundings(exact_a: float, exact_b: float) -> list[tuple[int, int]]:
    """Whole steps of A and B: the nearest first, then those that are off by less than one step."""
    pairs = [
        (a, b)
        for a in {math.floor(exact_a), math.ceil(exact_a)}
        for b in {math.floor(exact_b), math.ceil(exact_b)}
    ]
    return sorted(pairs, key=lambda pair: (abs(pair[0] - exact_a) + abs(pair[1] - exact_b), pair))


def _shared_out(steps: int, count: int) -> list[int]:
    """Whole steps over so many shots; the first ones get one more where it does not go evenly."""
    base, more = divmod(steps, count)
    return [base + 1] * more + [base] * (count - more)


def _finer(step: float) -> float:
    """The coarsest step of a real scale (1, 2 or 5 times a power of ten) that is no coarser."""
    decade: float = 10.0 ** math.floor(math.log10(step))
    return next(times for times in (5 * decade, 2 * decade, decade) if times <= step)


def _largest(a: int, b: int, count: int) -> int:
    return -(-a // count) + -(-b // count)


def _kinds(a: int, b: int, count: int) -> set[tuple[int, int]]:
    """The different buckets that sharing out makes, three at most, without making them all."""
    (base_a, more_a), (base_b, more_b) = divmod(a, count), divmod(b, count)
    firsts = {0, min(more_a, more_b), max(more_a, more_b)} - {count}
    return {(base_a + (i < more_a), base_b + (i < more_b)) for i in firsts}


def _ratio_off(a: int, b: int, count: int, mix: Mixture) -> float:
    """By what share the ratio of the worst bucket is off."""
    planned = mix.share_a / (1.0 - mix.share_a)
    pairs = _kinds(a, b, count)
    if any(one_b == 0 for _, one_b in pairs):
        return math.inf
    return max(abs(one_a / one_b / planned - 1.0) for one_a, one_b in pairs)


def _weighed(a: int, b: int, count: int, mix: Mixture, step: float) -> tuple[Shot, ...]:
    both = zip(_shared_out(a, count), _shared_out(b, count), strict=True)
    return tuple(
        _shot(i, _stepped(one_a, step), _stepped(one_b, step), mix, None)
        for i, (one_a, one_b) in enumerate(both, 1)
    )


def _stepped(steps: int, step: float) -> float:
    """So many steps, without the dust of binary fractions below a microgram."""
    return round(steps * step, 9)


def _shot(number: int, a: float, b: float, mix: Mixture, seconds: float | None) -> Shot:
    return Shot(number, a, b, a / mix.density_a, b / mix.density_b, a + b, seconds)


def _machine_shots(mixed_mass: float, mix: Mixture, mixing: MachineMixing, limit: float) -> Batches:
    tick = mixing.rate * mixing.timer_step
    ticks = round(mixed_mass / tick)
    count = max(1, math.ceil(mixed_mass / limit - SLACK))
    if -(-ticks // count) * tick > limit * (1.0 + SLACK):
        count += 1
    off = abs(ticks * tick / mixed_mass - 1.0)
    fault = ""
    if off > mix.tolerance or -(-ticks // count) * tick > limit * (1.0 + SLACK):
        fault = (
            f"a timer that counts in {mixing.timer_step:g} s cannot shoot {both(mixed_mass, 'kg')} "
            f"in {count} to within {percent(mix.tolerance)} and the shot limit; use a finer timer "
            "or a slower machine"
        )
    made = []
    for i, part in enumerate(_shared_out(ticks, count), 1):
        mass = part * tick
        seconds = _stepped(part, mixing.timer_step)
        made.append(_shot(i, mass * mix.share_a, mass * (1.0 - mix.share_a), mix, seconds))
    return Batches(tuple(made), fault)
