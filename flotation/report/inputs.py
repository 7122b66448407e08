"""What a calculation was given: the boat file's values as rows for the report."""

from flotation.boat import Boat, Cavity, Weight
from flotation.foamsystem import Foam, HandMixing, MixRatio
from flotation.foundbetween import FoundBetween
from flotation.pour.pourplan import CavityPour, PourPlan
from flotation.report.printing import NOT_STATED, both, liquid, plain, range_of, si
from flotation.swamped.assessment import Assessment, CavityLift

Row = dict[str, object]


def facts(boat: Boat) -> list[Row]:
    """What boat this is, in six figures."""
    return [
        {"name": "Length", **both(boat.length, "m")},
        {"name": "Beam", **both(boat.beam, "m")},
        {"name": f"Power, {boat.propulsion.value}", **both(boat.rated_power, "W")},
        {"name": "Persons", **both(boat.capacity.persons, "kg")},
        {"name": "Maximum weight", **both(boat.capacity.maximum_weight, "kg")},
        {"name": f"Water, {boat.water_name}", **both(boat.water, "kg/m3")},
    ]


def particulars(boat: Boat) -> list[Row]:
    """Boat, capacity and water, each with a name."""
    people = boat.passenger_area
    rows: list[tuple[str, dict[str, str] | str]] = [
        ("Kind", str(boat.kind.value)),
        ("Length", both(boat.length, "m")),
        ("Beam", both(boat.beam, "m")),
        ("Propulsion", str(boat.propulsion.value)),
        ("Rated power", both(boat.rated_power, "W")),
        ("Persons capacity", both(boat.capacity.persons, "kg")),
        ("Maximum weight capacity", both(boat.capacity.maximum_weight, "kg")),
        ("Maximum displacement", both(boat.capacity.maximum_displacement, "kg")),
        ("Side load", both(boat.capacity.side_load, "kg")),
        (f"Water, {boat.water_name}", both(boat.water, "kg/m3", 6)),
        ("Passengers from", both(people.aft, "m")),
        ("Passengers to", both(people.forward, "m")),
        ("Their half breadth", both(people.half_breadth, "m")),
        ("Sole, height", both(people.sole, "m")),
        ("Hull side, half breadth", both(people.side, "m")),
        ("Jig, heel", both(boat.jig.heel, "rad")),
        ("Jig, trim", both(boat.jig.trim, "rad")),
        ("Shop temperature", both(boat.shop.temperature, "K")),
        ("Waste", f"{plain(100.0 * boat.shop.waste)} %"),
        ("Wood", "counts with its lift" if boat.method.wood_lifts else "gives no lift"),
        ("Cap of 46 CFR 170.245", "on" if boat.method.credit_cap else "off"),
        ("Basic flotation, 25 % of", boat.method.basic_persons),
        ("Hull weighed with its foam", "yes" if boat.hull_has_foam else "no"),
        *_mixing(boat),
    ]
    return [
        {"name": name, **({"si": value, "us": ""} if isinstance(value, str) else value)}
        for name, value in rows
    ]


def _mixing(boat: Boat) -> list[tuple[str, dict[str, str] | str]]:
    mixing = boat.shop.mixing
    if isinstance(mixing, HandMixing):
        return [
            ("Batch limit", both(mixing.batch_limit, "kg")),
            ("Mixing, carrying", f"{si(mixing.mixing_time, 's')}, {si(mixing.carrying_time, 's')}"),
            ("Pouring rate", both(mixing.pouring_rate, "kg/s")),
            ("Scale step", both(mixing.scale_step, "kg")),
        ]
    return [
        ("Machine rate", both(mixing.rate, "kg/s")),
        ("Shot limit", both(mixing.shot_limit, "kg")),
        ("Timer step", both(mixing.timer_step, "s")),
    ]


def weight_rows(boat: Boat) -> list[Row]:
    """The weight list, numbered as the lines number it: w1, w2 and so on."""
    return [_weight(f"w{place}", item) for place, item in enumerate(boat.weights, start=1)]


