"""How many kits or drums to order for what is poured, wasted and flushed."""

from collections.abc import Sequence

from flotation.foamsystem import Foam, FoamPack
from flotation.pour.batches import SLACK
from flotation.pour.foam import stated
from flotation.pour.outlook import PackOrder, Timetable
from flotation.pour.pourplan import OrderTotal
from flotation.workings import COMPUTED, Line, Term, work_out


def packs_to_order(
    foams: Sequence[Foam], totals: Sequence[OrderTotal], timetable: Timetable
) -> tuple[PackOrder, ...]:
    """A row for each kind of pack that a foam system is sold in, each reckoned by itself.

    foams, totals  the systems that are poured, and what the lifts take of each, waste included
    timetable      for what the mixing head is flushed with
    A pack of both sides is counted by the side that runs out first; a drum by its own side. What
    cup tests take is not in it.
    """
    by_name = {total.foam: total for total in totals}
    return tuple(
        _order(foam, pack, by_name[foam.name], timetable)
        for foam in foams
        for pack in foam.packs
        if foam.name in by_name
    )


def _order(foam: Foam, pack: FoamPack, total: OrderTotal, timetable: Timetable) -> PackOrder:
    flushes = [flush for flush in timetable.flushes if flush.foam == foam.name]
    used_a = _used(foam, pack, "A", total.mass_a, sum(flush.mass_a for flush in flushes))
    used_b = _used(foam, pack, "B", total.mass_b, sum(flush.mass_b for flush in flushes))
    count = _count(foam, pack, used_a, used_b)
    left_a = _left(foam, pack, "A", count, used_a, pack.mass_a)
    left_b = _left(foam, pack, "B", count, used_b, pack.mass_b)
    price = _price(foam, pack, count)
    lines = (used_a, used_b, count, left_a, left_b, price)
    return PackOrder(
        foam=foam.name,
        pack=pack.name,
        mass_a=pack.mass_a,
        mass_b=pack.mass_b,
        needed_a=used_a.value,
        needed_b=used_b.value,
        count=round(count.value),
        left_a=None if left_a is None else left_a.value,
        left_b=None if left_b is None else left_b.value,
        price=None if price is None else price.value,
        unit=pack.currency,
        lines=tuple(line for line in lines if line is not None),
    )


def _used(foam: Foam, pack: FoamPack, side: str, poured: float, flushed: float) -> Line:
    return work_out(
        f"{foam.name}, {pack.name}: {side} that is needed",
        "poured + flushed",
        [
            Term("poured", poured, "kg", COMPUTED, f"{foam.name}: {side} to order"),
            Term("flushed", flushed, "kg", COMPUTED),
        ],
        unit="kg",
        source=COMPUTED,
    )


def _count(foam: Foam, pack: FoamPack, used_a: Line, used_b: Line) -> Line:
    """By the side that runs out first; a drum has one side only."""
    terms, needs = [], []
    for side, used, held in (("a", used_a, pack.mass_a), ("b", used_b, pack.mass_b)):
        if held is not None:
            terms += [
                used.term(f"needed_{side}"),
                Term(f"mass_{side}", held, "kg", stated(foam, f'pack "{pack.name}"')),
            ]
            needs.append(f"needed_{side} / mass_{side}")
    most = f"max({', '.join(needs)})" if len(needs) > 1 else needs[0]
    return work_out(
        f"{foam.name}, {pack.name}: packs to order",
        f"ceil({most} - {SLACK!r})",
        terms,
        unit="1",
        source=COMPUTED,
    )


def _left(
    foam: Foam, pack: FoamPack, side: str, count: Line, used: Line, held: float | None
) -> Line | None:
    if held is None:
        return None
    return work_out(
        f"{foam.name}, {pack.name}: {side} left over",
        "count * held - needed",
        [
            count.term("count"),
            Term("held", held, "kg", stated(foam, f'pack "{pack.name}"')),
            used.term("needed"),
        ],
        unit="kg",
        source=COMPUTED,
    )


def _price(foam: Foam, pack: FoamPack, count: Line) -> Line | None:
    """In the currency of the boat file, which the sum has for its unit; none is converted."""
    if pack.price is None:
        return None
    return work_out(
        f"{foam.name}, {pack.name}: price of all packs, {pack.currency}",
        "count * price",
        [
            count.term("count"),
            Term("price", pack.price, "1", stated(foam, f'pack "{pack.name}"')),
        ],
        unit="1",
        source=COMPUTED,
    )
