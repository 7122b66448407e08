"""Plan and assessment for a terminal of 80 columns: plain text, no colour."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from textwrap import fill

from flotation.geometry.solid import Solid
from flotation.pour.pourplan import CavityPour, Lift, PourPlan
from flotation.report.buckets import Alike, alike
from flotation.report.printing import liquid, plain, si, tape, us
from flotation.report.terminal import WIDTH, heading, item, joined, table, wrapped
from flotation.report.trials_text import trials_parts
from flotation.swamped.assessment import Assessment, Verdict


def pour_text(plan: PourPlan) -> str:
    """What goes where, in pouring order; only the stops while there is one."""
    parts = [heading(f"Pour plan: {plan.boat}")]
    if not plan.go:
        parts += ["DO NOT POUR", *(item(reason) for reason in plan.stops)]
        return joined(parts)
    where = {lift.order: (pour, lift) for pour in plan.pours for lift in pour.lifts}
    rows = [row for order in sorted(where) for row in _lift_rows(*where[order])]
    head = ("", "hole", "cavity", "lift", "shots", "A each", "B each", "dip")
    parts.append(table(head, rows, right=(0, 4, 5, 6, 7), stretch=2))
    parts.append("To bring out, waste included:")
    for total in plan.totals:
        volume_a, volume_b = liquid(total.volume_a, 4), liquid(total.volume_b, 4)
        parts.append(
            item(
                f"{total.foam}: A {si(total.mass_a, 'kg')} ({us(total.mass_a, 'kg')}, "
                f"{volume_a['si']}, {volume_a['us']}); B {si(total.mass_b, 'kg')} "
                f"({us(total.mass_b, 'kg')}, {volume_b['si']}, {volume_b['us']})"
            )
        )
    parts.append("A = isocyanate, B = polyol: check the drum label.")
    parts += ["", *(item(caution) for caution in plan.cautions)]
    return joined(parts)


def assessment_text(assessment: Assessment) -> str:
    """Scope, each limit, findings that were not heeded, what is still open."""
    parts = [heading(f"Flotation: {assessment.boat}"), wrapped(assessment.scope.sentence), ""]
    for limit in assessment.verdicts:
        parts += [_limit(limit), ""]
    parts += trials_parts(assessment)
    aside = [note for note in assessment.findings if note.heeded is False]
    parts += ["Not as advised:"] * bool(aside)
    parts += [
        item(f"{note.subject or 'whole boat'}: {note.advice}. Found: {note.found}")
        for note in aside
    ]
    parts += ["", "Assumed:", *(item(text) for text in assessment.assumptions)]
    parts += ["", "Still decided elsewhere:", *(item(text) for text in assessment.open_points)]
    return joined(parts)


def volume_text(solids: Sequence[tuple[str, Solid]]) -> str:
    """Volume, area and centroid of solids."""
    heads = ("volume", "", "area", "centroid x, y, z m")
    cells = [
        (
            si(solid.volume, "m3", 6),
            us(solid.volume, "m3", 5),
            si(solid.area, "m2"),
            ", ".join(f"{x:.3f}" for x in solid.centroid),
        )
        for _, solid in solids
    ]
    taken = sum(2 + max(map(len, column)) for column in zip(heads, *cells, strict=True))
    names = [_end_of(name, WIDTH - taken) for name, _ in solids]
    rows = [(name, *row) for name, row in zip(names, cells, strict=True)]
    return table(("file", *heads), rows, right=(1, 2, 3), stretch=0) + "\n"


def written_text(files: Iterable[Path]) -> str:
    """Names of the files that were written, one a line."""
    return "".join(f"{file}\n" for file in files)


def _lift_rows(pour: CavityPour, lift: Lift) -> list[tuple[str, ...]]:
    """A row for the lift's shots that are alike; the lift itself is named in the first one."""
    dip = "" if lift.dip is None else "rim" if lift.dip <= 0.0 else tape(lift.dip)["si"]
    named = (str(lift.order), lift.hole, pour.cavity, f"{lift.number}/{lift.of}")
    return [
        (
            *(named if place == 0 else ("",) * len(named)),
            _shots(batch),
            f"{batch.shot.weigh_a:.3f} kg",
            f"{batch.shot.weigh_b:.3f} kg",
            dip if place == 0 else "",
        )
        for place, batch in enumerate(alike(lift))
    ]


def _shots(batch: Alike) -> str:
    seconds = batch.shot.seconds
    return str(batch.count) if seconds is None else f"{batch.count} x {plain(seconds)} s"


def _limit(limit: Verdict) -> str:
    required, obtained = si(limit.required, limit.unit), si(limit.obtained, limit.unit)
    sign = "meets " if limit.meets else "SHORT "
    first = f"{sign} {limit.name}: required {required}, obtained {obtained}"
    tail = "" if limit.decided else "; within the stated tolerances, so not decided"
    tail += "" if limit.decides else " (for information)"
    return "\n".join(
        (
            fill(first, WIDTH, subsequent_indent=" " * 7),
            fill(limit.sentence + tail, WIDTH, initial_indent=" " * 7, subsequent_indent=" " * 7),
            fill(
                str(limit.criterion.source),
                WIDTH,
                initial_indent=" " * 7,
                subsequent_indent=" " * 7,
            ),
        )
    )


def _end_of(path: str, width: int) -> str:
    """A path without its first folders, because the name of the file stands at its end."""
    if len(path) <= width:
        return path
    kept = path[len(path) - width + 1 :]
    return "…" + kept[max(kept.find("/"), 0) :]
