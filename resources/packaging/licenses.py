"""Copy the licences of Python and of all that is installed here into a folder, one folder each: licenses.py FOLDER."""

import platform
import sys
import sysconfig
from importlib.metadata import distributions
from pathlib import Path

BUILD_TOOLS = {"altgraph", "packaging", "pip", "setuptools", "shopclock"}
"""Distributions of which nothing is shipped, or which are the program itself."""

NAMES = ("LICENSE", "LICENCE", "COPYING", "NOTICE", "AUTHORS")


def main(folder: Path) -> None:
    """Copy what each distribution names as its licence; one without a text gets the line of its metadata."""
    for found in distributions():
        name = found.metadata["Name"]
        if name.lower() in BUILD_TOOLS:
            continue
        place = folder / f"{name}-{found.version}"
        place.mkdir(parents=True, exist_ok=True)
        texts = [file for file in found.files or () if file.name.upper().startswith(NAMES) and ".py" not in file.name]
        for number, text in enumerate(texts):
            (place / (text.name if number == 0 else f"{number}-{text.name}")).write_bytes(text.locate().read_bytes())
        if not texts:
            said = found.metadata.get("License-Expression") or found.metadata.get("License") or "see its home page"
            (place / "LICENSE").write_text(f"{name} {found.version}: {said}\n", "utf-8")
    own = Path(sysconfig.get_path("stdlib")) / "LICENSE.txt"
    python = folder / f"CPython-{platform.python_version()}"
    python.mkdir(parents=True, exist_ok=True)
    told = own.read_bytes() if own.is_file() else b"PSF 2.0: https://docs.python.org/3/license.html\n"
    (python / "LICENSE").write_bytes(told)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
