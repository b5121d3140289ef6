"""The commands: what they say, where they say it, and the exit code."""

import csv
import io
import json
import os
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopclock.__main__ import wants_window
from shopclock.app import read_options
from shopclock.commands import main
from shopclock.record.file.lock import RecordLock
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning import orders
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Reason
from tests.exchange.shop_story import tell
from tests.record.on_disk import DiskShop

TOP = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "story.shopclock"
    tell(path)
    return path


@pytest.mark.parametrize(
    ("arguments", "window"),
    [
        ([], True),
        (["--demo"], True),
        (["--record", "x"], True),
        (["--record=x"], True),
        (["--record"], False),
        (["--record", "x", "--demo"], False),
        (["--help"], False),
        (["--record", "x", "export"], False),
        (["check"], False),
        (["chekc"], False),
    ],
)
def test_only_the_windows_own_options_open_the_window(arguments: list[str], window: bool) -> None:
    assert wants_window(arguments) is window


def test_the_help_names_the_windows_options_and_every_command() -> None:
    said = CliRunner().invoke(main.commands, ["--help"]).output
    for word in ("--record PATH", "--demo", "export", "calendar", "figures", "check", "demo", "tour"):
        assert word in said


@pytest.mark.parametrize("command", sorted(main.commands.commands))
def test_every_command_explains_itself_and_its_options(command: str) -> None:
    done = CliRunner().invoke(main.commands, [command, "--help"])
    assert done.exit_code == 0
    assert all(
        getattr(option, "help", "") for option in main.commands.commands[command].params if option.opts[0][:2] == "--"
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--record"], "Option '--record' requires an argument."),
        (["--record", "x", "--demo"], "Give one of --record PATH and --demo, or a command."),
        (["--record", "x", "check"], "--record PATH comes after the command"),
        (["chekc"], "No such command 'chekc'."),
        (["export"], "Missing argument 'FILE'."),
        (["export", "x.csv", "--separator", "dot"], "Invalid value for '--separator'"),
        (["figures", "a", "b"], "unexpected extra argument"),
    ],
)
def test_a_wrong_call_is_told_in_a_line_with_exit_code_2(
    arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["export", "{tmp}/sheet.ods", "--record", "{shop}"], "ends in none of .xlsx, .csv and .json"),
        (["export", "{tmp}/none/sheet.csv", "--record", "{shop}"], "There is no folder"),
        (["export", "{tmp}", "--record", "{shop}"], "ends in none of"),
        (["export", "{tmp}/sheet.csv", "--record", "{shop}", "--batch", "26-99"], "There is no batch '26-99'."),
        (["export", "{tmp}/sheet.csv", "--record", "{tmp}/none"], "There is no record at"),
        (["export", "{tmp}/sheet.csv", "--record", "{shop}", "--from", "7/3"], "7/3 is no day. Type it as 2026-03-07."),
        (
            ["export", "{tmp}/sheet.xlsx", "--record", "{shop}", "--from", "2026-02-01", "--to", "2026-01-31"],
            "2026-01-31 lies before 2026-02-01.",
        ),
        (
            ["export", "{tmp}/sheet.csv", "--record", "{shop}", "--to", "2020-12-31"],
            "The whole shop, work begun to 2020-12-31 has no work in it. Nothing was written.",
        ),
        (["figures", "26-99", "--record", "{shop}"], "There is no batch '26-99'. There are -2, @SUM(A1)."),
        (["figures", "--record", "{tmp}"], "is a folder"),
        (["figures", "--record", "{readme}"], "is not a record of this program"),
        (["check", "--record", "{readme}"], "is not a record of this program"),
        (["demo", "{shop}"], "already. Nothing was written"),
    ],
)
def test_an_error_of_the_world_is_one_sentence_with_exit_code_1(
    arguments: list[str], said: str, shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    readme = tmp_path / "readme"
    readme.write_text("not a record")
    filled = [word.format(tmp=tmp_path, shop=shop, readme=readme) for word in arguments]
    assert main.main(filled) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1
    assert list(tmp_path.iterdir()) == [readme]


def test_export_writes_the_file_and_says_so(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "sheet.csv"
    assert main.main(["export", str(target), "--record", str(shop), "--decimal", "comma"]) == 0
    assert capsys.readouterr().out == f"{target} is written.\n"
    heads = target.read_text("utf-8-sig").splitlines()[0]
    assert heads.startswith("Batch;Pattern;Stage;")


def test_export_of_days_has_the_work_begun_on_them_alone(shop: Path, tmp_path: Path) -> None:
    whole, rest = tmp_path / "whole.csv", tmp_path / "rest.csv"
    assert main.main(["export", str(whole), "--record", str(shop)]) == 0
    assert main.main(["export", str(rest), "--record", str(shop), "--from", "2026-10-25"]) == 0
    all_of_it, later = (path.read_text("utf-8-sig").splitlines() for path in (whole, rest))
    assert 1 < len(later) < len(all_of_it)
    assert later[1:] == [line for line in all_of_it[1:] if "2026-10-24 " not in line]


def test_figures_as_json_hold_the_named_batch_alone(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.main(["figures", "@sum(a1)", "--json", "--record", str(shop)]) == 0
    assert [batch["batch"] for batch in json.loads(capsys.readouterr().out)["batches"]] == ["@SUM(A1)"]


def test_figures_of_all_batches_are_a_line_each(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.main(["figures", "--record", str(shop)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == ["Batch", "@SUM(A1)", "-2"]
    assert lines[2].endswith("so far")
    started, finished, in_work = lines[2].split()[-6:-3]
    assert (int(started), finished, in_work) == (int(in_work), "0", started)


def test_shown_figures_of_a_batch_add_up(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.main(["figures", "@SUM(A1)", "--record", str(shop)]) == 0
    head, _, table = capsys.readouterr().out.partition("\n\n")
    assert "4 blades, 2 finished" in head
    *stages, whole = [line.split() for line in table.splitlines()[1:]]
    for place in (-1, -2):
        assert round(sum(float(stage[place]) for stage in stages), 1) == float(whole[place])


def test_check_says_what_is_there_and_what_still_runs(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main.main(["check", "--record", str(shop)]) == 0
    sound, running = capsys.readouterr().out.splitlines()
    assert sound == f"{shop} is sound: 2 batches, 8 blades, 7 stretches of work."
    assert running.startswith("Still running: Saw out of -2, since ")


def test_check_tells_what_is_off_and_fails(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import sqlite3

    spoilt = tmp_path / "spoilt.shopclock"
    spoilt.write_bytes(shop.read_bytes())
    connection = sqlite3.connect(spoilt)
    connection.execute("UPDATE labour SET us = us + 1 WHERE interval_id = 1")
    connection.commit()
    connection.close()
    assert main.main(["check", "--record", str(spoilt)]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert "labour" in err


def test_a_mistake_of_ours_is_written_down_and_told_without_a_trace(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("platformdirs.user_log_path", lambda *_, **__: tmp_path / "log")
    monkeypatch.setattr("shopclock.record.read.read_only.ReadOnlyRecord.open", lambda _: 1 / 0)
    assert main.main(["figures", "--record", str(shop)]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    assert "Traceback" not in err
    assert "ZeroDivisionError" in (tmp_path / "log" / "shopclock.log").read_text("utf-8")


def _run(*arguments: str | Path, into: str = "") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "shopclock", *map(str, arguments)]
    if into:
        command = ["bash", "-o", "pipefail", "-c", f'"$@" {into}', "-", *command]
    return subprocess.run(command, cwd=TOP, capture_output=True, text=True, timeout=300, check=False)


def test_a_reader_who_stops_listening_is_no_error_to_tell(shop: Path) -> None:
    done = _run("figures", "--json", "--record", shop, into="| true")
    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a disk that is always full")
def test_a_full_disk_under_the_output_is_told(shop: Path) -> None:
    done = _run("figures", "--record", shop, into="> /dev/full")
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("arguments", [["--help"], ["export", "--help"]])
def test_help_answers_before_anything_heavy_is_imported(arguments: list[str]) -> None:
    heavy = {"pandas", "numpy", "scipy", "xlsxwriter", "sqlalchemy", "alembic", "PySide6", "pyqtgraph"}
    assert not heavy & _imported(arguments)


def test_commands_do_without_qt_and_pandas(shop: Path, tmp_path: Path) -> None:
    for arguments in (["check"], ["figures", "--json"], ["export", str(tmp_path / "sheet.xlsx")]):
        imported = _imported([*arguments, "--record", str(shop)])
        assert "sqlalchemy" in imported
        assert not {"PySide6", "pyqtgraph", "pandas"} & imported


def _imported(arguments: list[str]) -> set[str]:
    run = (
        "import sys; from shopclock.commands import main; print(main.main(sys.argv[1:]), *sys.modules, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", run, *arguments], cwd=TOP, capture_output=True, text=True, check=True)
    code, *modules = done.stderr.split()
    assert code == "0"
    return {name.split(".")[0] for name in modules}


def test_the_record_goes_out_as_a_copy_and_as_an_archive_and_comes_back(shop: Path, tmp_path: Path) -> None:
    record, copy, zipped = tmp_path / "mine.shopclock", tmp_path / "copy.shopclock", tmp_path / "mine.zip"
    runner = CliRunner()

    def said(*arguments: str | Path) -> str:
        done = runner.invoke(main.commands, list(map(str, arguments)))
        assert done.exit_code == 0, done.output
        return done.output

    assert said("copy", record, "--record", shop) == f"{record} is written.\n"
    assert said("copy", copy, "--record", record) == f"{copy} is written.\n"
    assert "is written." in said("copy", "--record", record)
    assert said("copy", "--record", record) == "The newest copy has all there is.\n"
    assert "Lost would be 0 presses" in said("restore", copy, "--record", record)
    assert "What was there is kept at" in said("restore", copy, "--record", record, "--yes")
    assert said("archive", zipped, "--record", record) == f"{zipped} is written.\n"
    assert "opens it." in said("unarchive", zipped, tmp_path / "again.shopclock")
    assert "is sound" in said("check", "--record", tmp_path / "again.shopclock")


def test_a_restore_of_what_is_no_copy_is_told_in_a_sentence(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["restore", str(tmp_path / "none"), "--record", str(shop), "--yes"]) == 1
    assert capsys.readouterr().err == f"There is no copy {tmp_path / 'none'}. Nothing was changed.\n"


def test_old_notes_are_told_then_brought_in_once(tmp_path: Path) -> None:
    record, notes = tmp_path / "story.shopclock", tmp_path / "notes.csv"
    tell(record)
    notes.write_text("Date;Batch;Task;Time;Qty\n7.3.26;K1;Drawing;1:20;6\nTotal;;;1:20;\n", encoding="utf-8")
    asked = ["import", str(notes), "--record", str(record)]
    told = CliRunner().invoke(main.commands, [*asked, "--dry-run"])
    assert told.output.splitlines()[-1] == "Nothing was changed."
    assert "Row 3, Date: Total is no date with day, month and year." in told.output
    assert main.main(asked) == 1
    assert main.main([*asked, "--leave-out"]) == 0
    assert main.main([*asked, "--leave-out"]) == 1
    assert main.main(["check", "--record", str(record)]) == 0


def test_what_a_column_is_can_be_said_by_its_letter(tmp_path: Path) -> None:
    record, notes = tmp_path / "story.shopclock", tmp_path / "notes.csv"
    Record.open(record, SystemClock(), make=True, zone="Europe/Vienna").close()
    notes.write_text("Date;Foo;Bar;Qty\n7.3.26;1:20;17;6\n", encoding="utf-8")
    asked = ["import", str(notes), "--record", str(record), "--dry-run"]
    told = CliRunner().invoke(main.commands, [*asked, "--column", "C=stage", "--column", "D=nothing", "--pieces", "2"])
    assert "Columns: A date, B length, C stage." in told.output
    assert "1 batch to make, 2 blades, 1 stretch of work, 1 h 20 in all." in told.output
    assert CliRunner().invoke(main.commands, [*asked, "--column", "C=colour"]).exit_code == 2


def test_old_notes_wait_until_the_window_is_closed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    record, notes = tmp_path / "story.shopclock", tmp_path / "notes.csv"
    tell(record)
    notes.write_text("Date;Batch;Task;Time;Qty\n7.3.26;K1;Drawing;1:20;6\n", encoding="utf-8")
    window = RecordLock(record)
    assert window.take() is None
    assert main.main(["import", str(notes), "--record", str(record)]) == 1
    said = f"{record} is open in another window or program (number {os.getpid()}). Nothing was changed. Close it there"
    assert capsys.readouterr().err == f"{said} first.\n"
    window.release()
    assert main.main(["import", str(notes), "--record", str(record)]) == 0


def test_import_says_what_it_was_called_wrongly_with(tmp_path: Path) -> None:
    assert main.main(["import", "x.csv", "--stage", "Saw", "--record", str(tmp_path / "none")]) != 0
    assert main.main(["import", "x.csv", "--pieces", "61"]) == 2


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(("command", "sheet"), [("card", "A4"), ("card", "Letter"), ("review", "letter")])
def test_a_batch_is_put_on_paper(shop: Path, tmp_path: Path, command: str, sheet: str) -> None:
    to = tmp_path / "out.pdf"
    done = CliRunner().invoke(main.commands, [command, "--record", str(shop), "--paper", sheet, "--", "-2", str(to)])
    assert (done.exit_code, done.output) == (0, f"{to} is written.\n")
    assert to.read_bytes().startswith(b"%PDF-")


@pytest.fixture
def orders_there(tmp_path: Path) -> Path:
    """A shop with an order of Brook, priced, and one of Hollin without a price."""
    made = DiskShop(tmp_path, 3)
    for who, price in (("Brook", "240"), ("Hollin", "")):
        order = made.press(lambda tx, who=who: orders.take_order(tx, who, made.pattern, 2, date(2030, 12, 12)))
        made.press(lambda tx, order=order, price=price: orders.set_price(tx, order, price))
    made.close()
    return made.path


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("sheet", ["A4", "Letter"])
def test_an_order_is_quoted_by_who_it_is_for(orders_there: Path, tmp_path: Path, sheet: str) -> None:
    to = tmp_path / "out.pdf"
    done = CliRunner().invoke(
        main.commands, ["quote", "brook", str(to), "--record", str(orders_there), "--paper", sheet]
    )
    assert (done.exit_code, done.output) == (0, f"{to} is written.\n")
    assert to.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("who", "said"),
    [
        ("Marrow", "There is no open order of 'Marrow'. There are: Brook, Hollin."),
        ("Hollin", "The order of Hollin has no price yet. Nothing was written; press Price first."),
    ],
)
def test_a_quote_that_cant_be_is_refused_in_a_sentence(
    orders_there: Path, tmp_path: Path, who: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main(["quote", who, str(tmp_path / "out.pdf"), "--record", str(orders_there)]) == 1
    assert capsys.readouterr().err == f"{said}\n"
    assert not (tmp_path / "out.pdf").exists()


@pytest.mark.parametrize("command", ["card", "review"])
def test_a_batch_that_isnt_there_is_named_in_a_sentence(
    shop: Path, tmp_path: Path, command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main.main([command, "26-99", str(tmp_path / "out.pdf"), "--record", str(shop)]) == 1
    assert capsys.readouterr().err.startswith("There is no batch '26-99'.")
    assert list(tmp_path.iterdir()) == []


def test_a_record_is_taken_along_and_brought_back_by_commands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record, desk = tmp_path / "shop.shopclock", tmp_path / "desk.shopclock"
    Record.open(record, SystemClock(), make=True, zone="Europe/Vienna").close()
    assert main.main(["take-along", str(desk), "--record", str(record)]) == 0
    for path, name in ((record, "In the shop"), (desk, "At the desk")):
        opened = Record.open(path, SystemClock())
        opened.press("Name", lambda tx, name=name: tx.change(replace(next(tx.floor.all(Reason)), name=name)))
        opened.close()
    assert main.main(["bring-back", str(desk), "--record", str(record), "--dry-run"]) == 1
    assert "Shop and desk differ in an entry that both changed. Nothing was joined." in capsys.readouterr().err
    assert main.main(["bring-back", str(desk), "--record", str(record), "--dry-run", "--both", "desk"]) == 0
    assert main.main(["bring-back", str(desk), "--record", str(record)]) == 1
    said = capsys.readouterr()
    assert "1 entry from the desk." in said.out
    assert "the shop In the shop, the desk At the desk" in said.out
    assert "Say which holds: --both shop or --both desk." in said.err
    assert main.main(["bring-back", str(desk), "--record", str(record), "--both", "desk"]) == 0
    with ReadOnlyRecord.open(record) as reading:
        assert next(reading.floor.all(Reason)).name == "At the desk"
    assert main.main(["take-along", str(desk), "--record", str(record)]) == 1
    assert "there already" in capsys.readouterr().err


def run(*words: str, given: bytes = b"", **environment: str) -> subprocess.CompletedProcess[bytes]:
    """A command as a shell runs it."""
    return subprocess.run(
        [sys.executable, "-m", "shopclock", *words],
        cwd=TOP,
        input=given,
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )


def test_standard_output_gets_the_sheet_alone_and_as_a_file_has_it(shop: Path, tmp_path: Path) -> None:
    for kind in ("csv", "xlsx", "json"):
        file = tmp_path / f"sheet.{kind}"
        assert main.main(["export", str(file), "--record", str(shop), "--quiet"]) == 0
        done = run("export", "-", "--as", kind, "--record", str(shop))
        assert (done.returncode, done.stderr) == (0, b"")
        if kind == "csv":  # the mark is for spreadsheets
            assert b"\xef\xbb\xbf" + done.stdout == file.read_bytes()
        else:
            assert abs(len(done.stdout) - file.stat().st_size) < 100
            assert done.stdout[:2] == (b"PK" if kind == "xlsx" else b'{"')
    assert run("calendar", "-", "--record", str(shop)).stdout.startswith(b"BEGIN:VCALENDAR")


def test_json_has_the_same_minutes_as_the_sheet(shop: Path) -> None:
    rows = json.loads(run("export", "-", "--as", "json", "--record", str(shop)).stdout)["intervals"]
    lines = list(csv.DictReader(io.StringIO(run("export", "-", "--record", str(shop)).stdout.decode())))
    assert len(rows) == len(lines) > 5
    for row, line in zip(rows, lines, strict=True):
        assert (row["key"], row["start_utc"], row["stage"]) == (line["Key"], line["Start (UTC)"], line["Stage"])
        assert row["labour_min"] == (float(line["Labour (min)"]) if line["Labour (min)"] else None)


NOTES = b"date,stage,batch,pattern,pieces,minutes\n2026-01-05,Sawing,N-1,Ladle,3,40\n"


def test_notes_come_from_standard_input_and_a_rubbish_is_refused(tmp_path: Path) -> None:
    record = str(tmp_path / "new.shopclock")
    assert main.main(["new", record, "--zone", "Europe/Vienna", "-q"]) == 0
    asked = ("import", "-", "--numbers", "minutes", "--record", record)
    assert b"1 stretch of work" in run(*asked, given=NOTES).stdout
    for rubbish in (b"", b"\x00\x01\x02"):
        done = run(*asked, given=rubbish)
        assert done.returncode == 1
        assert done.stderr.startswith(b"standard input can't be taken: ")


def test_the_environment_names_the_record_where_nothing_else_does(shop: Path, tmp_path: Path) -> None:
    named = run("check", SHOPCLOCK_RECORD=str(shop))  # figures of what runs would have gone on meanwhile
    assert str(shop).encode() in named.stdout
    assert named.stdout == run("check", "--record", str(shop)).stdout
    assert run("figures", "--record", str(shop), SHOPCLOCK_RECORD="/nowhere").returncode == 0
    assert b"There is no record at /nowhere" in run("figures", SHOPCLOCK_RECORD="/nowhere").stderr


def test_the_window_opens_the_record_that_the_environment_names(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPCLOCK_RECORD", "own.shopclock")
    assert read_options([]).record == Path("own.shopclock")
    assert read_options(["--record", "other"]).record == Path("other")
    assert read_options(["--demo"]).record is None
    monkeypatch.setenv("SHOPCLOCK_RECORD", "")
    assert read_options([]).record is None


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_prints_its_script_and_opens_no_window(shell: str) -> None:
    script = run("completion", shell).stdout
    assert b"_SHOPCLOCK_COMPLETE" in script
    assert run(_SHOPCLOCK_COMPLETE=f"{shell}_source").stdout.strip() == script.strip()


def test_a_shell_is_told_what_a_word_may_go_on_to() -> None:
    asked = {"_SHOPCLOCK_COMPLETE": "bash_complete", "COMP_WORDS": "shopclock ex", "COMP_CWORD": "1"}
    assert run(**asked).stdout.split() == [b"plain,export"]
