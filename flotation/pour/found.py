"""What a plan says of cavities that were found between the parts: bounds, sealing, leaks."""

from collections.abc import Iterator, Sequence

from flotation.boat import Cavity
from flotation.pour.wording import both, listed, percent


def of_found(poured: Sequence[Cavity]) -> Iterator[str]:
    """Sentences on the cavities with foam that were found, in pouring order; none if all are drawn.

    poured  the cavities that take foam
    The bound on a volume is a bound on the foam that it takes: mass = volume x density.
    """
    found = [(cavity, cavity.found) for cavity in poured if cavity.found is not None]
    if not found:
        return
    worst, share = max(
        ((cavity.name, between.volume_error / between.volume) for cavity, between in found),
        key=lambda one: one[1],
    )
    names = listed([cavity.name for cavity, _ in found])
    yield (
        f"Found between the parts: {names}. Volume and foam needed may be off by up to"
        f" {percent(float(f'{share:.2g}'))} ({worst}), either way."
    )
    widths = listed([both(w, "m") for w in sorted({between.sealed_to for _, between in found})])
    yield (
        f"These volumes hold once every gap up to {widths} is sealed. The gaps that open into"
        f" these cavities would take {both(sum(one.gap_volume for _, one in found), 'm3', 2)} of"
        " foam in all, and lead it on to where they end: seal them before the pour."
    )
    for cavity, between in found:
        if between.adrift:
            yield (
                f"{cavity.name}: {listed(list(between.adrift))} touches nothing as drawn. Fix it in"
                " its place before the pour: foam moves what is loose."
            )
        for leak in between.leaks:
            yield f"{cavity.name}: an opening stays open, {leak}. Close it, or pour for both."
