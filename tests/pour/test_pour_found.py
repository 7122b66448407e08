"""What a plan says of cavities that were found between the parts."""

from dataclasses import replace

import pytest
from pour_boats import boat, side
from small_boats import between

from flotation import plan_pours
from flotation.boat import Boat
from flotation.pour.pourplan import CheckKind

LEAK = "up to 12 mm wide at x, y, z = 1.000, 0.700, 0.150 m, in web; foam goes to the outside"


def found_boat(**changes: tuple[str, ...]) -> Boat:
    one = side()
    return boat(replace(one, found=replace(between(one.solid, 0.0015), **changes)))


def told(one: Boat) -> str:
    return "\n".join(plan_pours(one).cautions)


def test_the_bound_of_the_volume_is_told_as_the_bound_of_the_foam() -> None:
    text = told(found_boat())
    assert "side port. Volume and foam needed may be off by up to 0.5 % (side port)" in text
    assert "every gap up to 3 mm" in text
    assert "would take 0.2 L (6.8 US fl oz) of foam in all" in text
    assert plan_pours(found_boat()).pours[0].volume_error == 0.0015


def test_nothing_is_told_of_a_cavity_that_was_drawn() -> None:
    plan = plan_pours(boat(side()))
    assert "between the parts" not in "\n".join(plan.cautions)
    assert plan.pours[0].volume_error is None


def test_openings_closed_by_name_are_to_be_plugged_before_the_pour() -> None:
    (check,) = [one for one in plan_pours(found_boat()).before if one.kind is CheckKind.PLUG]
    assert "every limber, drain and wire hole, here: limber hole" in check.text
    (drawn,) = [one for one in plan_pours(boat(side())).before if one.kind is CheckKind.PLUG]
    assert "here" not in drawn.text


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"adrift": ("fuel tank",)}, "side port: fuel tank touches nothing as drawn"),
        ({"leaks": (LEAK,)}, f"side port: an opening stays open, {LEAK}."),
    ],
)
def test_what_stands_free_and_what_stays_open_is_told(
    changes: dict[str, tuple[str, ...]], words: str
) -> None:
    assert words in told(found_boat(**changes))
    assert words not in told(found_boat())
