"""Tapeline: from what a riding trainer says to a true-to-scale plan and a printed card."""

from __future__ import annotations

__version__ = "0.1.0"
