"""Lines of entries: every entry that the TOML reader sees has one, and it is the right one."""

import tomllib

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from flotation.boatfile.lines import entry_lines

TEXT = """\
# a comment with [brackets] and "quotes"
format = 1

[boat]
name = "skiff # no comment"   # a comment
"odd key".inner = 'single'
capacity.persons = "532 lb"

[[cavity]]
name = '''
several
lines'''
holes = [
  { at = ["1 m", "2 m"], n = 1 },  # inline
  # between
  { at = ["3 m",
          "4 m"] },
]
[[cavity.out]]
name = "tube"
[cavity.out.shape]
kind = "tube"
[[cavity.out]]
name = \"\"\"a \\"\"\" b
\"\"\"\"
[[cavity]]
name = "two"
when = 1979-05-27 07:32:00
[[cavity.out]]
empty = []
none = {}
"""

LINES = {
    (): 1,
    ("format",): 2,
    ("boat",): 4,
    ("boat", "name"): 5,
    ("boat", "odd key"): 6,
    ("boat", "odd key", "inner"): 6,
    ("boat", "capacity"): 7,
    ("boat", "capacity", "persons"): 7,
    ("cavity",): 9,
    ("cavity", 0): 9,
    ("cavity", 0, "name"): 10,
    ("cavity", 0, "holes"): 13,
    ("cavity", 0, "holes", 0): 14,
    ("cavity", 0, "holes", 0, "at"): 14,
    ("cavity", 0, "holes", 0, "at", 0): 14,
    ("cavity", 0, "holes", 0, "at", 1): 14,
    ("cavity", 0, "holes", 0, "n"): 14,
    ("cavity", 0, "holes", 1): 16,
    ("cavity", 0, "holes", 1, "at"): 16,
    ("cavity", 0, "holes", 1, "at", 0): 16,
    ("cavity", 0, "holes", 1, "at", 1): 17,
    ("cavity", 0, "out"): 19,
    ("cavity", 0, "out", 0): 19,
    ("cavity", 0, "out", 0, "name"): 20,
    ("cavity", 0, "out", 0, "shape"): 21,
    ("cavity", 0, "out", 0, "shape", "kind"): 22,
    ("cavity", 0, "out", 1): 23,
    ("cavity", 0, "out", 1, "name"): 24,
    ("cavity", 1): 26,
    ("cavity", 1, "name"): 27,
    ("cavity", 1, "when"): 28,
    ("cavity", 1, "out"): 29,
    ("cavity", 1, "out", 0): 29,
    ("cavity", 1, "out", 0, "empty"): 30,
    ("cavity", 1, "out", 0, "none"): 31,
}


def every_path(data, path=()):
    yield path
    pairs = (
        data.items()
        if isinstance(data, dict)
        else enumerate(data)
        if isinstance(data, list)
        else ()
    )
    for key, value in pairs:
        yield from every_path(value, (*path, key))


def test_every_entry_stands_on_its_line():
    assert set(every_path(tomllib.loads(TEXT))) == set(LINES)
    assert dict(entry_lines(TEXT)) == LINES


def test_windows_line_ends_count_once():
    assert dict(entry_lines(TEXT.replace("\n", "\r\n"))) == LINES


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment", "a = 1", "[a]\n[a.b]\n[a.c]"])
def test_small_texts(text):
    assert set(entry_lines(text)) == set(every_path(tomllib.loads(text)))


SCALARS = st.one_of(
    st.sampled_from(
        ['"a # \\" b"', "'c ] }'", '"""x\n"" y"""', "'''p\n' q'''", "1", "1.5", "true"]
    ),
    st.sampled_from(["2026-04-14", "0x1F", '""', "''", '"\\u00e9"']),
)
KEYS = st.sampled_from(["a", "b-c", "d_e", "9", '"f g"', "'h.i'", 'j."k]"', "l . m"])
GAPS = st.sampled_from([" ", "\n", "  # note, [x]\n", "\t"])


def joined(gap, parts, left, right):
    return left + gap + f",{gap}".join(parts) + gap + right


VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.builds(joined, GAPS, st.lists(inner, max_size=3), st.just("["), st.just("]")),
        st.dictionaries(KEYS, inner, max_size=3).map(
            lambda pairs: "{ " + ", ".join(f"{k} = {v}" for k, v in pairs.items()) + " }"
        ),
    ),
    max_leaves=6,
)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["[[x]]", "[[x.y]]", "[x.z]", "# nothing", ""]),
            st.dictionaries(KEYS, VALUES, max_size=3),
        ),
        max_size=5,
    )
)
def test_the_scanner_finds_the_entries_that_the_reader_finds(parts):
    lines = []
    for header, pairs in parts:
        lines += [header, *(f"{key} = {value}" for key, value in pairs.items())]
    text = "\n".join(lines) + "\n"
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        reject()
    found = entry_lines(text)
    assert set(found) == set(every_path(data))
    assert all(1 <= line <= text.count("\n") + 1 for line in found.values())
