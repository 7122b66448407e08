"""The tests in the water for a terminal: 80 columns, every test with its end and its reason."""

from dataclasses import replace

from afloat_boats import afloat_skiff, everything_afloat, low_skiff, raft
from small_boats import skiff_foam

from flotation.boat import IntactHull
from flotation.geometry.shapes import box
from flotation.report.text_tables import assessment_text
from flotation.report.trials_text import beyond_text, swamp_tests_text
from flotation.swamped.afloat import beyond_the_regulation, swamp_test_sheets
from flotation.swamped.assess import assess

HULL = IntactHull(box((0.0, -0.9, 0.0), (4.6, 1.8, 0.7)), ((0.0, 0.0, 0.55),))


def narrow(text: str) -> str:
    assert max(len(line) for line in text.splitlines()) <= 80
    return " ".join(text.split())


def test_each_test_has_a_line_with_heel_trim_depths_and_stiffness() -> None:
    text = assessment_text(assess(afloat_skiff(), skiff_foam()))
    words = narrow(text)
    assert "Tests in the water, by calculation" in words
    (row,) = [line for line in text.splitlines() if line.startswith("meets  183.230, port")]
    assert "−13.9°" in row
    assert row.count("mm") == 2
    assert "183.230, port: foam as dense as its data sheet allows" in words
    assert "limits recalled, compare with the current text: 183.230, port" in words


def test_a_boat_that_fails_has_its_sentence_first_then_reasons_and_what_would_mend_it() -> None:
    words = narrow(assessment_text(assess(*low_skiff())))
    first = words.index("Enough foam in the wrong place")
    table = words.index("Tests in the water, by calculation")
    reasons = words.index("what turns it over most")
    mending = words.index("What would mend it:")
    assert first < table < reasons < mending
    assert "SHORT 183.230, port" in words
    assert words.count("183.230, port turns over") == 1


def test_a_boat_that_sinks_says_so() -> None:
    words = narrow(assessment_text(assess(*raft(4000.0, 0.3))))
    assert "SHORT 183.235 sinks" in words
    assert "of lift are missing" in words


def test_beyond_the_regulation_in_80_columns() -> None:
    boat = replace(everything_afloat(), intact_hull=HULL)
    words = narrow(beyond_text(boat.name, beyond_the_regulation(boat, skiff_foam())))
    for text in ("foam lost: side port", "tank: torn loose", "water: sea water", "the motor: none"):
        assert text in words
    assert "all foam alike, full of water: every limit is met up to" in words
    assert "people, half of them on one side" in words
    assert "light: " in words
    assert "least freeboard" in words
    assert "water reaches the lowest opening at" in words


def test_what_was_not_run_is_said() -> None:
    assert "Not run" in beyond_text("skiff", None)
    boat, foam = raft(1200.0, 1.6)
    words = narrow(beyond_text("raft", beyond_the_regulation(boat, foam)))
    assert "not met as stated, so nothing was changed" in words


def test_sheets_for_real_water_have_room_for_what_is_measured() -> None:
    sheets = swamp_test_sheets(afloat_skiff(), skiff_foam())
    text = swamp_tests_text("skiff", sheets)
    words = narrow(text)
    assert text.count("________") == sum(len(sheet.marks) for sheet in sheets)
    assert "steel, dry" in words
    assert "Stop when - the heel passes 10°" in words
    assert words.count("Before:") == 4
