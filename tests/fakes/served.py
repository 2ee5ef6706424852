"""The demo hospital, really served by its own process, for tests that need that."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING
from urllib.error import HTTPError, URLError
from urllib.request import urlopen

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PASSWORD = "demo-only-quillmere"  # noqa: S105
PATIENCE_SECONDS = 300


def free_port() -> int:
    """Return a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def fill_demo_in(folder: Path) -> None:
    """Fill the demo in a folder, to be copied: filling takes longer than serving."""
    code = "from lumenkeep.web.run import *; prepare_demo(say_on_stderr)"
    subprocess.run(
        [sys.executable, "-c", code],
        env={
            **os.environ,
            "LUMENKEEP_DATA": str(folder / "demo"),
            "LUMENKEEP_DEMO": "1",
        },
        stderr=subprocess.DEVNULL,
        check=True,
    )


@contextmanager
def served_demo(folder: Path, *more: str, filled: Path | None = None) -> Iterator[str]:
    """Serve the demo from ``folder``; yield its address, and stop it afterwards.

    ``filled`` is a folder with a demo to begin with; without one it fills its own.

    A server of its own, because the chart's guards forbid what a test database's
    clean-up does, and because this is what a ward runs.
    """
    if filled is not None:
        shutil.copytree(filled, folder, dirs_exist_ok=True)
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    log = (folder / "server.log").open("ab")
    server = subprocess.Popen(
        [sys.executable, "-m", "lumenkeep.web", "demo", "--port", str(port), *more],
        env={**os.environ, "LUMENKEEP_DATA": str(folder)},
        stdout=log,
        stderr=log,
    )
    try:
        _wait_for(address, server, folder)
        yield address
    finally:
        server.terminate()
        server.wait(timeout=PATIENCE_SECONDS)
        log.close()


def _wait_for(address: str, server: subprocess.Popen[bytes], folder: Path) -> None:
    end = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < end and server.poll() is None:
        try:
            with urlopen(address):  # noqa: S310
                return
        except HTTPError:
            return
        except (URLError, OSError):
            time.sleep(0.05)
    pytest.fail("the server did not start:\n" + (folder / "server.log").read_text())
