"""No test reads or writes what the program remembers for the user: each run has its own place."""

from __future__ import annotations

import os
import tempfile

from hypothesis import HealthCheck, settings

# Workers of one run inherit this from the first process, and share what it names.
os.environ.setdefault("TAPELINE_CACHE", tempfile.mkdtemp(prefix="tapeline-tests-"))
# Programs that tests start find the package compiled, whatever the user has set.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
if "PYTHONPYCACHEPREFIX" not in os.environ:
    os.environ["PYTHONPYCACHEPREFIX"] = tempfile.mkdtemp(prefix="tapeline-compiled-")
# One worker a core; more threads in each only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# No test is timed: a machine that does other things is no reason to fail.
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")
