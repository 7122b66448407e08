"""Shots of a lift that are alike, together: "2 buckets of this, then 1 of that"."""

from dataclasses import dataclass

from flotation.pour.pourplan import Lift, Shot


@dataclass(frozen=True)
class Alike:
    """`count` shots one after the other, each as `shot`."""

    count: int
    shot: Shot


def alike(lift: Lift) -> tuple[Alike, ...]:
    """The shots of a lift in their order, neighbours that are the same counted together."""
    found: list[Alike] = []
    for shot in lift.shots:
        if found and _amount(found[-1].shot) == _amount(shot):
            found[-1] = Alike(found[-1].count + 1, found[-1].shot)
        else:
            found.append(Alike(1, shot))
    return tuple(found)


def _amount(shot: Shot) -> tuple[float, float, float | None]:
    return shot.weigh_a, shot.weigh_b, shot.seconds
