"""Found cavities for a terminal of 80 columns and for machines, and their meshes."""

import math
import re
import textwrap
from collections.abc import Sequence

from flotation import units
from flotation.foundcavities import FoundCavities
from flotation.geometry.voids import Gap, Leak, Void
from flotation.report.cavity_document import cavities_document
from flotation.report.printing import si
from flotation.report.stl import binary_stl
from flotation.report.tables import CAVITIES, document, plain
from flotation.report.terminal import WIDTH, heading, item, joined, table, wrapped

_SHOWN_GAPS = 10


def cavities_text(found: FoundCavities) -> str:
    """A row for each cavity, what stands in it, every leak, the longest sealed gaps."""
    finding = found.finding
    parts = [heading(f"Cavities between the parts: {found.boat}")]
    parts.append(wrapped(_conditions(found)))
    rows = [_row(found, number, void) for number, void in enumerate(found.voids)]
    parts += ["", _folded(rows) if rows else "None is closed.", ""]
    parts += ["found at: m from the transom, m off the centreline, m above the baseline.", ""]
    parts += [item(_walls(found, number, void)) for number, void in enumerate(found.voids)]
    parts += ["", "Openings that were not sealed:"]
    parts += [item(leak_sentence(found, n, leak)) for n, leak in enumerate(finding.leaks)]
    parts += [f"none up to {si(finding.looked_to, 'm')}"] * (not finding.leaks)
    parts += ["", wrapped(what_to_do(found)), entry_to_close(found)] if finding.leaks else []
    parts += ["", "Sealed gaps, the longest first:"]
    parts += [item(_gap_sentence(found, gap)) for gap in finding.gaps[:_SHOWN_GAPS]]
    more = len(finding.gaps) - _SHOWN_GAPS
    parts += [f"and {more} more; --json has all."] * (more > 0) + ["none"] * (not finding.gaps)
    asides = [*found.asides, *finding.cautions, *found.notes]
    parts += ["", "Note:", *(item(text) for text in asides)] if asides else []
    return joined(parts)


def _row(found: FoundCavities, number: int, void: Void) -> tuple[str, ...]:
    share = units.percent(float(f"{void.volume_error / void.volume:.2g}"))
    return (
        str(number + 1),
        found.names[number],
        found.called[number] or "-",
        si(void.volume, "m3", 5),
        f"± {si(void.volume_error, 'm3', 2)} ({share})",
    )


def _folded(rows: Sequence[tuple[str, ...]]) -> str:
    """The table; a cavity's name goes on in the next line where it is too long."""
    head = ("", "found at", "cavity", "volume", "error bound")
    widths = [max(map(len, column)) for column in zip(head, *rows, strict=True)]
    room = WIDTH - sum(widths) - 2 * (len(widths) - 1) + widths[2]
    lines: list[tuple[str, ...]] = []
    for number, at, called, *figures in rows:
        first, *more = textwrap.wrap(called, max(room, len(head[2])))
        lines += [(number, at, first, *figures), *(("", "", one, "", "") for one in more)]
    return table(head, lines, right=(0, 3, 4), stretch=2)


def _walls(found: FoundCavities, number: int, void: Void) -> str:
    """What walls a cavity, what is sealed in its walls, and which cavities it touches."""
    beside = ", ".join(str(other + 1) for other in void.touching) or "none"
    walls = "; ".join(found.walls(number))
    return (
        f"{number + 1}: walls {walls}. {_gaps_open(len(void.gaps))} into it,"
        f" {si(void.gap_volume, 'm3', 2)} in all. Touches: {beside}."
    )


def _gaps_open(count: int) -> str:
    return "1 sealed gap opens" if count == 1 else f"{count} sealed gaps open"


def _conditions(found: FoundCavities) -> str:
    closed = "; ".join(found.closed) or "none"
    return (
        f"Every gap up to {si(found.finding.gap, 'm')} is sealed, its width measured square to a"
        f" wall. Closed by name: {closed}. Surfaces off by up to {si(found.surface_error, 'm')}."
        " No foam is counted in a sealed gap. Bounds hold either way."
    )


def leak_sentence(found: FoundCavities, number: int, leak: Leak) -> str:
    """Where a leak is, how wide, between which parts, and where foam would go."""
    return f"L{number + 1}: {found.leak_sentence(leak)}"


def what_to_do(found: FoundCavities) -> str:
    """How openings that were not sealed are closed, in the boat and in the boat file."""
    return (
        f"Foam and water run through each of them. Close it with a plug or tape before the pour,"
        f" and say so in the boat file: under [[opening]], with its place and a width not less"
        f" than its own, or with the plug's mesh or shape. A joint that paste fills to more than"
        f" {si(found.finding.gap, 'm')} needs a wider gap under [parts]. For the first of them:"
    )


def entry_to_close(found: FoundCavities) -> str:
    """The [[opening]] that closes the first leak, as the boat file has it."""
    leak = found.finding.leaks[0]
    place = ", ".join(f'"{round(float(x), 4) + 0.0:.4f} m"' for x in leak.place)
    # A hole drawn 20 mm wide may be found a rounding wider, which 20 mm still closes.
    width = math.ceil(1000.0 * leak.widest * (1.0 - 1e-6))
    return f'  [[opening]]\n  name = "L1"\n  at = [[{place}]]\n  width = "{width} mm"'


def _gap_sentence(found: FoundCavities, gap: Gap) -> str:
    between = " and ".join(dict.fromkeys(gap.parts))
    into = ", ".join(found.named(number) for number in gap.between) or "no cavity"
    return (
        f"{between}: {si(gap.narrowest, 'm')} to {si(gap.widest, 'm')} wide,"
        f" {si(gap.length, 'm')} long; opens into {into}"
    )


def cavities_json(found: FoundCavities) -> str:
    """All that was found; numbers in SI, voids counted from 1, the outside is null."""
    return document(CAVITIES, plain(cavities_document(found)))


def cavity_meshes(found: FoundCavities) -> dict[str, bytes]:
    """A binary STL in millimetres for each void: file name -> bytes.

    The number comes first, then what the boat file calls it, else its place.
    """
    names = [called or name for called, name in zip(found.called, found.names, strict=True)]
    return {
        f"cavity_{number + 1:02d}_{_plain_file_name(name)}.stl": binary_stl(void.solid, name)
        for number, (name, void) in enumerate(zip(names, found.voids, strict=True))
    }


def _plain_file_name(name: str) -> str:
    return re.sub(r"[^a-z0-9.]+", "_", name.lower()).strip("_.")[:60]
