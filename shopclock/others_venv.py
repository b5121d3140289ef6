"""An environment that somebody else has made: used as it is where it holds what is needed, else told what it lacks.

Runs before anything is installed, so it rests on the standard library alone and parses on Python 3.8.
"""

from __future__ import annotations

import re
import shutil
import sys
from typing import TYPE_CHECKING

from shopclock.dotvenv import OLDEST, python_of

if TYPE_CHECKING:
    from pathlib import Path

NAMED = 3
"""So many of the missing packages stand in the sentence."""
LEFT = "The environment .venv is not one that Shopclock has made; it was left as it is."
ELSE = "Or move .venv away, and the next start makes one of its own."


def serves(top: Path, extra: str) -> bool:
    """True if the environment we are in holds all; otherwise the end, with what it lacks and how it gets it."""
    missing = lacks(top, extra)
    if not missing:
        return True
    more = f" and {len(missing) - NAMED} more" if len(missing) > NAMED else ""
    sys.exit(
        f"{LEFT} It lacks {', '.join(missing[:NAMED])}{more}. Type this line, then start again:\n"
        f"    {_line(top, extra)}\n{ELSE}"
    )


def lacks(top: Path, extra: str) -> list[str]:
    """Return what pyproject.toml asks for and this environment has not; a Python that is too old is one of it."""
    if sys.version_info < OLDEST:
        return ["Python {}.{} or newer".format(*OLDEST)]
    from importlib.metadata import PackageNotFoundError, distribution

    missing = []
    for name in _asked_for(top, extra):
        try:
            distribution(name)
        except PackageNotFoundError:
            missing.append(name)
    return missing


def _asked_for(top: Path, extra: str) -> list[str]:
    """Return the names of the packages that pyproject.toml lists; before Python 3.11 nothing reads TOML."""
    text = (top / "pyproject.toml").read_text("utf-8").partition("\n[tool.")[0]
    listed = [_list_after(text, "dependencies")]
    if extra:
        listed.append(_list_after(text.partition("[project.optional-dependencies]")[2], extra))
    names = [name for some in listed for name in re.findall(r'^\s*"([A-Za-z0-9._-]+)', some, re.MULTILINE)]
    return list(dict.fromkeys(names))


def _list_after(text: str, key: str) -> str:
    found = re.search(rf"^{re.escape(key)} = \[\n(.*?)^\]", text, re.MULTILINE | re.DOTALL)
    return found.group(1) if found else ""


def _line(top: Path, extra: str) -> str:
    """Return what to type so that the packages come into the environment: by its own pip, else by uv."""
    from importlib.util import find_spec

    asked = f"'.[{extra}]'" if extra else "."
    python = python_of(top).relative_to(top)
    if find_spec("pip") is None and shutil.which("uv") is not None:
        return f"uv pip install --python {python} -e {asked}"
    seed = f"{python} -m ensurepip && " if find_spec("pip") is None else ""
    return f"{seed}{python} -m pip install -e {asked}"


def refuse_unless_it_runs(top: Path) -> None:
    """End with a sentence where the environment's Python is not there or is too old: nothing can go on in it."""
    from subprocess import DEVNULL, STDOUT, call

    test = f"import sys; sys.exit(3 if sys.version_info < {OLDEST} else 0)"
    try:
        code = call([str(python_of(top)), "-c", test], stdout=DEVNULL, stderr=STDOUT, stdin=DEVNULL)
    except OSError:
        code = 1
    if code:
        why = "Its Python is older than {}.{}.".format(*OLDEST) if code == 3 else "Its Python does not start."
        sys.exit(f"{LEFT} {why} Move .venv away, and the next start makes one of its own.")
