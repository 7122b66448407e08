"""Low before high, port and starboard in turn."""

from pour_boats import boat, box, cavity, hole, side

from flotation import plan_pours
from flotation.boat import Cavity


def grid(name: str, y: float, z: float = 0.0) -> Cavity:
    return cavity(
        name, box((0.0, y - 0.1, z), (2.0, y + 0.1, z + 0.1)), hole("G", (1.0, y, z + 0.1))
    )


def test_low_cavities_come_first_and_sides_in_turn() -> None:
    plan = plan_pours(
        boat(
            side(),
            side("side starboard", -1.0),
            grid("grid port", 0.3),
            grid("grid port aft", 0.25),
            grid("grid starboard", -0.3),
            grid("keel", 0.0),
        )
    )
    assert [pour.cavity for pour in plan.pours] == [
        "grid port",
        "grid starboard",
        "grid port aft",
        "keel",
        "side port",
        "side starboard",
    ]


def test_a_cavity_more_than_ten_centimetres_higher_waits_its_turn() -> None:
    plan = plan_pours(
        boat(grid("high", -0.3, z=0.25), grid("low", 0.3), grid("also low", 0.5, z=0.05))
    )
    assert [pour.cavity for pour in plan.pours] == ["low", "also low", "high"]


def test_layers_of_port_and_starboard_alternate() -> None:
    plan = plan_pours(boat(side(depth=0.6), side("side starboard", -1.0, depth=0.6)))
    assert [(lift.cavity, lift.number) for lift in plan.lifts] == [
        ("side port", 1),
        ("side starboard", 1),
        ("side port", 2),
        ("side starboard", 2),
    ]
    assert [lift.order for lift in plan.lifts] == [1, 2, 3, 4]


def test_while_a_layer_gels_the_next_cavity_is_poured_on_whatever_side() -> None:
    plan = plan_pours(boat(side(depth=0.6), side("side port 2", depth=0.6)))
    assert [lift.cavity for lift in plan.lifts] == ["side port", "side port 2"] * 2
