"""Every hole of a boat with what goes through it: rows for the map, the labels and the tables."""

from dataclasses import dataclass

from flotation.boat import Boat, Cavity, Hole, HoleKind
from flotation.pour.pourplan import Lift, PourPlan


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
