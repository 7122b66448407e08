"""The table of checks before the pour: said once, and nothing dropped."""

from boat_by_hand import boat_by_hand
from plan_by_hand import SHOP

from flotation.pour.pourplan import Check, CheckKind
from flotation.report.before import beside_limits, by_cavity, for_the_boat, has_limit

BOAT = boat_by_hand()
COMMON = "plug every drain. Write it down."


def plug(cavity: str, words: str) -> Check:
    return Check(CheckKind.PLUG, f"{cavity}: {words}", SHOP, cavity)


def said(*checks: Check) -> tuple[str, list[str]]:
    table = by_cavity(BOAT, checks)
    return table["heads"][0]["text"], [row["cells"][0][0]["text"] for row in table["rows"]]


def test_what_all_cavities_have_in_common_stands_at_the_head() -> None:
    head, cells = said(plug("side port", COMMON), plug("stringer grid", COMMON))
    assert head == "Plug every drain. Write it down."
    assert cells == ["", ""]


def test_a_cell_says_only_what_is_added() -> None:
    more = "plug every drain, and the tube. Write it down."
    checks = [plug(name, COMMON) for name in ("side port", "side starboard")]
    assert said(*checks, plug("stringer grid", more))[1] == ["", "", "and the tube"]


def test_a_cell_that_says_something_else_says_all_of_it() -> None:
    other = "plug nothing. Write it down."
    checks = [plug(name, COMMON) for name in ("side port", "side starboard")]
    assert said(*checks, plug("stringer grid", other))[1][-1] == other


def test_words_of_one_cavity_alone_stay_in_its_cell() -> None:
    assert said(plug("side port", COMMON)) == ("", [COMMON])


def test_every_check_of_a_cavity_has_a_box() -> None:
    table = by_cavity(BOAT, [plug("side port", COMMON), plug("side port", "plug the tank.")])
    assert len(table["rows"]) == 1
    assert len(table["rows"][0]["cells"][0]) == 2


def test_holes_that_are_kept_open_are_named_as_the_map_names_them() -> None:
    words = "side port: fill hole P1, fill hole P2 and vent hole P4 open and clear."
    (row,) = by_cavity(BOAT, [Check(CheckKind.OPEN, words, SHOP, "side port")])["rows"]
    assert row["cells"][1] == [
        {
            "holes": [
                {"name": "P1", "kind": "fill"},
                {"name": "P2", "kind": "fill"},
                {"name": "P4", "kind": "vent"},
            ],
            "text": "open and clear.",
        }
    ]


def test_checks_of_no_cavity_and_without_limits_are_listed() -> None:
    people = Check(CheckKind.PEOPLE, "Two people.", SHOP)
    sole = Check(CheckKind.BRACE, "Brace the sole.", SHOP)
    hull = Check(CheckKind.MEASURE, "Hull.", SHOP, quantity="hull", low=289.0, unit="K")
    assert for_the_boat([people, plug("side port", COMMON), sole, hull]) == [
        "Two people.",
        "Brace the sole.",
    ]
    assert has_limit(hull)


def test_a_measurement_says_what_its_limits_do_not() -> None:
    limits = "foam, cup: 30 to 33; otherwise no foam is poured."
    cup = Check(CheckKind.MEASURE, f"{limits} Today.", SHOP, quantity="cup", low=30.0)
    assert beside_limits(cup) == "Today."
    other = Check(CheckKind.MEASURE, "Pour a cup.", SHOP, quantity="cup", low=30.0)
    assert beside_limits(other) == "Pour a cup."
