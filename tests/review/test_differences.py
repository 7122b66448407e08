"""Two documents are the same, or each value that is not is named with its path."""

import copy
import json

from hypothesis import given
from hypothesis import strategies as st

from flotation.review.differences import ABSENT, Difference, differences

LEAVES = st.none() | st.booleans() | st.integers(-5, 5) | st.floats(-9, 9) | st.text(max_size=3)
DOCUMENTS = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from("abcdef"), inner, max_size=4)
        | st.fixed_dictionaries({"name": st.sampled_from("xyz"), "value": inner})
    ),
    max_leaves=8,
)


def leaves(value: object, path: str = "") -> list[tuple[str, object]]:
    """Every single value with its path, written here a second time to compare with."""
    if isinstance(value, dict) and value:
        start = f"{path}." if path else ""
        return [leaf for key, inner in value.items() for leaf in leaves(inner, f"{start}{key}")]
    if isinstance(value, list) and value:
        return [leaf for n, inner in enumerate(value) for leaf in leaves(inner, f"{path}[{n}]")]
    return [(path, value)]


@given(DOCUMENTS)
def test_a_document_does_not_differ_from_itself(document: object) -> None:
    assert differences(document, copy.deepcopy(document)) == ()


@given(DOCUMENTS, DOCUMENTS)
def test_documents_without_a_difference_are_the_same_bytes(one: object, two: object) -> None:
    if not differences(one, two):
        assert one == two
    else:
        assert json.dumps(one, sort_keys=True) != json.dumps(two, sort_keys=True)


@given(DOCUMENTS, st.data())
def test_one_value_changed_is_one_difference_with_its_path(document: object, data) -> None:
    found = leaves(document)
    path, old = data.draw(st.sampled_from(found))
    new = "another text"
    changed = changed_at(document, path, new)
    assert [(one.path, one.reported, one.recomputed) for one in differences(document, changed)] == [
        (path, old, new)
    ]


def changed_at(document: object, path: str, new: object) -> object:
    """A copy with the value at one path replaced."""
    if not path:
        return new
    head, rest = path.partition("[")[0], path
    if path.startswith("["):
        place, _, rest = path[1:].partition("]")
        assert isinstance(document, list)
        inner = changed_at(document[int(place)], rest.removeprefix("."), new)
        return [*document[: int(place)], inner, *document[int(place) + 1 :]]
    head = head.partition(".")[0]
    assert isinstance(document, dict)
    rest = path[len(head) :].removeprefix(".")
    return {**document, head: changed_at(document[head], rest, new)}


def test_true_is_not_one_and_a_whole_number_is_the_same_with_its_point() -> None:
    assert len(differences({"a": True}, {"a": 1})) == 1
    assert differences({"a": 2}, {"a": 2.0}) == ()


def test_an_element_that_is_missing_is_told_by_its_name_and_moves_no_other() -> None:
    one = {"rows": [{"name": "a", "kg": 1.0}, {"name": "b", "kg": 2.0}, {"name": "c", "kg": 3.0}]}
    two = {"rows": [{"name": "a", "kg": 1.0}, {"name": "c", "kg": 4.0}]}
    assert differences(one, two) == (
        Difference("rows[1].name", ("b",), "b", ABSENT),
        Difference("rows[1].kg", ("b",), 2.0, ABSENT),
        Difference("rows[2].kg", ("c",), 3.0, 4.0),
    )


def test_an_empty_list_in_place_of_nothing_is_a_difference() -> None:
    assert [one.path for one in differences({"a": {}}, {"a": {"b": []}})] == ["a.b"]
