"""Where the commands keep what they worked out, so that they need not do it twice."""

from __future__ import annotations

import os
from pathlib import Path


def cache_folder() -> Path:
    """Return the user's cache folder for Lumenkeep; it need not exist, and may go."""
    named = os.environ.get("XDG_CACHE_HOME")
    return (Path(named) if named else Path.home() / ".cache") / "lumenkeep"
