"""Stories at a real window under a window manager, pressed with the machine's own pointer: no answer is lost."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.walks.desk import desk, missing, walk_at_the_desk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

pytestmark = pytest.mark.skipif(bool(missing()), reason=f"no window manager to walk under: {missing()} not installed")


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    with desk() as name:
        yield name


def test_a_chain_of_questions_ends_in_its_answer_where_nothing_held_the_keyboard_at_first(
    display: str, tmp_path: Path
) -> None:
    story = """
        press Plan
        press Promise?
        no_focus
        press any day
        press Another day
        press 1
        press 2
        press OK
        press December
        read_on 12 Dec
    """
    seen = walk_at_the_desk(display, tmp_path, story)
    assert not any("went wrong" in said for then in seen for said in then.read)
