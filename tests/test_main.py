"""Which runs of the checks are spread over the cores."""

from __future__ import annotations

import pytest

from tests.__main__ import MOST, side_by_side

FILE, FOLDER = "tests/test_main.py", "tests/shop"


@pytest.mark.parametrize(
    ("arguments", "cores", "workers"),
    [
        ([], 2, 2),
        ([], 1, 0),
        ([], 64, MOST),
        (["-q", "-k", "labour", "--long"], 4, 4),
        ([FOLDER], 2, 2),
        (["tests/test_main.py", "tests/test_house.py", "tests/test_tour.py"], 2, 2),
        ([FILE], 2, 0),
        ([FILE + "::test_which"], 2, 0),
        ([FILE, FOLDER], 2, 2),
        (["-s"], 2, 0),
        (["-vs", FOLDER], 2, 0),
        (["--pdb"], 2, 0),
        (["-n", "3"], 2, 0),
        (["-n3"], 2, 0),
        (["-p", "no:xdist"], 2, 0),
        (["--speed", "-m", "speed"], 2, 0),
    ],
)
def test_a_run_uses_all_cores_where_that_is_quicker_and_nobody_looks_on(
    arguments: list[str], cores: int, workers: int
) -> None:
    told = side_by_side(arguments, cores)
    assert told[:2] == (["-n", str(workers)] if workers else [])
