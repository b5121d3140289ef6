"""Whatever is pressed, killed, set wrong and taken back: the record is right, and its journal can build it again."""

from itertools import count

import pytest
from hypothesis import HealthCheck, seed, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.plenty import parts
from tests.record.press.evenings import Evenings

PARTS, STEPS = 20, 5_000


def test_after_any_evening_the_record_is_right() -> None:
    run_state_machine_as_test(Evenings, settings=settings(max_examples=10, stateful_step_count=40))


@pytest.mark.long
@parts(PARTS)
def test_after_a_hundred_thousand_steps_of_evenings_the_record_is_right(part: int) -> None:
    """The steps are counted: presses, restarts, set clocks, answers; what was refused or passed over is none."""
    long_ones = settings(
        max_examples=10,
        stateful_step_count=300,  # opening and checking a file costs as much as a hundred presses
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.large_base_example],
    )
    Evenings.steps = 0
    for number in count():  # the same evenings each time: another machine finds what this one found
        if Evenings.steps >= STEPS:
            break
        run_state_machine_as_test(seed(1000 * part + number)(Evenings), settings=long_ones)
    assert Evenings.steps >= STEPS
