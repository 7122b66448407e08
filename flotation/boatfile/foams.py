"""[[foam]]: foam systems as their suppliers' data sheets state them."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from flotation.boatfile.findings import nearest
from flotation.boatfile.foam_heat import foam_heat
from flotation.boatfile.place import Place, once_each
from flotation.boatfile.schema import FoamTable, TemperaturePair
from flotation.boatfile.schema_pours import PackTable
from flotation.foamsystem import Basis, Foam, FoamPack, MixRatio, WaterUptake
from flotation.units import si

NO_FOAM = "none"
_SHEET = "Look at the data sheet again."


def read_foams(file: Place, raw: object) -> tuple[Foam, ...]:
    """The foam systems that can be used; the others have left their faults."""
    tables = file.tables("foam", raw)
    once_each((place, table.get("name")) for place, table in tables)
    foams = [_foam(place, table) for place, table in tables]
    return tuple(foam for foam in foams if foam is not None)


def foam_names(raw: object) -> tuple[str, ...]:
    """Names of the foam systems in the file, also of those that cannot be used."""
    tables = raw if isinstance(raw, list) else []
    names = [table.get("name") for table in tables if isinstance(table, dict)]
    return tuple(name for name in names if isinstance(name, str))


def chosen_foam(place: Place, name: str | None, known: Sequence[str]) -> str | None:
    """The foam that a cavity is filled with; None for none, and after a fault."""
    if name is None or name == NO_FOAM:
        return None
    if name not in known:
        remedy = f'{nearest(name, known)} Or write "none" for a cavity that stays empty.'
        place.fault("foam", f'"{name}" is no foam of this file', remedy)
        return None
    return name


def _foam(place: Place, table: Mapping[str, object]) -> Foam | None:
    read = place.check(FoamTable, {key: table[key] for key in table if key != "pack"})
    packs = _packs(place, table.get("pack", []))
    if read is None:
        return None
    if read.name == NO_FOAM:
        place.fault("name", '"none" stands for no foam', "Call it by another name.")
    _check_densities(place, read)
    _check_rest(place, read)
    heat = foam_heat(place, read.heat, _share_of_a(read))
    return replace(_value(read, place.entry, packs), heat=heat)


def _packs(place: Place, raw: object) -> tuple[FoamPack, ...]:
    """[[foam.pack]]: how the system is sold."""
    found = []
    tables = place.tables("pack", raw)
    once_each((own, table.get("name")) for own, table in tables)
    for own, table in tables:
        read = own.check(PackTable, table)
        if read is None:
            continue
        if read.mass_a is None and read.mass_b is None:
            own.fault("", "has neither mass_a nor mass_b", 'Write what is in it, mass_a = "20 kg".')
        amount, currency = (None, "") if read.price is None else read.price
        found.append(FoamPack(read.name, read.mass_a, read.mass_b, amount, currency))
    return tuple(found)


def _share_of_a(read: FoamTable) -> float:
    """Of the mixed mass."""
    a, b = read.mix.a, read.mix.b
    if read.mix.basis is Basis.VOLUME:
        a, b = a * read.density_a, b * read.density_b
    return a / (a + b)


def _check_densities(place: Place, read: FoamTable) -> None:
    low, high, rise = read.cup_limits.low, read.cup_limits.high, read.free_rise_density
    liquid = min(read.density_a, read.density_b)
    if not low < high:
        place.fault("cup_limits", "the lower limit is not below the upper one", _SHEET)
    elif not low <= rise <= high:
        problem = f"the limits do not lie about the free-rise density, {_density(rise)}"
        place.fault("cup_limits", problem, _SHEET)
    if read.minimum_fill_density < rise:
        problem = f"it is below the free-rise density, {_density(rise)}"
        remedy = f"Foam in a cavity is never lighter than in a cup. {_SHEET}"
        place.fault("minimum_fill_density", problem, remedy)
    if max(rise, read.minimum_fill_density) >= liquid:
        problem = f"foam is as dense as its liquid, {_density(liquid)}"
        place.fault("minimum_fill_density", problem, "Look at the units of both.")


def _check_rest(place: Place, read: FoamTable) -> None:
    if not read.cream_time < read.gel_time <= read.tack_free_time:
        problem = "cream, gel and tack-free time do not follow one another"
        place.fault("gel_time", problem, _SHEET)
    if read.expansion_ratio is not None and read.expansion_ratio <= 1.0:
        problem = f"a ratio of {read.expansion_ratio:g} is no expansion"
        place.fault("expansion_ratio", problem, "Write foam volume over liquid volume, 25.")
    _check_order(place, "liquid_temperature", read.liquid_temperature)
    _check_order(place, "hull_temperature", read.hull_temperature)


def _check_order(place: Place, key: str, pair: TemperaturePair | None) -> None:
    if pair is not None and not pair.low < pair.high:
        place.fault(key, "the lower limit is not below the upper one", "Write the lower one first.")


def _density(value: float) -> str:
    return str(si(value, "kg/m3"))


def _value(read: FoamTable, entry: str, packs: tuple[FoamPack, ...]) -> Foam:
    liquid, hull, statement = read.liquid_temperature, read.hull_temperature, read.fuel_statement
    return Foam(
        name=read.name,
        free_rise_density=read.free_rise_density,
        free_rise_low=read.cup_limits.low,
        free_rise_high=read.cup_limits.high,
        minimum_fill_density=read.minimum_fill_density,
        overpack=1.0 + read.overpack,
        lift_limit=read.lift_limit,
        mix=MixRatio(read.mix.a, read.mix.b, read.mix.basis),
        mix_tolerance=read.mix_tolerance,
        density_a=read.density_a,
        density_b=read.density_b,
        cream_time=read.cream_time,
        gel_time=read.gel_time,
        tack_free_time=read.tack_free_time,
        sheet_temperature=read.sheet_temperature,
        liquid_low=liquid.low if liquid else None,
        liquid_high=liquid.high if liquid else None,
        hull_low=hull.low if hull else None,
        hull_high=hull.high if hull else None,
        uptake=WaterUptake(read.water_uptake.share, read.water_uptake.basis),
        expansion_ratio=read.expansion_ratio,
        fuel_statement=statement.text if statement else None,
        fuel_statement_date=statement.date if statement else None,
        entry=entry,
        lift_mass_limit=read.lift_mass_limit,
        lift_wait=read.lift_wait,
        packs=packs,
        flow_length=read.flow_length,
    )
