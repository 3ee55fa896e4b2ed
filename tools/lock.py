"""Write requirements.lock and requirements-dev.lock anew from pyproject.toml (for maintainers; needs uv).

The locks hold hashes for every system and Python version, and no addresses.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def main() -> None:
    """Compile both locks; the dev lock is held to the versions of the run-time lock."""
    uv = shutil.which("uv")
    if uv is None:
        sys.exit("uv is needed to write the lock files; install it with: pip install uv")
    common = [uv, "pip", "compile", "--universal", "--generate-hashes", "--no-annotate", "--python-version", "3.11"]
    environment = os.environ | {"UV_CUSTOM_COMPILE_COMMAND": "python tools/lock.py"}
    for arguments in (
        ["--extra", "checkout", "pyproject.toml", "-o", "requirements.lock"],
        ["--extra", "dev", "-c", "requirements.lock", "pyproject.toml", "-o", "requirements-dev.lock"],
    ):
        subprocess.run([*common, *arguments], check=True, cwd=ROOT, env=environment)


if __name__ == "__main__":
    main()
