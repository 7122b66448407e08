"""Every hole of a boat with what goes through it, and further holes that a plan proposes.

Rows for the map, the labels and the tables. A proposed hole is no hole of the boat: it is shown on
the map and in the tables, it has no label, and nothing is poured through it.
"""

from dataclasses import dataclass, replace

from flotation.boat import Boat, Cavity, Hole, HoleKind
from flotation.boat_places import Point
from flotation.pour.pourplan import Lift, PourPlan

STATED, PROPOSED = "stated", "proposed"
"""States of a hole in the tables: in the boat file, or only proposed by a plan."""


@dataclass(frozen=True)
class HolePoured:
    """A hole, its cavity, and the lifts that go through it in their order."""

    hole: Hole
    cavity: Cavity
    lifts: tuple[Lift, ...]

    @property
    def fills(self) -> bool:
        """True if foam goes in here."""
        return self.hole.kind is HoleKind.FILL and self.cavity.foam is not None

    @property
    def orders(self) -> tuple[int, ...]:
        """Its places in the pouring order."""
        return tuple(lift.order for lift in self.lifts)

    @property
    def mass_a(self) -> float:
        """Kg of A that is weighed for it, waste included."""
        return sum(shot.weigh_a for lift in self.lifts for shot in lift.shots)

    @property
    def mass_b(self) -> float:
        """Kg of B, likewise."""
        return sum(shot.weigh_b for lift in self.lifts for shot in lift.shots)


def holes_poured(boat: Boat, plan: PourPlan) -> tuple[HolePoured, ...]:
    """All holes of the boat: cavities in the order in which they are begun, then the others.

    A plan that is stopped lets nothing through any hole. Holes of a cavity stand as the boat file
    has them.
    """
    begun = [pour.cavity for pour in plan.pours]
    rest = [cavity.name for cavity in boat.cavities if cavity.name not in begun]
    lifts = plan.lifts if plan.go else ()
    return tuple(
        HolePoured(
            hole,
            cavity,
            tuple(one for one in lifts if (one.cavity, one.hole) == (cavity.name, hole.name)),
        )
        for cavity in (boat.cavity(name) for name in (*begun, *rest))
        for hole in cavity.holes
    )


@dataclass(frozen=True)
class HoleProposed:
    """A further hole that a plan proposes.

    number     counts over the whole boat, from 1
    fills      True: foam would go in here; False: a vent
    gains      m3 that foam gets to through it, or that it frees of air
    drillable  False: it lies where nothing may be drilled, for no free place would do
    recalled   True: it follows from a flow length that the boat file does not state
    """

    number: int
    cavity: str
    fills: bool
    at: Point
    gains: float
    drillable: bool = True
    recalled: bool = False

    @property
    def kind(self) -> HoleKind:
        """What it would be."""
        return HoleKind.FILL if self.fills else HoleKind.VENT

    @property
    def name(self) -> str:
        """What map and tables call it."""
        return f"{PROPOSED} {self.number}"


def holes_proposed(plan: PourPlan) -> tuple[HoleProposed, ...]:
    """Further holes: for each cavity its fill holes, then its vents, as the plan has them."""
    found = [
        HoleProposed(0, one.cavity, True, hole.at, hole.gains, recalled=not one.stated)
        for one in plan.reach
        for hole in one.proposed
    ]
    found += [
        HoleProposed(0, one.cavity, False, vent.at, vent.frees, vent.drillable)
        for one in plan.air
        for vent in one.proposed
    ]
    cavities = list(dict.fromkeys(one.cavity for one in found))
    found.sort(key=lambda one: cavities.index(one.cavity))
    return tuple(replace(one, number=number) for number, one in enumerate(found, start=1))
