"""`python -m diagnose`: the same as the command `flawtree`."""

from __future__ import annotations

import sys

if __name__ == "__main__":
    try:
        from diagnose.cli import main
    except ImportError:
        from diagnose.knowledge.review.__main__ import main as review_rules

        sys.exit(review_rules([]))
    sys.exit(main())
