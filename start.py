#!/usr/bin/env python3
"""Set up floorwright in this folder and run it. Needs Python 3.11 or newer and nothing else.

    python3 start.py demo     build the demo shop in out/demo and run the whole job on it
    python3 start.py serve    the browser app, with the demo shop until there is another
    python3 start.py test     lint, types, the wheel in a bare environment, and all tests, in a browser too

Everything lands in .venv beside this file, installed from a lock file with hashes. uv is used where it is
there, else pip.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
LOCKS = {"run": ROOT / "requirements.lock", "dev": ROOT / "requirements-dev.lock"}


def in_venv(folder: Path, name: str) -> Path:
    """Path of a program in an environment, on any system."""
    return folder / ("Scripts" if os.name == "nt" else "bin") / (f"{name}.exe" if os.name == "nt" else name)


def run(*command: str | Path, cwd: Path = ROOT, env: dict[str, str] | None = None) -> None:
    """Run a program; stop with its exit status when it fails."""
    status = subprocess.call([str(part) for part in command], cwd=cwd, env=env)
    if status:
        sys.exit(status)


def make_environment(folder: Path) -> None:
    """Create a virtual environment, with a sentence where the system's Python has no venv."""
    try:
        venv.EnvBuilder(with_pip=True, clear=folder.exists()).create(folder)
    except (subprocess.CalledProcessError, ImportError, OSError) as error:
        sys.exit(
            f"No virtual environment could be made in {folder} ({error}). "
            "On Debian or Ubuntu: sudo apt install python3-venv, then run this again."
        )


def install(folder: Path, *arguments: str | Path) -> None:
    """Install into an environment with uv where it is there, else with pip."""
    python = in_venv(folder, "python")
    uv = shutil.which("uv")
    if uv:
        run(uv, "pip", "install", "--quiet", "--python", python, *arguments)
    else:
        run(python, "-m", "pip", "install", "-qq", "--disable-pip-version-check", *arguments)


def prepare(kind: str) -> Path:
    """Bring .venv in line with the lock file of this kind ("run" or "dev") and return its Python."""
    python = in_venv(VENV, "python")
    stamp = VENV / "installed.txt"
    wanted = {
        name: hashlib.sha256(lock.read_bytes() + (ROOT / "pyproject.toml").read_bytes()).hexdigest()
        for name, lock in LOCKS.items()
    }
    have = stamp.read_text(encoding="utf-8").split() if stamp.is_file() and python.exists() else []
    # The dev set holds the run-time set at the same versions.
    if wanted[kind] in have or wanted["dev"] in have:
        return python
    print(f"Setting up .venv from {LOCKS[kind].name} (once; a minute or so) ...", flush=True)
    if not python.exists():
        make_environment(VENV)
    stamp.unlink(missing_ok=True)
    install(VENV, "--require-hashes", "-r", LOCKS[kind])
    install(VENV, "--no-deps", "--no-build-isolation", "-e", ROOT)
    stamp.write_text(wanted[kind] + "\n", encoding="utf-8")
    return python


def demo(arguments: list[str]) -> None:
    """Build the demo shop in out/demo and run the job on it."""
    run(prepare("run"), "-m", "floorwright", "demo", *(arguments or [Path("out") / "demo"]))


def serve(arguments: list[str]) -> None:
    """Serve the browser app; shops lie in out/ unless one is named."""
    python = prepare("run")
    (ROOT / "out").mkdir(exist_ok=True)
    # A path that was typed means the folder in which it was typed.
    named = [str(Path(each).absolute()) if Path(each).exists() else each for each in arguments]
    try:
        run(python, "-m", "floorwright", "serve", *named, cwd=ROOT / "out")
    except KeyboardInterrupt:
        sys.exit(130)


def check_wheel(python: Path) -> None:
    """Build the wheel, install it into a bare environment and run the demo from another folder."""
    print("Wheel in a bare environment ...", flush=True)
    with tempfile.TemporaryDirectory(prefix="floorwright-wheel-") as name:
        place = Path(name)
        run(python, "-m", "build", "--wheel", "--no-isolation", "--outdir", place / "dist", ROOT)
        wheel = next((place / "dist").glob("*.whl"))
        make_environment(place / "bare")
        install(place / "bare", "--require-hashes", "-r", LOCKS["run"])
        install(place / "bare", "--no-deps", wheel)
        away = place / "away from the checkout"
        away.mkdir()
        environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
        run(in_venv(place / "bare", "floorwright"), "demo", away / "shop", cwd=away, env=environment)


BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge")
BROWSER_PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


def find_browser() -> str | None:
    """An installed browser for the browser tests; None where there is none."""
    named = os.environ.get("FLOORWRIGHT_BROWSER")
    found = named or next((path for name in BROWSERS if (path := shutil.which(name))), None)
    return found or next((place for place in BROWSER_PLACES if Path(place).exists()), None)


def prepare_browser() -> dict[str, str]:
    """The environment of the tests, with a browser in it; Debian's is installed where that is allowed."""
    found = find_browser()
    may_install = hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get")
    if found is None and may_install:
        print("Installing Chromium for the browser tests ...", flush=True)
        quiet = {"stdout": subprocess.DEVNULL, "env": os.environ | {"DEBIAN_FRONTEND": "noninteractive"}}
        for command in (["apt-get", "update", "-qq"], ["apt-get", "install", "-y", "-qq", "chromium"]):
            subprocess.call(command, **quiet)
        found = find_browser()
    if found is None:
        print(
            "No browser was found, so the browser tests are left out; install Chrome or Chromium "
            "(on Debian or Ubuntu: sudo apt install chromium), or name one in FLOORWRIGHT_BROWSER.",
            flush=True,
        )
        return dict(os.environ)
    return os.environ | {"FLOORWRIGHT_BROWSER": found}


def test(arguments: list[str]) -> None:
    """Run every check; the test runner comes last, so that its closing line closes the output."""
    python = prepare("dev")
    if not arguments:
        print("Lint ...", flush=True)
        run(python, "-m", "ruff", "check", ".")
        run(python, "-m", "ruff", "format", "--check", "--quiet", ".")
        print("Types ...", flush=True)
        run(python, "-m", "mypy")
        check_wheel(python)
        print("Tests ...", flush=True)
    run(python, "-m", "pytest", *(arguments or ["-n", "auto", "--dist", "loadgroup"]), env=prepare_browser())


def main() -> None:
    """Dispatch on the first word."""
    if sys.version_info < (3, 11):  # noqa: UP036  this file is what an older Python meets first
        sys.exit(f"floorwright needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    commands = {"demo": demo, "serve": serve, "test": test}
    if len(sys.argv) < 2 or sys.argv[1] not in commands:
        sys.exit((__doc__ or "").strip())
    commands[sys.argv[1]](sys.argv[2:])


if __name__ == "__main__":
    main()