def _weight(number_of: str, item: Weight) -> Row:
    return {
        "number": number_of,
        "item": item.item,
        "material": item.material.name if item.material else NOT_STATED,
        "role": str(item.role.value),
        "mass": both(item.mass, "kg"),
        "at": [f"{plain(x, 4)}" for x in item.at],
        "water": "below" if item.below_water else "above",
        "tolerance": both(item.tolerance, "kg", 3),
        "swamped": both(item.swamped_mass, "kg"),
    }


def weighing_rows(boat: Boat) -> list[Row]:
    """The two scales, if the boat was weighed."""
    if boat.weighing is None:
        return []
    pair = (("aft", boat.weighing.aft), ("forward", boat.weighing.forward))
    return [
        {"scale": name, "x": both(scale.x, "m"), "mass": both(scale.mass, "kg")}
        for name, scale in pair
    ]


def foam_columns(boat: Boat, plan: PourPlan) -> list[Row]:
    """Each foam system: its data sheet and the cup test it is reckoned with."""
    cups = {cup.foam: cup for cup in plan.cups}
    return [
        {
            "name": foam.name,
            "entry": foam.entry,
            "rows": [
                *_sheet(foam),
                *(
                    [
                        _row(
                            f"Cup test, {cups[foam.name].date or 'none made'}",
                            both(cups[foam.name].density, "kg/m3"),
                        )
                    ]
                    if foam.name in cups
                    else []
                ),
            ],
        }
        for foam in boat.foams
    ]


def _row(name: str, value: dict[str, str]) -> Row:
    return {"name": name, **value}


def _text(value: str) -> dict[str, str]:
    return {"si": value, "us": ""}


def _sheet(foam: Foam) -> list[Row]:
    limits = range_of(foam.free_rise_low, foam.free_rise_high, "kg/m3")
    statement = foam.fuel_statement
    ratio = foam.expansion_ratio
    times = (foam.cream_time, foam.gel_time, foam.tack_free_time)
    uptake = f"{_percent(foam.uptake.share)} of its {foam.uptake.basis.value}"
    return [
        _row("Free-rise density", both(foam.free_rise_density, "kg/m3")),
        _row("Limits of the cup test", limits),
        _row("Minimum-fill density", both(foam.minimum_fill_density, "kg/m3")),
        _row("Overpack", _text(f"{plain(foam.overpack)} of the minimum fill")),
        _row("Lift limit", both(foam.lift_limit, "m")),
        _row("A (isocyanate) to B (polyol)", _text(_mix(foam.mix))),
        _row("Mix tolerance", _text(_percent(foam.mix_tolerance))),
        _row("Density of A", both(foam.density_a, "kg/m3")),
        _row("Density of B", both(foam.density_b, "kg/m3")),
        _row(
            "Cream, gel, tack-free",
            _text(", ".join(si(time, "s") for time in times)),
        ),
        _row("Temperature of the sheet", both(foam.sheet_temperature, "K")),
        _row("Liquids", range_of(foam.liquid_low, foam.liquid_high, "K")),
        _row("Hull", range_of(foam.hull_low, foam.hull_high, "K")),
        _row("Water uptake", _text(uptake)),
        _row(
            "Stated expansion ratio",
            _text(NOT_STATED if ratio is None else f"{plain(ratio)} : 1"),
        ),
        _row(
            "Statement on 33 CFR 183.114",
            _text(NOT_STATED if statement is None else f"{statement} ({foam.fuel_statement_date})"),
        ),
    ]


def _mix(mix: MixRatio) -> str:
    return f"{plain(mix.a)} : {plain(mix.b)} by {mix.basis.value}"


def _percent(share: float | None) -> str:
    return NOT_STATED if share is None else f"{plain(100.0 * share)} %"


def cavity_numbers(boat: Boat, assessment: Assessment) -> dict[str, str]:
    """Cavity -> its number in the lines: c1, c2 for those with foam, then the empty ones."""
    filled = [lift.cavity for lift in assessment.cavities]
    rest = [cavity.name for cavity in boat.cavities if cavity.name not in filled]
    return {name: f"c{place}" for place, name in enumerate([*filled, *rest], start=1)}


def cavity_rows(boat: Boat, assessment: Assessment) -> list[Row]:
    """Volumes of the cavities with what was taken out, and the check by hand."""
    numbers = cavity_numbers(boat, assessment)
    return [_cavity(number_of, boat.cavity(name)) for name, number_of in numbers.items()]


