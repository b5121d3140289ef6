"""Build the packaged program: python3 resources/packaging/build.py [--deb].

The wheel is installed into an environment of its own under build/, PyInstaller makes a folder of it that needs no
Python, and on Debian `--deb` puts that folder into a package. Windows and macOS: the folder alone, untried.
"""

from __future__ import annotations

import argparse
import os
import platform
import re
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
TOP = HERE.parents[1]
BUILD = TOP / "build"
FOLDER = TOP / "dist" / "shopclock"
APP_ID = "org.shopclock.Shopclock"
PYINSTALLER = "pyinstaller>=6.16,<7"

UNUSED = (
    *("PySide6.QtQml", "PySide6.QtQuick", "PySide6.QtQuickWidgets", "PySide6.QtDesigner", "PySide6.QtSql"),
    *("scipy.cluster", "scipy.datasets", "scipy.integrate", "scipy.interpolate", "scipy.io", "scipy.misc"),
    *("scipy.ndimage", "scipy.odr", "scipy.signal", "scipy.stats", "scipy.special.cython_special"),
    *("readline", "tkinter", "IPython", "matplotlib", "pytest", "lib2to3", "pyqtgraph.opengl", "pyqtgraph.examples"),
)
"""Modules that a library would take along and nobody here calls: `tests/test_packaging.py` works without them."""

TRIMMED = (
    *("PySide6/Qt/translations", "PySide6/Qt/qml", "PySide6/translations"),
    *(
        f"PySide6/Qt/plugins/{name}"
        for name in (
            *("qmltooling", "sqldrivers", "networkinformation", "egldeviceintegrations", "generic", "tls"),
            *(
                f"platforms/libq{name}.so"
                for name in ("eglfs", "linuxfb", "minimal", "minimalegl", "vkkhrdisplay", "vnc")
            ),
            *(f"imageformats/libq{name}.so" for name in ("gif", "icns", "tga", "tiff", "wbmp", "webp")),
            "platformthemes/libqgtk3.so",  # would bring GTK along
        )
    ),
    *("*/tests", "*/test", "*.pyi"),
)
"""Files of the folder that go again, as patterns below it; then the libraries that nothing needs any more."""

LOADED_BY_NAME = ("libpython", "libcups", "libXcursor")
"""Libraries that are opened by name while the program runs: nothing says that it needs them."""

DEBIAN_DEPENDS = (
    *("libegl1", "libgl1", "libopengl0", "libfontconfig1", "libfreetype6", "libdbus-1-3", "libglib2.0-0"),
    *("libxkbcommon-x11-0", "libx11-xcb1", "libxcb-icccm4", "libxcb-image0", "libxcb-keysyms1", "libxcb-render-util0"),
    *("libxcb-xkb1", "libxcb-shape0", "libxcb-randr0", "libxcb-xinerama0", "libxcb-cursor0"),
)
"""What Qt takes from the system, as bootstrap looks for it too."""


def main() -> None:
    """Build what was asked for into dist/, and tell how large it is."""
    parser = argparse.ArgumentParser(description="Build the packaged program into dist/.")
    parser.add_argument("--deb", action="store_true", help="also make a Debian package of it")
    asked = parser.parse_args()
    build_folder(environment())
    print(f"{FOLDER.relative_to(TOP)}: {megabytes(FOLDER):.0f} MB")
    if asked.deb:
        package = build_deb(version())
        print(f"{package.relative_to(TOP)}: {package.stat().st_size / 1e6:.0f} MB")


def version() -> str:
    """Version of this checkout."""
    text = (TOP / "shopclock" / "__init__.py").read_text("utf-8")
    (found,) = re.findall(r'__version__ = "(.+)"', text)
    return str(found)


def environment() -> Path:
    """Install the wheel of this checkout and PyInstaller into build/venv; its Python."""
    shutil.rmtree(BUILD / "venv", ignore_errors=True)
    run(sys.executable, "-m", "venv", str(BUILD / "venv"))
    python = BUILD / "venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    run(str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", f"{TOP}[server]", PYINSTALLER)
    return python


