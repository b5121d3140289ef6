"""python3 -m tests.sizes: how much code there is, and where it is long. A report: size is no gate."""

from __future__ import annotations

import ast
import sys
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

TOP = Path(__file__).resolve().parents[1]
LONGEST = 15


class Part(NamedTuple):
    """A file or a function, by its lines."""

    lines: int
    name: str


def functions(path: Path) -> list[Part]:
    """All functions of a file, those inside classes and functions too, decorators counted in."""
    named = path.relative_to(TOP).as_posix()
    found = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = min([node.lineno, *(decorator.lineno for decorator in node.decorator_list)])
            found.append(Part((node.end_lineno or first) - first + 1, f"{named}:{node.lineno} {node.name}"))
    return found


def main() -> int:
    """Print a line a folder, sums, then the longest files and functions of the package."""
    print(f"{'lines':>7} {'files':>6}  {'longest file':32} {'longest function':60} folder")
    files: dict[str, list[Part]] = {}
    inside: dict[str, list[Part]] = {}
    for top in ("shopclock", "tests"):
        paths = sorted((TOP / top).rglob("*.py"), key=lambda path: (path.parent, path))
        files[top], inside[top] = [], []
        for folder, group in groupby(paths, key=lambda path: path.parent):
            mine = list(group)
            sizes = [Part(len(path.read_text("utf-8").splitlines()), path.relative_to(TOP).as_posix()) for path in mine]
            found = [part for path in mine for part in functions(path)]
            files[top] += sizes
            inside[top] += found
            _row(sizes, found, folder.relative_to(TOP).as_posix())
        _row(files[top], inside[top], f"{top} in all")
    for what, parts in (("files", files["shopclock"]), ("functions", inside["shopclock"])):
        print(f"\nLongest {what} of the package:")
        for part in sorted(parts, reverse=True)[:LONGEST]:
            print(f"{part.lines:>7}  {part.name}")
    return 0


def _row(files: list[Part], functions: list[Part], name: str) -> None:
    longest, function = max(files), max(functions, default=Part(0, ""))
    file = f"{longest.lines} {longest.name.rpartition('/')[2]}"
    said = f"{function.lines} {function.name.rpartition('/')[2]}" if function.lines else ""
    print(f"{sum(part.lines for part in files):>7,} {len(files):>6}  {file:32} {said:60} {name}")


if __name__ == "__main__":
    sys.exit(main())
