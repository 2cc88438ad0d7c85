"""`python -m diagnose` is the command `flawtree`."""

from diagnose.cli import run

run()
