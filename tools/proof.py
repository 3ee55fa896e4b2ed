"""Write docs/proof.md: every comparison with a published value, ours beside the printed one.

Run `python tools/proof.py`; it runs tests/published and reads the comparisons that passed.
"""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "proof.md"
HEAD = """# Proof: published values against ours

Every line is a comparison that a test makes: the value printed in a source, the value floorwright computes, and the
difference. The heading of each part is what the test file says about its source; "from memory" marks values that
were recalled from a source and recomputed, not seen again. Written by `python tools/proof.py`, not by hand.
"""


def collect() -> list[dict[str, object]]:
    """Run the published tests and return the comparisons that passed."""
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder) / "proof.jsonl"
        # Freshly compiled tests, or the assertion hook is not in them.
        environment = os.environ | {"FLOORWRIGHT_PROOF": str(target), "PYTHONDONTWRITEBYTECODE": "1"}
        command = [sys.executable, "-m", "pytest", "tests/published", "-p", "no:xdist", "-p", "no:cacheprovider"]
        status = subprocess.call(command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL)
        if status:
            sys.exit(f"tests/published does not pass (status {status}); run it first")
        return [json.loads(line) for line in target.read_text(encoding="utf-8").splitlines()]


def page(lines: list[dict[str, object]]) -> str:
    """The page as Markdown."""
    parts = [HEAD]
    for file in sorted({str(line["file"]) for line in lines}):
        doc = ast.get_docstring(ast.parse((ROOT / file).read_text(encoding="utf-8"))) or file
        title, _, rest = doc.partition("\n")
        parts += [f"\n## {title.rstrip('.')}\n", rest.strip() + "\n" if rest.strip() else "", f"`{file}`\n"]
        parts += ["| test | what | printed | ours | difference |", "|---|---|---:|---:|---:|"]
        seen = set()
        for line in lines:
            if line["file"] != file:
                continue
            row = (
                f"| {line['test']} | `{str(line['expression']).replace('|', '¦')}` | {line['printed']:.10g} "
                f"| {line['ours']:.10g} | {float(str(line['ours'])) - float(str(line['printed'])):.2g} |"
            )
            if row not in seen:
                seen.add(row)
                parts.append(row)
    return "\n".join(parts) + "\n"


def main() -> None:
    """Write the page."""
    text = page(collect())
    PAGE.write_text(text, encoding="utf-8")
    print(f"{PAGE.relative_to(ROOT)}: {text.count(chr(10) + '| ') - text.count('| test |')} comparisons")


if __name__ == "__main__":
    main()
