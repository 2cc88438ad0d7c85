"""From what is known to what is likely and what to do: chaining, beliefs, remedies, plan."""

import os

# Beliefs multiply thousands of small matrices: a thread pool would wait far longer than it works.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
