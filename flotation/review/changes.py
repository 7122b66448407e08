"""What two lists of entries of boat files have different."""

from collections.abc import Sequence
from dataclasses import dataclass

from flotation.boat_entries import Entry


@dataclass(frozen=True)
class Change:
    """One entry that is not the same; None on the side that does not have it."""

    one: Entry | None
    two: Entry | None

    @property
    def entry(self) -> Entry:
        """The entry that is there."""
        found = self.one or self.two
        assert found is not None
        return found


def changes(one: Sequence[Entry], two: Sequence[Entry]) -> tuple[Change, ...]:
    """Entries that say something else, in the order of the first list, then the new ones.

    An entry is known by its place whatever its file is called. One value written in two ways, as
    "1.2 m" and "120 cm", is no change.
    """
    mine = {known_as(entry): entry for entry in one}
    other = {known_as(entry): entry for entry in two}
    return tuple(
        Change(mine.get(place), other.get(place))
        for place in dict.fromkeys((*mine, *other))
        if not _says_the_same(mine.get(place), other.get(place))
    )


def known_as(entry: Entry) -> str:
    """The place of an entry, a row of a weight list in CSV as the table that it stands for."""
    return entry.place if entry.place.startswith("[") else f"[[weights.item]] {entry.place}"


def _says_the_same(one: Entry | None, two: Entry | None) -> bool:
    if one is None or two is None:
        return False
    if one.value is None or two.value is None:
        return one.text == two.text and one.value is two.value
    return (one.value, one.unit) == (two.value, two.unit)
