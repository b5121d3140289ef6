"""The wheel holds all the program reads, and starts where there is no checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from packaging.requirements import Requirement

if TYPE_CHECKING:
    from collections.abc import Callable

TOP = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of this checkout, built without a network and unpacked."""
    made = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index"]
    subprocess.run([*build, "--wheel-dir", str(made), str(TOP)], check=True)
    (wheel,) = made.glob("shopclock-*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(made / "site")
    return made / "site"


def _run(unpacked: Path, *arguments: str) -> str:
    alone = {**os.environ, "PYTHONPATH": str(unpacked)}
    return subprocess.run(
        [sys.executable, *arguments], cwd=unpacked.parent, env=alone, capture_output=True, text=True, check=True
    ).stdout


@pytest.mark.parametrize(
    ("folder", "packed"),
    [("shopclock", "shopclock"), ("resources", "shopclock/_data/resources"), ("shared", "shopclock/_data/shared")],
)
def test_every_file_under_version_control_is_in_the_wheel(unpacked: Path, folder: str, packed: str) -> None:
    listed = subprocess.run(["git", "ls-files", folder], cwd=TOP, capture_output=True, text=True, check=True).stdout
    files = [Path(line).relative_to(folder) for line in listed.splitlines() if (TOP / line).exists()]
    assert files
    assert [name for name in files if not (unpacked / packed / name).is_file()] == []


def test_the_wheel_brings_the_command_and_no_tests(unpacked: Path) -> None:
    (entry_points,) = unpacked.glob("*.dist-info/entry_points.txt")
    assert "shopclock = shopclock.__main__:main" in entry_points.read_text()
    assert not (unpacked / "tests").exists()


def test_the_installed_program_answers_and_finds_its_files(unpacked: Path) -> None:
    assert _run(unpacked, "-m", "shopclock", "--version").startswith("shopclock ")
    found = _run(unpacked, "-c", "from shopclock import places; print(places.resource('README.md').read_text())")
    assert found.strip() == (TOP / "resources" / "README.md").read_text().strip()
    where = _run(unpacked, "-c", "from shopclock import places; print(places.shared())").strip()
    assert Path(where) == unpacked / "shopclock" / "_data" / "shared"


def test_an_installed_program_has_no_checkout(unpacked: Path) -> None:
    assert _run(unpacked, "-c", "from shopclock import bootstrap; print(bootstrap.checkout())").strip() == "None"


WITHOUT = """
import runpy, sys
unused = runpy.run_path(sys.argv[1])["UNUSED"]

class Left:
    def find_spec(self, name, path=None, target=None):
        if any(name == one or name.startswith(f"{one}.") for one in unused):
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)

sys.meta_path.insert(0, Left())
from shopclock.commands import main
record = ["--record", sys.argv[2]]
for words in (["trend", "bevels"], ["plan"], ["next-batch", "Paring", "6"], ["promise", "Paring", "4"], ["orders"],
              ["costs"], ["figures"], ["export", f"{sys.argv[3]}/all.xlsx"], ["calendar", f"{sys.argv[3]}/plan.ics"],
              ["card", "26-10", f"{sys.argv[3]}/card.pdf"], ["status"], ["check"]):
    assert main.main([*words, *record]) == 0, words
"""
"""The commands where nothing that the package leaves out can be imported."""


def test_what_the_package_leaves_out_nobody_misses(copied_demo: Callable[..., Path], tmp_path: Path) -> None:
    build, demo = TOP / "resources" / "packaging" / "build.py", copied_demo()
    command = [sys.executable, "-c", WITHOUT, str(build), str(demo), str(tmp_path)]
    done = subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


EXTRAS = ("", "server", "binary")


def test_all_that_the_package_ships_is_named_with_its_licence() -> None:
    """Shopclock's own requirements and the server's driver, theirs in turn, and what starts the packaged program."""
    told = (TOP / "THIRD-PARTY.md").read_text("utf-8").casefold().replace("_", "-")
    wanted, shipped = ["shopclock"], set[str]()
    while wanted:
        for line in metadata.requires(wanted.pop()) or ():
            needed = Requirement(line)
            asked = needed.marker is None or any(needed.marker.evaluate({"extra": one}) for one in EXTRAS)
            if asked and needed.name not in shipped:
                shipped.add(needed.name)
                wanted.append(needed.name)
    assert {"numpy", "Mako", "shiboken6", "psycopg-binary"} <= shipped
    names = {name.casefold().replace("_", "-").removesuffix("-essentials").removesuffix("-binary") for name in shipped}
    assert {name for name in (*names, "pyinstaller", "cpython") if name not in told} == set()


def test_the_packaged_program_tells_its_helpers_by_the_word_that_starts_them() -> None:
    start = (TOP / "resources" / "packaging" / "start.py").read_text("utf-8")
    assert "from shopclock.places import READS_WORKBOOK" in start
    assert "freeze_support()" in start