def _cavity(number_of: str, cavity: Cavity) -> Row:
    check = cavity.hand_check
    volume = cavity.solid.volume
    return {
        "number": number_of,
        "name": cavity.name,
        "group": cavity.group,
        "foam": cavity.foam or "empty, flooded",
        "gross": both(cavity.gross_volume, "m3"),
        "out": [{"name": out.name, **both(out.volume_inside, "m3")} for out in cavity.taken_out],
        "volume": both(volume, "m3", 5),
        "found": None if cavity.found is None else _found(cavity.found),
        "moved_in": si(cavity.moved_in, "m") if cavity.moved_in else "0 (laminate inside)",
        "hand": [
            {"rule": rule, **both(value, "m3", 5)}
            for rule, value in (
                ("trapezoidal", check.trapezoidal if check else None),
                ("Simpson", check.simpson if check else None),
            )
            if value is not None
        ],
        "hold_down": both(cavity.hold_down, "N"),
        "hold_down_by": cavity.hold_down_by,
        "exposure": str(cavity.exposure.value),
        "holes": [
            f"{hole.name} {hole.kind.value}, {si(hole.diameter, 'm')} at "
            + ", ".join(plain(x, 4) for x in hole.at)
            for hole in cavity.holes
        ],
    }


def _found(between: FoundBetween) -> Row:
    """How a cavity was found between the parts: its bound, its walls, what is sealed in them."""
    share = between.volume_error / between.volume
    return {
        "at": between.by_place,
        "bound": both(between.volume_error, "m3", 2),
        "share": _percent(float(f"{share:.2g}")),
        "walls": "; ".join(between.walls),
        "sealed": si(between.sealed_to, "m"),
        "gaps": str(between.gaps),
        "gap_volume": both(between.gap_volume, "m3", 2),
        "surface": si(between.surface_error, "m"),
        "closed": "; ".join(between.closed) or "nothing",
        "inside": "; ".join(between.adrift),
        "leaks": list(between.leaks),
    }


def chamber_rows(boat: Boat) -> list[Row]:
    """The sealed air chambers."""
    return [
        {
            "name": chamber.name,
            "volume": both(chamber.volume, "m3"),
            "at": [plain(x, 4) for x in chamber.at],
            "integral": "yes" if chamber.integral else "no",
            "counted": "yes" if chamber.counted else "no",
        }
        for chamber in boat.chambers
    ]


def total_rows(plan: PourPlan) -> list[Row]:
    """What to order of each foam system."""
    return [
        {
            "foam": total.foam,
            "a": {**both(total.mass_a, "kg"), "volume": liquid(total.volume_a, 4)},
            "b": {**both(total.mass_b, "kg"), "volume": liquid(total.volume_b, 4)},
        }
        for total in plan.totals
    ]


def foam_rows(plan: PourPlan, assessment: Assessment) -> list[Row]:
    """Each cavity with foam: what is poured, what stays in it, what it lifts and where.

    Cavities that are planned but not assessed, or assessed with foam of another origin, have
    dashes for what is not known.
    """
    poured = {pour.cavity: pour for pour in plan.pours}
    lifting = {lift.cavity: lift for lift in assessment.cavities}
    return [
        _foam_row(name, poured.get(name), lifting.get(name))
        for name in dict.fromkeys((*lifting, *poured))
    ]


def _foam_row(name: str, pour: CavityPour | None, lift: CavityLift | None) -> Row:
    known = lift or pour
    mass = lift.foam_mass if lift else pour.mass if pour else None
    return {
        "cavity": name,
        "foam": known.foam if known else NOT_STATED,
        "volume": both(known.volume if known else None, "m3"),
        "mass": both(mass, "kg"),
        "lift": both(lift.net_lift if lift else None, "kg"),
        "centre": ", ".join(plain(round(x, 4), 3) for x in lift.centre) if lift else NOT_STATED,
        "mixed": both(pour.mixed_mass if pour else None, "kg"),
        "a": both(pour.mass_a if pour else None, "kg"),
        "b": both(pour.mass_b if pour else None, "kg"),
        "density": both(pour.density if pour else None, "kg/m3"),
    }
