"""Ten thousand spoilt files over all that comes in: each is taken whole or refused with a sentence, nothing is half.

    python -m tests.faults.spoilt 10000

tells the numbers by hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes import file
from tests.faults.spoilt import OF_TEN_THOUSAND, Doors, in_this_process, tries
from tests.plenty import parts

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def doors(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Doors:
    monkeypatch.setattr(file, "run_apart", in_this_process)
    return Doors(tmp_path)


@pytest.mark.parametrize("kind", OF_TEN_THOUSAND)
def test_what_is_whole_is_taken(doors: Doors, tmp_path: Path, kind: str) -> None:
    ending = {"route": ".toml", "archive": ".zip", "copy": ".shopclock", "desk": ".shopclock"}.get(kind, f".{kind}")
    (tmp_path / "now").mkdir()
    given = tmp_path / "now" / f"given{ending}"
    given.write_bytes(doors.whole[kind])
    assert doors.take(kind, given)


@pytest.mark.parametrize("kind", OF_TEN_THOUSAND)
def test_some_spoilt_files_are_taken_whole_or_refused(doors: Doors, kind: str) -> None:
    n = OF_TEN_THOUSAND[kind] // 150
    taken, wrong = tries(doors, kind, n, "short")
    assert wrong == []
    assert taken < n


@pytest.mark.long
@parts(10)
@pytest.mark.parametrize("kind", OF_TEN_THOUSAND)
def test_ten_thousand_spoilt_files_are_taken_whole_or_refused(doors: Doors, kind: str, part: int) -> None:
    _, wrong = tries(doors, kind, OF_TEN_THOUSAND[kind] // 10, f"part {part}")
    assert wrong == []
