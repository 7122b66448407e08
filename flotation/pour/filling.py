"""How one cavity is filled: the lifts that stand in it, and those that are still to be poured."""

from dataclasses import dataclass

from flotation.boat import Cavity
from flotation.pour.gaps import FoamSpace
from flotation.pour.layering import Place, Poured
from flotation.pour.lifts import Layer
from flotation.pour.outlook import LiftBound
from flotation.pour.pourplan import Lift
from flotation.workings import Line


@dataclass(frozen=True)
class Filling:
    """How a cavity is filled.

    cavity   as the boat has it; space  what foam fills of it; place  that part in the jig
    poured   its lifts, in the order of pouring
    decides  what bounds their thickness
    lines    how many there are and why
    layers   that the lifts belong to
    done     lifts that stand in it already, with what really went in
    toppings places among `poured` of lifts that top up a closing layer that was short: they wait
             until it has gelled, although they count as part of it
    """

    cavity: Cavity
    space: FoamSpace
    place: Place
    poured: tuple[Poured, ...]
    decides: LiftBound
    lines: tuple[Line, ...]
    layers: tuple[Layer, ...]
    done: tuple[Lift, ...] = ()
    toppings: frozenset[int] = frozenset()
