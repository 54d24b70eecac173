"""No test reads or writes what the program remembers for the user."""

from __future__ import annotations

import os

os.environ["TAPELINE_CACHE"] = "off"
