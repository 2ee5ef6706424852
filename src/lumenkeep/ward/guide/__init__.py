"""The bedside run of a change plan: opened, carried offline, told, charted."""
