"""Foam fill and flotation of small boats.

    boat = read_boat("boat.toml")
    plan = plan_pours(boat)          # which cavities, how much, in which order
    result = assess(boat)            # does the swamped boat meet the calculated limits

Each name is imported when it is first asked for, so that the command line answers at once.
"""

from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING

from flotation.version import VERSION

if TYPE_CHECKING:
    from flotation.boat import Boat, FoamInPlace
    from flotation.boatfile import read_boat
    from flotation.equilibrium import Body, Box, Rest, Sinks, float_freely
    from flotation.geometry.solid import Skin, Solid
    from flotation.geometry.voids import find_cavities
    from flotation.pour.plan import plan_pours
    from flotation.swamped.assessment import Assessment

__version__ = VERSION

_HOMES = {
    "Body": "flotation.equilibrium",
    "Box": "flotation.equilibrium",
    "Rest": "flotation.equilibrium",
    "Sinks": "flotation.equilibrium",
    "float_freely": "flotation.equilibrium",
    "Solid": "flotation.geometry.solid",
    "Skin": "flotation.geometry.solid",
    "find_cavities": "flotation.geometry.voids",
    "read_boat": "flotation.boatfile",
    "plan_pours": "flotation.pour.plan",
}

__all__ = [
    "Body",
    "Box",
    "Rest",
    "Sinks",
    "Skin",
    "Solid",
    "__version__",
    "assess",
    "find_cavities",
    "float_freely",
    "plan_pours",
    "read_boat",
]


def assess(boat: "Boat", foam: "Sequence[FoamInPlace] | None" = None) -> "Assessment":
    """Would the swamped boat meet the calculated limits?

    boat   as `read_boat` gives it
    foam   what stands in its cavities; None: as `plan_pours` plans it
    Returns an Assessment. The general method of the published guidance, line by line; it
    calculates and does not certify.
    """
    from flotation.swamped.assess import assess as general_method

    if foam is None:
        from flotation.pour.plan import plan_pours as plan

        foam = plan(boat).foam
    return general_method(boat, foam)


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
