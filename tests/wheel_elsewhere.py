"""Build the wheel, install it in a clean environment elsewhere, and run the main job from `/`.

Run by `make wheel`; leaves nothing behind and exits with 1 when anything differs from the checkout.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
SHIPPED = ("rules", "cases")


def main() -> int:
    """Build, compare, install, run."""
    with tempfile.TemporaryDirectory() as folder:
        there = Path(folder)
        _run([sys.executable, "-m", "build", "--outdir", str(there), str(ROOT)], ROOT)
        wheel = next(there.glob("*.whl"))
        missing = _expected() - _packed(wheel)
        if missing:
            print(f"missing from the wheel: {sorted(missing)[:5]}")
            return 1
        environment = there / "venv"
        _run([sys.executable, "-m", "venv", str(environment)], there)
        python = environment / "bin" / "python"
        _run([str(python), "-m", "pip", "install", "--quiet", str(wheel)], there)
        case = next(iter(sorted((ROOT / "cases").rglob("*.yaml"))))
        flawtree = environment / "bin" / "flawtree"
        answer = _run([str(flawtree), "diagnose", str(case)], Path("/"))
        page = _run([str(flawtree), "show", "pinholes"], Path("/"))
    good = "LIKELIEST CAUSES" in answer and "PINHOLES" in page
    print("wheel: built, installed elsewhere, main job run from /" if good else answer)
    return 0 if good else 1


def _expected() -> set[str]:
    """What the checkout says must be in the wheel: every rule, case and module."""
    files = {f"diagnose/{f.relative_to(ROOT)}" for name in SHIPPED for f in (ROOT / name).rglob("*.yaml")}
    return files | {str(f.relative_to(ROOT)) for f in (ROOT / "diagnose").rglob("*.py")}


def _packed(wheel: Path) -> set[str]:
    return set(zipfile.ZipFile(wheel).namelist())


def _run(command: list[str], folder: Path) -> str:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode:
        print(done.stdout, done.stderr, sep="\n")
        sys.exit(1)
    return done.stdout


if __name__ == "__main__":
    sys.exit(main())
