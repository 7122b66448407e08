"""Flow length, boxes to drill in, boxes to keep out of."""

import pytest
from boatfile_writing import only_fault, write

from flotation.boatfile import read_boat

FLOW = ("# flow_length =", "flow_length =")
DRILL = (
    ("# [[cavity.drill]]", "[[cavity.drill]]"),
    ('#   corner = ["0.40 m"', 'corner = ["0.40 m"'),
    ('#   size = ["2.40 m"', 'size = ["2.40 m"'),
)
KEEP_OUT = (
    ("# [[keep_out]]", "[[keep_out]]"),
    ('#   name = "cleat', 'name = "cleat'),
    ('#   corner = ["0.90 m"', 'corner = ["0.90 m"'),
    ('#   size = ["0.20 m"', 'size = ["0.20 m"'),
)


def test_what_the_template_offers_is_read(tmp_path) -> None:
    boat = read_boat(write(tmp_path, FLOW, *DRILL, *KEEP_OUT))
    assert boat.foams[0].flow_length == pytest.approx(1.2)
    (box,) = boat.cavity("side port").drill
    assert box[0] == pytest.approx((0.4, 0.55, 0.5))
    assert box[1] == pytest.approx((2.8, 0.85, 0.7))
    (out,) = boat.keep_out
    assert out.name == "cleat and its backing"
    assert out.box[1] == pytest.approx((1.1, 0.75, 0.65))


def test_the_twin_has_the_box_on_its_own_side(tmp_path) -> None:
    boat = read_boat(write(tmp_path, *DRILL))
    (box,) = boat.cavity("side starboard").drill
    assert box[0] == pytest.approx((0.4, -0.85, 0.5))
    assert box[1] == pytest.approx((2.8, -0.55, 0.7))


def test_they_may_be_left_out(tmp_path) -> None:
    boat = read_boat(write(tmp_path))
    assert boat.foams[0].flow_length is None
    assert boat.keep_out == ()
    assert boat.cavity("side port").drill == ()


def test_a_box_beside_its_cavity_is_a_fault(tmp_path) -> None:
    fault = only_fault(
        tmp_path, *DRILL, ('["0.40 m", "0.55 m", "0.50 m"]', '["9 m", "0 m", "0 m"]')
    )
    assert "the box lies beside the cavity" in fault.problem
    assert "x 300 mm to 3 m" in fault.problem


def test_a_flow_length_below_a_centimetre_is_a_slip(tmp_path) -> None:
    fault = only_fault(tmp_path, FLOW, ('flow_length = "1.2 m"', 'flow_length = "1.2 mm"'))
    assert "flow_length" in fault.place


def test_two_boxes_of_one_name_are_a_fault(tmp_path) -> None:
    more = '[[keep_out]]\nname = "cleat and its backing"\ncorner = ["0 m", "0 m", "0 m"]\n'
    more += 'size = ["1 m", "1 m", "1 m"]\n\n# Where no further hole may'
    fault = only_fault(tmp_path, *KEEP_OUT, ("# Where no further hole may", more))
    assert "stands twice" in fault.problem
