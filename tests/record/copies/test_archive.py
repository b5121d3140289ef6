"""The whole record out in open formats and in again, equal; whatever else comes is refused with a sentence."""

import hashlib
import io
import json
import random
import re
import resource
import sqlite3
import stat
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences
from shopclock.record.copies import archive as archiving
from shopclock.record.copies.archive import MANIFEST, archive, file_of
from shopclock.record.copies.archive_words import WORDS
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.file.schema import TABLES, bare, columns_of
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning import orders
from shopclock.shop.setup import costs
from shopclock.shop.setup.rates import set_rate
from shopclock.shop.setup.the_shop import set_address
from shopclock.shop.values.entities import CostKind, CustomerOrder, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped, Unwatched
from shopclock.shop.work import acts, begin, finish
from tests.faults.disks import small_disk
from tests.plenty import parts
from tests.record.on_disk import DiskShop
from tests.shop.histories import HISTORIES, play

NOW_US = 1_793_000_000_000_000
Files = dict[str, bytes]
IN_MEMORY = next((place for place in ("/dev/shm",) if Path(place).is_dir()), None)  # noqa: S108 - only to be quick


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A small record and its archive."""
    folder = tmp_path_factory.mktemp("packed")
    shop = DiskShop(folder, 3, 2)
    shop.undo()
    shop.close()
    archive(shop.path, folder / "shop.zip", NOW_US)
    return shop.path, folder / "shop.zip"


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A record in which work was done, and its archive."""
    folder = tmp_path_factory.mktemp("worked")
    shop = DiskShop(folder, 3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(20)
    shop.press(lambda tx: finish.one_done(tx, next(iter(tx.floor.running.values()))))
    shop.clock.on(5)
    shop.press(lambda tx: acts.go_on(tx, next(iter(tx.floor.running.values()))))
    shop.close()
    archive(shop.path, folder / "shop.zip", NOW_US)
    return shop.path, folder / "shop.zip"


def files_of(path: Path) -> Files:
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def pack(files: Files) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for name, data in files.items():
            book.writestr(name, data)
    return out.getvalue()


def refused(data: bytes, folder: Path) -> str:
    """The sentence an archive is refused with; nothing is left behind."""
    file, into = folder / "given.zip", folder / "new.shopclock"
    file.write_bytes(data)
    before = sorted(folder.iterdir())
    with pytest.raises(ShopError) as raised:
        unarchive(file, into)
    assert sorted(folder.iterdir()) == before
    said = str(raised.value)
    assert said.endswith("Nothing was changed.")
    assert not re.search(r"Error|Traceback|\n", said)
    return said


def test_the_demo_shop_is_equal_row_by_row_out_and_in_again(copied_demo: Callable[..., Path], tmp_path: Path) -> None:
    record, file, again = copied_demo(), tmp_path / "demo.zip", tmp_path / "again.shopclock"
    archive(record, file, NOW_US)
    unarchive(file, again)
    assert differences(record, again) == {}
    assert check(again) == []
    assert again.stat().st_mode & 0o777 == 0o600


def test_the_same_record_gives_the_same_tables_after_a_round(packed: tuple[Path, Path], tmp_path: Path) -> None:
    unarchive(packed[1], tmp_path / "again.shopclock")
    archive(tmp_path / "again.shopclock", tmp_path / "again.zip", NOW_US)
    assert files_of(tmp_path / "again.zip") == files_of(packed[1])


def closed_lists() -> set[type[StrEnum]]:
    hints = (bare(hint)[0] for kind in TABLES for hint in columns_of(kind).values())
    return {hint for hint in hints if isinstance(hint, type) and issubclass(hint, StrEnum)}


def test_the_readme_tells_every_word_of_every_closed_list(packed: tuple[Path, Path]) -> None:
    text = files_of(packed[1])["README.txt"].decode()
    assert closed_lists() == set(WORDS)
    for words, meanings in WORDS.items():
        assert list(meanings) == list(words)
        assert all(f"    {word.value}: {meaning}\n" in text for word, meaning in meanings.items())
    assert "interval.kind" in text
    assert "piece.outcome:\n" in text


def test_who_counts_by_the_readme_gets_the_programs_minutes(copied_demo: Callable[..., Path], tmp_path: Path) -> None:
    """By the archive alone: all labour of a batch, over pieces whose outcome counts as finished there."""
    demo = copied_demo()
    archive(demo, tmp_path / "demo.zip", NOW_US)
    with zipfile.ZipFile(tmp_path / "demo.zip") as book:
        rows = {
            name: [json.loads(line) for line in book.read(f"tables/{name}.jsonl").splitlines()]
            for name in ("batch", "piece", "interval", "labour")
        }
    batch_of = {row["id"]: row["batch_id"] for row in rows["interval"]}
    with ReadOnlyRecord.open(demo) as reading:
        lines = [line for line, _ in batch_lines(reading, ExportOptions(now_us=reading.newest_us))]
    closed = [line for line in lines if not line.figures.so_far and line.figures.finished]
    assert any(line.figures.seconds for line in closed)  # else it would not tell
    for line in closed:
        number = line.row.id
        labour_us = sum(row["us"] for row in rows["labour"] if batch_of[row["interval_id"]] == number)
        outcomes = [row["outcome"] for row in rows["piece"] if row["batch_id"] == number]
        finished = sum(outcome in ("finished", "second") for outcome in outcomes)
        assert labour_us / 60e6 / finished == pytest.approx(line.figures.whole.per_finished_min)


def test_the_readme_names_every_table_and_column(packed: tuple[Path, Path]) -> None:
    text = files_of(packed[1])["README.txt"].decode()
    for table, names in archiving.columns().items():
        assert re.search(rf"^{table}\b", text, re.MULTILINE), table
        assert all(re.search(rf"^    {name}\b", text, re.MULTILINE) for name in names)


def test_a_program_that_does_nothing_else_archives_every_table_of_the_file(
    packed: tuple[Path, Path], tmp_path: Path
) -> None:
    command = [sys.executable, "-m", "tests.record.archive_alone", str(packed[0]), str(tmp_path / "alone.zip")]
    subprocess.run(command, cwd=Path(__file__).parents[3], check=True)
    with closing(sqlite3.connect(packed[0])) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert {name for name in files_of(tmp_path / "alone.zip") if "/" in name} == {
        file_of(table) for table in tables - {"sqlite_stat1", "sqlite_stat4", "coming"}
    }


def test_it_can_be_read_with_nothing_but_a_zip_and_json(packed: tuple[Path, Path]) -> None:
    files = files_of(packed[1])
    batches = [json.loads(line) for line in files[file_of("batch")].splitlines()]
    manifest = json.loads(files[MANIFEST])
    assert len(batches) == next(table["rows"] for table in manifest["tables"] if table["name"] == "batch")
    assert all(batch["uuid"] for batch in batches)


def _changed_row(files: Files) -> Files:
    name = file_of("batch")
    return files | {name: files[name].replace(b'"name": "', b'"name": "x', 1)}


def _without_row(files: Files) -> Files:
    name = file_of("press")
    return files | {name: b"".join(files[name].splitlines(keepends=True)[:-1])}


def _manifest(change: Callable[[dict[str, Any]], object]) -> Callable[[Files], Files]:
    def changed(files: Files) -> Files:
        manifest = json.loads(files[MANIFEST])
        change(manifest)
        return files | {MANIFEST: json.dumps(manifest).encode()}

    return changed


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_changed_row, "is not as it was written"),
        (_without_row, "is not as it was written"),
        (lambda files: files | {"../../escaped": b"x"}, "it holds other files"),
        (lambda files: files | {"/etc/escaped": b"x"}, "it holds other files"),
        (lambda files: {n: d for n, d in files.items() if n != file_of("journal")}, "it holds other files"),
        (lambda files: {n: d for n, d in files.items() if n != MANIFEST}, "it is no archive of this program"),
        (lambda files: files | {MANIFEST: b"[1"}, "it is not what the program wrote"),
        (lambda files: files | {MANIFEST: b"[" * 500_000}, "it is not"),
        (_manifest(lambda m: m.update(format="letters")), "it is no archive of this program"),
        (_manifest(lambda m: m.update(schema_version=99)), "newer version of this program"),
        (_manifest(lambda m: m.update(format_version=2)), "newer version of this program"),
        (_manifest(lambda m: m.update(schema_version="1")), "it is not what the program wrote"),
        (_manifest(lambda m: m["tables"].pop()), "it holds other tables"),
        (lambda files: files | {file_of("word"): b"\n" * 30_000_000}, "it claims to hold far more than fits in it"),
        (lambda files: files | {file_of("word"): b'{"id": 1}\n'}, "its columns are others"),
        (lambda files: files | {file_of("word"): b"{"}, "a line of it does not end"),
    ],
)
def test_what_is_not_as_it_was_written_is_refused(
    packed: tuple[Path, Path], tmp_path: Path, change: Callable[[Files], Files], said: str
) -> None:
    assert said in refused(pack(change(files_of(packed[1]))), tmp_path)


