"""The card at the mixer: ratio, every batch of the plan by mass and by cup mark, times, limits."""

from flotation.boat import Boat
from flotation.foamsystem import Foam, HandMixing
from flotation.pour.pourplan import PourPlan, Shot, ShownAt
from flotation.report.paper import paper_named
from flotation.report.pour_rows import batch_line
from flotation.report.pour_sheet import limit_rows, scale_step, sheet_head, shown_at
from flotation.report.printing import both, minutes, plain, si
from flotation.report.steps import Row, counted
from flotation.report.typesetting import typeset


def mixing_card(boat: Boat, plan: PourPlan, paper: str = "a4") -> bytes:
    """A page for each foam system that is poured, to hang at the mixer, as PDF.

    paper  "a4" or "letter"
    A plan that is stopped gives the page that says why, without any quantity. Raises ValueError
    for another paper.
    """
    head = sheet_head(boat, plan, paper_named(paper), "Mixing card")
    if not plan.go:
        return typeset("stop_sheet.typ", {**head, "stops": list(plan.stops)})
    names = dict.fromkeys(pour.foam for pour in plan.pours)
    return typeset(
        "mixing_card.typ",
        {
            **head,
            "by_hand": isinstance(boat.shop.mixing, HandMixing),
            "foams": [_foam(boat, plan, boat.foam(name)) for name in names],
            "dangers": shown_at(plan.safety, ShownAt.MIX),
            "answers": [
                {"sign": answer.sign, "steps": list(answer.steps)}
                for answer in plan.if_then
                if ShownAt.MIX in answer.at
            ],
        },
    )


def _foam(boat: Boat, plan: PourPlan, foam: Foam) -> dict[str, object]:
    cup = next((one for one in plan.cups if one.foam == foam.name), None)
    return {
        "name": foam.name,
        "ratio": f"{plain(foam.mix.a)} : {plain(foam.mix.b)}",
        "basis": foam.mix.basis.value,
        "times": [
            {"name": name, "time": minutes(seconds)}
            for name, seconds in (
                ("cream", foam.cream_time),
                ("gel", foam.gel_time),
                ("tack-free", foam.tack_free_time),
            )
        ],
        "times_at": both(foam.sheet_temperature, "K"),
        "limits": limit_rows(plan.before, [foam.name]),
        "cup": None if cup is None else both(cup.density, "kg/m3"),
        "largest": _largest(boat),
        "pace": _pace(boat),
        "sizes": batch_sizes(plan, foam.name, scale_step(boat)),
    }


def _largest(boat: Boat) -> dict[str, str] | None:
    mixing = boat.shop.mixing
    limit = mixing.batch_limit if isinstance(mixing, HandMixing) else mixing.shot_limit
    return None if limit is None else both(limit, "kg")


def _pace(boat: Boat) -> str:
    """How the seconds before the cream are used."""
    mixing = boat.shop.mixing
    if isinstance(mixing, HandMixing):
        stir, carry = si(mixing.mixing_time, "s"), si(mixing.carrying_time, "s")
        return f"Stir {stir}, carry {carry}, pour at once. Last drop out before the cream."
    return "Open for the seconds of the row; the timer closes. Last drop out before the cream."


def batch_sizes(plan: PourPlan, foam: str, step: float) -> list[Row]:
    """The different batches of one foam system, the largest first, with the numbers of each.

    step  kg that the scale shows
    """
    found: dict[tuple[float, float, float | None], list[Shot]] = {}
    for pour in plan.pours:
        for lift in pour.lifts if pour.foam == foam else ():
            for shot in lift.shots:
                found.setdefault((shot.weigh_a, shot.weigh_b, shot.seconds), []).append(shot)
    sizes = sorted(found.values(), key=lambda shots: (-shots[0].mass, -shots[0].weigh_a))
    return [
        {**batch_line(shots[0], step), "batches": counted([shot.batch for shot in shots])}
        for shots in sizes
    ]
