"""Copy the licences of all that is installed here into a folder, one folder a distribution: licenses.py FOLDER."""

import sys
from importlib.metadata import distributions
from pathlib import Path

BUILD_TOOLS = {"altgraph", "packaging", "pip", "pyinstaller", "pyinstaller-hooks-contrib", "setuptools", "shopclock"}
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


if __name__ == "__main__":
    main(Path(sys.argv[1]))
