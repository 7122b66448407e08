"""Work handed to a second process: the same answer, its errors, and work done here instead."""

import math
import os
import pickle
from multiprocessing import parent_process

import pytest
from pour_boats import boat, side

from flotation.errors import BoatFileError, Fault, InputError
from flotation.pour.plan import plan_pours
from flotation.report.tables import pour_json
from flotation.second import NO_SECOND, second_process


def where(_: int) -> int:
    return os.getpid()


def refused(place: str) -> None:
    raise BoatFileError([Fault(place, "is wrong", "Mend it."), Fault("", "so is this", "Mend it.")])


def ends_itself(value: int) -> int:
    if parent_process() is not None:
        os._exit(3)
    return value + 1


def test_work_is_done_in_another_process_while_this_one_goes_on() -> None:
    with second_process("math") as second:
        root = second.begin(math.sqrt, 9.0)
        place = second.begin(where, 0)
        assert root() == 3.0 and root() == 3.0
        assert place() != os.getpid()


def test_an_error_comes_back_with_everything_that_it_says() -> None:
    with second_process() as second, pytest.raises(BoatFileError) as told:
        second.begin(refused, "boat.toml cavity")()
    assert [fault.place for fault in told.value.faults] == ["boat.toml cavity", ""]
    assert str(told.value) == str(pickle.loads(pickle.dumps(told.value)))
    assert "boat.toml cavity: is wrong. Mend it." in str(told.value)


def test_one_fault_stays_one() -> None:
    found = pickle.loads(pickle.dumps(InputError(Fault("a", "b", "c"))))
    assert found.faults == (Fault("a", "b", "c"),)


def test_work_is_done_here_where_the_second_process_ends_early() -> None:
    with second_process() as second:
        answer = second.begin(ends_itself, 1)
        assert answer() == 2
        assert second.begin(where, 0)() == os.getpid()


def test_with_one_processor_work_is_done_here_when_the_answer_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    with second_process("no_such_module") as second:
        assert second is NO_SECOND
        assert second.begin(where, 0)() == os.getpid()


def test_a_plan_is_the_same_with_half_of_it_worked_out_there() -> None:
    planned = boat(side(), side("starboard side", -1.0), side("other", depth=0.3))
    with second_process("flotation.pour.plan") as second:
        assert pour_json(plan_pours(planned, second), planned) == pour_json(
            plan_pours(planned), planned
        )
