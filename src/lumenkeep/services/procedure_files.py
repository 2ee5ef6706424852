"""Find the procedure files of a policy set and of the sets it extends, and read them."""

from __future__ import annotations

import hashlib
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lumenkeep.asepsis.read import ProcedureFiles, read_bedside
from lumenkeep.errors import Fault
from lumenkeep.policy.archive import set_texts
from lumenkeep.policy.files import SHIPPED_FOLDER

if TYPE_CHECKING:
    from lumenkeep.asepsis.procedure import Bedside
    from lumenkeep.policy import Policy

FOLDER = "procedures"


def load_bedside(set_name: str, policy: Policy) -> Bedside:
    """Return what a set says about procedures.

    Parameters
    ----------
    set_name
        A shipped set, or the path of a folder, as for ``load_policy``.
    policy
        The set as ``load_policy`` returned it.

    Raises
    ------
    PolicyError
        Holding every fault of the procedure files.
    """
    return read_bedside([_files(folder) for folder in _folders(set_name)], policy)


def procedures_digest(set_name: str) -> str:
    """Return what changes when a procedure file of a set, or of one below, changes."""
    digest = hashlib.sha256()
    for folder in _folders(set_name):
        for path in sorted((folder / FOLDER).glob("*.toml")):
            digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()


def _folders(set_name: str) -> list[Path]:
    """Return the folders of a set that loads, from the lowest set it extends up to it."""
    folders: list[Path] = []
    beside, wanted = Path.cwd(), set_name
    for texts in reversed(set_texts(set_name)):
        shipped = SHIPPED_FOLDER / wanted
        is_shipped = "/" not in wanted and shipped.is_dir()
        beside = shipped if is_shipped else (beside / wanted).resolve()
        folders.append(beside)
        wanted = _extends(dict(texts.files))
    return list(reversed(folders))


def _extends(files: dict[str, str]) -> str:
    for text in files.values():
        named = tomllib.loads(text).get("set", {}).get("extends")
        if named:
            return str(named)
    return ""


def _files(folder: Path) -> ProcedureFiles:
    tables: dict[str, dict[str, Any]] = {}
    faults: list[Fault] = []
    for path in sorted((folder / FOLDER).glob("*.toml")):
        try:
            tables[path.name] = tomllib.loads(path.read_bytes().decode("utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
            faults.append(
                Fault(
                    "policy-not-toml",
                    f"This file cannot be read as TOML: {error}.",
                    f"{folder.name}/{FOLDER}/{path.name}",
                    "mend the line named; texts stand between quotes",
                )
            )
    return ProcedureFiles(folder.name, tables, tuple(faults))
