"""What stands in the files of a boat, entry by entry."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Entry:
    """One entry of a boat file, or of a file that it names, as it was read.

    file   its name beside the boat file
    place  the entry as a person names it: `[[cavity]] "side port" laminate`
    text   what stands there
    value  of a quantity, in SI; of a plain number, that number; None for words
    unit   of the value; "" for words
    """

    file: str
    place: str
    text: str
    value: float | None = None
    unit: str = ""
