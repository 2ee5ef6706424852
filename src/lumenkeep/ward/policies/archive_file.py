"""Take a draft out as one file and in again: a zip of its TOML files, safely read."""

from __future__ import annotations

import io
import re
import zipfile
from typing import TYPE_CHECKING

from lumenkeep.core.model.reading import shown
from lumenkeep.core.policy.file_text import tables_of, text_of
from lumenkeep.errors import Fault, PolicyError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lumenkeep.ward.versions.records import DraftRecord

GREATEST_BYTES = 1_000_000
MOST_FILES = 40
NAME = re.compile(
    r"(?:(?!procedures/)[A-Za-z0-9_-]{1,80}/)?"
    r"((?:procedures/)?[A-Za-z0-9_-]{1,60}\.toml)"
)
# The least that a zip can say, so that the same set always gives the same bytes.
NO_TIME = (1980, 1, 1, 0, 0, 0)


def set_as_file(set_id: str, files: Mapping[str, str]) -> bytes:
    """Return a zip with one folder, named for the set, that holds its files."""
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, text in sorted(files.items()):
            info = zipfile.ZipInfo(f"{set_id}/{name}", NO_TIME)
            info.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(info, text.encode("utf-8"))
    return into.getvalue()


def files_from(raw: bytes, draft: DraftRecord) -> dict[str, str]:
    """Return the files of a packed set, to take the place of a draft's.

    Parameters
    ----------
    raw
        The zip as sent.
    draft
        The draft: the set must be the same one, on the same ground.

    Raises
    ------
    PolicyError
        Every fault of the file: too large, not a zip, odd names, not TOML, another
        set. What the files *say* is for the reader to judge.
    """
    faults: list[Fault] = []
    texts = _unpacked(raw, faults)
    tables = _parsed(texts, faults)
    if not faults:
        _must_be_this_set(tables, draft, faults)
    if faults:
        raise PolicyError(faults)
    return texts


def _unpacked(raw: bytes, faults: list[Fault]) -> dict[str, str]:
    if len(raw) > GREATEST_BYTES:
        faults.append(_too_large("the file"))
        return {}
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            return _texts(packed, faults)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError) as error:
        fault = Fault(
            "policy-file-not-a-zip",
            f"This is no zip file that can be opened: {error}.",
            "file",
            "choose the file that was taken out here, or pack the .toml files anew",
        )
        faults.append(fault)
        return {}


def _texts(packed: zipfile.ZipFile, faults: list[Fault]) -> dict[str, str]:
    texts: dict[str, str] = {}
    members = [info for info in packed.infolist() if not info.is_dir()]
    if not members or len(members) > MOST_FILES:
        faults.append(
            Fault(
                "policy-file-count",
                f"There are {len(members)} files in it.",
                "file",
                f"pack 1 to {MOST_FILES} .toml files of one set",
            )
        )
        return {}
    left = GREATEST_BYTES
    for info in members:
        found = NAME.fullmatch(info.filename)
        if found is None or found[1] in texts:
            faults.append(
                Fault(
                    "policy-file-bad-name",
                    f"{shown(info.filename)} is no file of a set, or is there twice.",
                    "file",
                    "keep the .toml files in one folder, and procedures in procedures/ in it; letters, digits, - and _",
                )
            )
            continue
        with packed.open(info) as opened:
            content = opened.read(left + 1)
        left -= len(content)
        if left < 0:
            faults.append(_too_large(info.filename))
            return {}
        texts[found[1]] = _decoded(content, info.filename, faults)
    return texts


def _decoded(content: bytes, name: str, faults: list[Fault]) -> str:
    text = text_of(content, name)
    if isinstance(text, Fault):
        faults.append(text)
        return ""
    return text


def _parsed(
    texts: Mapping[str, str], faults: list[Fault]
) -> dict[str, dict[str, object]]:
    tables = {}
    for name, text in texts.items():
        held = tables_of(text, name)
        if isinstance(held, Fault):
            faults.append(held)
        else:
            tables[name] = held
    return tables


def _must_be_this_set(
    tables: Mapping[str, Mapping[str, object]], draft: DraftRecord, faults: list[Fault]
) -> None:
    """Refuse another set, or the same one on other ground."""
    metas = [t["set"] for t in tables.values() if isinstance(t.get("set"), dict)]
    if len(metas) != 1:
        return  # The reader says what is wrong with it.
    meta = metas[0]
    assert isinstance(meta, dict)  # noqa: S101  just looked at
    wanted = {"extends": draft.below[-1].name if draft.below else None}
    faults += [
        Fault(
            "policy-file-other-set",
            f"The file's '{key}' is {shown(meta.get(key))}; here it is {shown(value)}.",
            f"set.{key}",
            "bring it into a draft of its own set, or correct that line",
        )
        for key, value in wanted.items()
        if meta.get(key) != value
    ]


def _too_large(what: str) -> Fault:
    return Fault(
        "policy-file-too-large",
        f"{what[:1].upper()}{what[1:]} is too large for a policy set.",
        "file",
        f"keep it below {GREATEST_BYTES:,} bytes",
    )