def build_folder(python: Path) -> None:
    """Make the folder that needs no Python, and take out what nobody calls."""
    shutil.rmtree(FOLDER, ignore_errors=True)
    options = ["--onedir", "--noconfirm", "--clean", "--log-level=WARN", "--name=shopclock", "--windowed"]
    options += [f"--distpath={FOLDER.parent}", f"--workpath={BUILD / 'work'}", f"--specpath={BUILD}"]
    options += ["--collect-data=shopclock", "--collect-submodules=shopclock", "--collect-submodules=alembic.op"]
    options += ["--collect-submodules=psycopg", "--collect-submodules=psycopg_binary"]  # it looks for them by name
    options.append("--copy-metadata=shopclock")
    options += [f"--exclude-module={name}" for name in UNUSED]
    if os.name == "nt":
        options.append("--hide-console=hide-early")  # the commands write to it
    run(str(python), "-P", "-m", "PyInstaller", *options, str(HERE / "start.py"))
    inside = FOLDER / "_internal"
    run(str(python), "-P", str(HERE / "licenses.py"), str(FOLDER / "licenses"))
    for name in ("LGPL-3.0.txt", "GPL-3.0.txt"):  # of Qt and its Python: their wheels name them and bring no text
        put(HERE / name, FOLDER / "licenses")
    for pattern in TRIMMED:
        for path in list(inside.glob(pattern)):
            shutil.rmtree(path) if path.is_dir() else path.unlink()
    if sys.platform == "linux":
        drop_unneeded(inside)
        system_licenses(inside, FOLDER / "licenses" / "system")
        for path in inside.glob("libpython*.so*"):  # some builds of Python keep what a debugger reads
            run("strip", "--strip-unneeded", str(path))


def drop_unneeded(inside: Path) -> None:
    """Take out the shared libraries that nothing left needs, over and over until all are needed."""
    while True:
        files = [path for path in inside.rglob("*.so*") if path.is_file()]
        told = subprocess.run(
            ["objdump", "-p", FOLDER / "shopclock", *files], capture_output=True, text=True, check=False
        ).stdout
        needed = {line.split()[1] for line in told.splitlines() if line.strip().startswith("NEEDED")}
        libraries = [*inside.glob("lib*.so*"), *inside.glob("PySide6/Qt/lib/lib*.so*")]
        idle = [path for path in libraries if path.name not in needed and not path.name.startswith(LOADED_BY_NAME)]
        if not idle:
            return
        for path in idle:
            path.unlink()


def system_licenses(inside: Path, folder: Path) -> None:
    """Copy what Debian says of each of its libraries that are taken along, one file a package; elsewhere nothing."""
    names = [f"*/{path.name}" for path in inside.glob("lib*.so*")]
    if not names or shutil.which("dpkg-query") is None:
        return
    told = subprocess.run(["dpkg-query", "--search", *names], capture_output=True, text=True, check=False).stdout
    for package in sorted({line.split(":")[0] for line in told.splitlines()}):
        said = Path("/usr/share/doc") / package / "copyright"
        if said.is_file():
            put(said, folder, package)


def build_deb(number: str) -> Path:
    """Put the folder, the icon and what a desktop knows it by into a Debian package."""
    machine = {"x86_64": "amd64", "aarch64": "arm64"}[platform.machine()]
    root = BUILD / "deb"
    shutil.rmtree(root, ignore_errors=True)
    shutil.copytree(FOLDER, root / "usr/lib/shopclock", symlinks=True)
    (root / "usr/bin").mkdir(parents=True)
    (root / "usr/bin/shopclock").symlink_to("../lib/shopclock/shopclock")
    share = root / "usr/share"
    put(HERE / f"{APP_ID}.desktop", share / "applications")
    put(HERE / f"{APP_ID}.metainfo.xml", share / "metainfo")
    put(HERE / f"{APP_ID}.mime.xml", share / "mime/packages", f"{APP_ID}.xml")
    put(TOP / "resources/icons/shopclock.svg", share / "icons/hicolor/scalable/apps", f"{APP_ID}.svg")
    for name, called in (("LICENSE", "copyright"), ("THIRD-PARTY.md", "THIRD-PARTY.md"), ("CHANGELOG.md", "changelog")):
        put(TOP / name, share / "doc/shopclock", called)
    control = root / "DEBIAN/control"
    control.parent.mkdir()
    depends = ", ".join((f"libc6 (>= {platform.libc_ver()[1]})", *DEBIAN_DEPENDS))
    control.write_text(
        f"Package: shopclock\nVersion: {number}\nArchitecture: {machine}\nSection: misc\nPriority: optional\n"
        "Maintainer: the Shopclock maintainers <maintainers@shopclock.invalid>\n"
        f"Installed-Size: {int(megabytes(root) * 1000)}\nDepends: {depends}\n"
        "Description: times batches at the bench and tells what a piece really costs\n"
        " One press starts a stage, the next press starts the next one. The minutes of every\n"
        " piece are kept, through waits, lost pieces and power cuts, and told per finished piece.\n",
        "utf-8",
    )
    package = TOP / "dist" / f"shopclock_{number}_{machine}.deb"
    run("dpkg-deb", "--root-owner-group", "-Zzstd", "-z9", "--build", str(root), str(package))
    return package


def put(file: Path, folder: Path, name: str = "") -> None:
    """Copy a file into a folder that is made for it, readable by everybody."""
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(file, folder / (name or file.name))


def megabytes(folder: Path) -> float:
    """Size of the files below a folder."""
    return sum(path.lstat().st_size for path in folder.rglob("*") if not path.is_dir() or path.is_symlink()) / 1e6


def run(*command: str) -> None:
    """Run a command, which says itself what is wrong."""
    subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
