"""What Snath is measured by, each beside a named peer in the same run: `python -m benchmarks`."""

import os

# Before numpy is loaded: a second thread of its linear algebra spins, and counts as work of the one core asked about.
os.environ.setdefault("OMP_NUM_THREADS", "1")
