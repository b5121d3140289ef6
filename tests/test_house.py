"""The rules of the house that a machine can check."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[1]
PACKAGE = TOP / "shopclock"
BEFORE_THE_SET_UP = [
    *("shopclock/__init__.py", "shopclock/__main__.py", "shopclock/bootstrap.py", "shopclock/dotvenv.py"),
    *("shopclock/first_run.py", "shopclock/first_run_told.py", "shopclock/others_venv.py", "shopclock/places.py"),
    *("tests/__init__.py", "tests/__main__.py"),
]
HEAVY = {"pandas", "numpy", "scipy", "pyqtgraph", "xlsxwriter", "alembic"}
CLOCKS = {
    "datetime": {"now", "utcnow", "today"},
    "date": {"today"},
    "time": {"time", "time_ns", "monotonic", "monotonic_ns", "perf_counter", "clock_gettime", "clock_gettime_ns"},
}


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"), str(path))


def test_imports_go_down_only() -> None:
    run = "import sys; from importlinter.cli import lint_imports_command; sys.exit(lint_imports_command())"
    done = subprocess.run([sys.executable, "-c", run], cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("name", BEFORE_THE_SET_UP)
def test_what_runs_before_the_set_up_parses_on_python_3_8(name: str) -> None:
    path = TOP / name
    assert ast.parse(path.read_text("utf-8"), name, feature_version=(3, 8)).body


def test_the_rules_import_the_standard_library_alone() -> None:
    strangers = {
        f"{path.name}: {module}"
        for path in (PACKAGE / "shop").rglob("*.py")
        for module in _imported(_tree(path))
        if module.split(".")[0] not in sys.stdlib_module_names and not module.startswith("shopclock.shop")
    }
    assert strangers == set()


def _imported(tree: ast.Module) -> list[str]:
    names: list[str] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names.append("." * node.level + (node.module or ""))
    return names


@pytest.mark.parametrize("module", ["shopclock.commands.main", "shopclock.app"])
def test_a_start_imports_nothing_heavy(module: str) -> None:
    run = f"import sys, {module}; print(*sorted({{name.split('.')[0] for name in sys.modules}}))"
    done = subprocess.run([sys.executable, "-c", run], cwd=TOP, capture_output=True, text=True, check=True)
    assert "shopclock" in done.stdout.split()
    assert HEAVY.intersection(done.stdout.split()) == set()


def test_one_file_alone_reads_the_clocks_of_the_machine() -> None:
    readers = {path.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*.py") if _reads_a_clock(_tree(path))}
    assert readers == {"shop/values/clock.py"}


def _reads_a_clock(tree: ast.Module) -> bool:
    return any(
        isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name | ast.Attribute)
        and node.attr in CLOCKS.get(node.value.id if isinstance(node.value, ast.Name) else node.value.attr, ())
        for node in ast.walk(tree)
    )


VAGUE = {"What", "How", "Whether", "Where", "Which", "Who", "Whose", "Why", "When", "It", "Its", "That", "This", "As"}


def test_a_docstring_begins_with_its_subject() -> None:
    vague = {
        f"{path.relative_to(PACKAGE)}: {said.splitlines()[0]}"
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and (said := ast.get_docstring(node))
        and said.split()[0] in VAGUE
    }
    assert vague == set()