def with_right_sums(files: Files) -> Files:
    """The same, with a manifest that says what is in the tables now."""
    manifest = json.loads(files[MANIFEST])
    for table in manifest["tables"]:
        data = files[table["file"]]
        table |= {"rows": data.count(b"\n"), "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
    return files | {MANIFEST: json.dumps(manifest).encode()}


def one_value_other(table: str) -> Callable[[Files], Files]:
    """Give the last row of a table another value in its last column that has one that may be another."""

    def changed(files: Files) -> Files:
        lines = files[file_of(table)].splitlines(keepends=True)
        row = json.loads(lines[-1])
        column = next(name for name in reversed(row) if name != "id" and isinstance(row[name], int))
        row[column] = 1 - row[column] if row[column] in (0, 1) else row[column] + 1
        return files | {file_of(table): b"".join(lines[:-1]) + json.dumps(row, ensure_ascii=False).encode() + b"\n"}

    return changed


def _without_zone(files: Files) -> Files:
    zone = b"Europe/Vienna"
    return {name: data.replace(zone, b"") for name, data in files.items()}


@pytest.mark.parametrize(
    "change",
    [
        *map(one_value_other, ("step", "piece", "interval", "tally", "labour", "share", "method", "stage", "pattern")),
        _without_zone,
    ],
)
def test_an_archive_that_was_changed_and_given_right_sums_is_refused(
    worked: tuple[Path, Path], tmp_path: Path, change: Callable[[Files], Files]
) -> None:
    said = refused(pack(with_right_sums(change(files_of(worked[1])))), tmp_path)
    assert "it does not hold together" in said or "its rows" in said


def test_a_link_in_an_archive_is_refused(packed: tuple[Path, Path], tmp_path: Path) -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        for name, data in files_of(packed[1]).items():
            entry = zipfile.ZipInfo(name)
            entry.external_attr = (stat.S_IFLNK if name == file_of("word") else stat.S_IFREG) << 16
            book.writestr(entry, data)
    assert "something else than plain files" in refused(out.getvalue(), tmp_path)


def test_a_claim_of_two_gigabytes_is_refused_before_anything_is_read(packed: tuple[Path, Path], tmp_path: Path) -> None:
    data = bytearray(packed[1].read_bytes())
    at = data.rfind(b"PK\x01\x02", 0, data.rfind(file_of("word").encode()))
    data[at + 24 : at + 28] = (2_000_000_000).to_bytes(4, "little")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert "far more than fits in it" in refused(bytes(data), tmp_path)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 50_000


def test_a_file_twice_is_refused(packed: tuple[Path, Path], tmp_path: Path) -> None:
    out = io.BytesIO(packed[1].read_bytes())
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(out, "a") as book:
        book.writestr(MANIFEST, b"{}")
    assert "it holds a file twice" in refused(out.getvalue(), tmp_path)


@given(data=st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_a_spoilt_archive_is_taken_whole_or_refused(
    packed: tuple[Path, Path], tmp_path: Path, data: st.DataObject
) -> None:
    spoilt = bytearray(packed[1].read_bytes())
    for _ in range(data.draw(st.integers(1, 3))):
        spoilt[data.draw(st.integers(0, len(spoilt) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, len(spoilt)) | st.just(len(spoilt)))
    file, into = tmp_path / "given.zip", tmp_path / "new.shopclock"
    file.write_bytes(spoilt[:cut])
    said = ""
    try:
        unarchive(file, into)
    except ShopError as error:
        said = str(error)
    assert into.exists() is not said.endswith("Nothing was changed.")
    if not said:
        assert differences(packed[0], into) == {}
        into.unlink()
    assert [path.name for path in tmp_path.iterdir()] == ["given.zip"]


@pytest.mark.long
@parts(10)
def test_two_thousand_spoilt_archives_are_taken_whole_or_refused(
    packed: tuple[Path, Path], tmp_path: Path, part: int
) -> None:
    whole, chance = packed[1].read_bytes(), random.Random(part)  # noqa: S311  # the same chances each time
    assert sum(taken_or_refused(packed[0], spoilt(whole, chance), tmp_path) for _ in range(200)) > 100


def spoilt(whole: bytes, chance: random.Random) -> bytes:
    """Change, take out, double or cut bytes of an archive, once or a few times, anywhere or among its names."""
    data = bytearray(whole)
    directory = data.find(b"PK\x01\x02")
    for _ in range(chance.choice((1, 1, 1, 2, 5, 40))):
        at = chance.randrange(chance.choice((0, directory)), len(data))
        length = chance.choice((1, 2, 4, 16, 300))
        way = chance.randrange(5)
        if way == 0:
            data[at : at + length] = chance.randbytes(length)
        elif way == 1:
            del data[at : at + length]
        elif way == 2:
            data[at:at] = data[at : at + length]
        elif way == 3:
            data[at : at + 4] = b"\xff\xff\xff\x7f"
        else:
            data[at] ^= 1 << chance.randrange(8)
    return bytes(data)


def taken_or_refused(record: Path, data: bytes, folder: Path) -> bool:
    """Try an archive; tells whether it was refused. What was taken is equal to the record it was of."""
    file, into = folder / "given.zip", folder / "new.shopclock"
    file.write_bytes(data)
    said = ""
    try:
        unarchive(file, into)
    except ShopError as error:
        said = str(error)
    if said:
        assert said.endswith("Nothing was changed.")
        assert [path.name for path in folder.iterdir()] == ["given.zip"]
        return True
    assert differences(record, into) == {}
    into.unlink()
    return False


@settings(max_examples=10)
@given(HISTORIES)
def test_whatever_was_pressed_comes_out_and_in_again_equal_row_by_row(history: list[tuple[int, int, int, int]]) -> None:
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as name:
        shop = DiskShop(Path(name), 4, 2)
        play(shop, history)
        shop.close()
        file, again = Path(name) / "shop.zip", Path(name) / "again.shopclock"
        archive(shop.path, file, NOW_US)
        unarchive(file, again)
        assert differences(shop.path, again) == {}


def test_an_archive_that_is_stopped_leaves_nothing_going_out_or_coming_in(
    packed: tuple[Path, Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class StopAtOnce(Unwatched):
        def at(self, *_: object) -> None:
            raise Stopped

    monkeypatch.setattr(archiving, "AT_A_TIME", 10)
    with pytest.raises(Stopped):
        archive(packed[0], tmp_path / "shop.zip", NOW_US, StopAtOnce())
    with pytest.raises(Stopped):
        unarchive(packed[1], tmp_path / "new.shopclock", StopAtOnce())
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "said"), [("shop.txt", "does not end in .zip"), ("none/shop.zip", "can't be written")]
)
def test_an_archive_that_can_not_be_written_is_told(
    packed: tuple[Path, Path], tmp_path: Path, name: str, said: str
) -> None:
    with pytest.raises(ShopError, match=said):
        archive(packed[0], tmp_path / name, NOW_US)


def test_a_record_that_is_there_is_not_written_over(packed: tuple[Path, Path], tmp_path: Path) -> None:
    (tmp_path / "shop").write_bytes(b"a letter")
    with pytest.raises(ShopError, match="is there already"):
        unarchive(packed[1], tmp_path / "shop")


def test_no_room_leaves_nothing_half(packed: tuple[Path, Path], tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "64k") as disk:
        with pytest.raises(ShopError):
            unarchive(packed[1], disk / "new.shopclock")
        assert not list(disk.iterdir())
    with small_disk(tmp_path / "smaller", "8k") as disk:
        with pytest.raises(ShopError):
            archive(packed[0], disk / "shop.zip", NOW_US)
        assert not list(disk.iterdir())


def test_a_copy_for_others_has_no_customers_and_no_prices_and_is_a_sound_record(tmp_path: Path) -> None:
    """Of what was typed about customers and money no byte is in it, nor in the journal; all that was worked is."""
    shop = DiskShop(tmp_path, 3)
    step = next(step for step in shop.floor.steps(shop.batches[0].id) if step.kind.attended)
    shop.press(lambda tx: begin.begin(tx, step))
    shop.clock.on(20)
    shop.press(begin.stop)
    order = shop.press(lambda tx: orders.take_order(tx, "Brook Tarnfell", shop.pattern, 2, date(2026, 12, 12)))
    shop.record.press("Order of Brook Tarnfell", lambda tx: orders.reserve(tx, order), undoable=True)
    shop.press(lambda tx: orders.set_price(tx, order, "240.17"))
    shop.undo()
    shop.press(lambda tx: orders.set_price(tx, order, "240.19"))
    shop.press(lambda tx: costs.add_cost(tx, "Ashwood", CostKind.MATERIAL, Per.PIECE, "12.43"))
    shop.press(lambda tx: costs.ask(tx, shop.pattern, "251.77"))
    shop.press(lambda tx: set_rate(tx, "hour", "31.41"))
    shop.press(lambda tx: set_address(tx, "Mill Lane 3"))
    shop.close()
    target, secret = tmp_path / "out.zip", ("Brook", "240.1", "Ashwood", "12.43", "251.77", "31.41", "Mill Lane")
    archive(shop.path, target, NOW_US)
    assert all(one in whole_text(target) for one in secret)
    archive(shop.path, target, NOW_US, for_others=True)
    assert [one for one in secret if one in whole_text(target)] == []
    unarchive(target, tmp_path / "again.shopclock")
    assert check(tmp_path / "again.shopclock") == []
    with ReadOnlyRecord.open(shop.path) as ours, ReadOnlyRecord.open(tmp_path / "again.shopclock") as theirs:
        assert list(theirs.reads.intervals()) == list(ours.reads.intervals()) != []
        assert list(theirs.floor.all(CustomerOrder)) == []


def whole_text(archived: Path) -> str:
    with zipfile.ZipFile(archived) as book:
        return "".join(book.read(name).decode() for name in book.namelist() if name.startswith("tables/"))
