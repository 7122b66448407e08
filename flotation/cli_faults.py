"""What the command line tells of faults: text that no terminal obeys, and faults of the program."""

import os
import traceback

_TRACEBACK = "FLOTATION_TRACEBACK"
"""Environment variable: if it is set, a fault of the program tells its place in the code."""


def harmless(text: str) -> str:
    """Text from files without characters that a terminal would obey."""
    return "".join(
        one if one.isprintable() or one == "\n" else one.encode("unicode_escape").decode()
        for one in text
    )


def own_fault(error: Exception) -> str:
    """What is told of an error that nobody foresaw: what it is, and what to do."""
    what = " ".join("".join(traceback.format_exception_only(error)).split())
    told = "".join(traceback.format_exception(error)) if os.environ.get(_TRACEBACK) else ""
    again = "" if told else f" run the same command again with {_TRACEBACK}=1 set, and"
    return (
        f"{told}This is a fault of flotation itself, not of your files: {what}\n"
        "There is no result, and no file was written. Do not go by results of an earlier run.\n"
        f"To have it mended,{again} hand what is printed to whoever looks after flotation, "
        "with the boat file and what it names."
    )
