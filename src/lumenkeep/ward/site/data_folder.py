"""Where a hospital's data lies, and the secret that signs its sessions.

Imported by the settings, so it needs neither Django nor anything running.
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

FOLDER_VARIABLE = "LUMENKEEP_DATA"
SECRET_VARIABLE = "LUMENKEEP_SECRET_KEY"  # noqa: S105  the variable's name, no secret
SECRET_BYTES = 50
OWNER_ONLY_FOLDER = 0o700
OWNER_ONLY_FILE = 0o600


def data_folder() -> Path:
    """Return the folder of the database; it need not exist yet."""
    named = os.environ.get(FOLDER_VARIABLE)
    if named:
        return Path(named).expanduser()
    shared = os.environ.get("XDG_DATA_HOME")
    base = Path(shared) if shared else Path.home() / ".local" / "share"
    return base / "lumenkeep"


def make_data_folder() -> Path:
    """Return the data folder, made readable by its owner alone where it was missing."""
    folder = data_folder()
    folder.mkdir(parents=True, exist_ok=True, mode=OWNER_ONLY_FOLDER)
    return folder


def secret_key() -> str:
    """Return the signing key: from the environment, the data folder, or a new one.

    A new key lasts as long as the process. `keep_secret_key` makes it stay.
    """
    named = os.environ.get(SECRET_VARIABLE)
    if named:
        return named
    try:
        return _secret_file().read_text(encoding="ascii").strip()
    except OSError:
        return secrets.token_urlsafe(SECRET_BYTES)


def keep_secret_key() -> None:
    """Write a signing key into the data folder, once, unless the environment names one.

    Call it before the settings are read; sessions then outlive a restart.
    """
    if os.environ.get(SECRET_VARIABLE):
        return
    make_data_folder()
    try:
        handle = os.open(
            _secret_file(), os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY_FILE
        )
    except FileExistsError:
        return
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(SECRET_BYTES))


def _secret_file() -> Path:
    return data_folder() / "secret-key"
