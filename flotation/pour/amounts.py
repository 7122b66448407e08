"""From a volume to the masses and volumes of A and B that fill it, each number followed."""

from dataclasses import dataclass

from flotation.pour.foam import BALANCE, PACKING, stated
from flotation.pour.limits import Setting
from flotation.workings import COMPUTED, Line, Mark, Source, Term, work_out


@dataclass(frozen=True)
class Amount:
    """What fills a volume: the mass that must reach it, what is mixed for that, A and B of it.

    All kg, and m3 for `volume_a` and `volume_b`.
    """

    mass: Line
    mixed: Line
    mass_a: Line
    mass_b: Line
    volume_a: Line
    volume_b: Line

    @property
    def lines(self) -> tuple[Line, ...]:
        """All of them in the order of the calculation."""
        return (self.mass, self.mixed, self.mass_a, self.mass_b, self.volume_a, self.volume_b)


def amount_for(label: str, volume: Term, setting: Setting, closing: bool) -> Amount:
    """The amount that fills a volume, m3.

    volume * minimum fill today, times the overpack if the foam closes its cavity: a lower lift
    rises freely, so the overpack of a whole cavity would all press on the last one.
    """
    terms = [
        Term("volume", volume.value, "m3", volume.source, volume.of),
        setting.today.minimum_fill.term("minimum_fill"),
    ]
    if closing:
        foam = setting.today.foam
        terms.append(Term("overpack", foam.overpack, "1", stated(foam, "overpack")))
    mass = work_out(
        f"{label}: mass into the cavity",
        "volume * minimum_fill * overpack" if closing else "volume * minimum_fill",
        terms,
        unit="kg",
        source=PACKING,
    )
    return mixed_amount(label, mass, setting)


def mixed_amount(label: str, mass: Line, setting: Setting) -> Amount:
    """What is mixed so that a mass reaches the cavity; waste is a share of what is mixed."""
    mixed = work_out(
        f"{label}: mass to mix",
        "mass / (1 - waste)",
        [
            mass.term("mass"),
            Term(
                "waste",
                setting.shop.waste,
                "1",
                Source("boat file", "shop waste", mark=Mark.STATED),
            ),
        ],
        unit="kg",
        source=COMPUTED,
    )
    today = setting.today
    foam, share = today.foam, today.share_a.term("share_a")
    mass_a = work_out(
        f"{label}: A", "mixed * share_a", [mixed.term("mixed"), share], unit="kg", source=BALANCE
    )
    mass_b = work_out(
        f"{label}: B",
        "mixed * (1 - share_a)",
        [mixed.term("mixed"), share],
        unit="kg",
        source=BALANCE,
    )
    volume_a = work_out(
        f"{label}: A by volume",
        "mass_a / density_a",
        [
            mass_a.term("mass_a"),
            Term("density_a", foam.density_a, "kg/m3", stated(foam, "density_a")),
        ],
        unit="m3",
        source=BALANCE,
    )
    volume_b = work_out(
        f"{label}: B by volume",
        "mass_b / density_b",
        [
            mass_b.term("mass_b"),
            Term("density_b", foam.density_b, "kg/m3", stated(foam, "density_b")),
        ],
        unit="m3",
        source=BALANCE,
    )
    return Amount(mass, mixed, mass_a, mass_b, volume_a, volume_b)
