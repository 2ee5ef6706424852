"""A policy version includes its procedures: in its digest, on record, and in a draft."""

from __future__ import annotations

import hashlib
import io
import zipfile
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import SetTexts, policy_from_texts, set_texts
from lumenkeep.core.proving.procedures import procedure_part
from lumenkeep.core.rehearsal.procedure_files import bedside_of, procedures_digest
from lumenkeep.errors import PolicyError
from lumenkeep.ward.policies.archive_file import files_from, set_as_file
from lumenkeep.ward.policies.parts import Parts
from lumenkeep.ward.versions.records import DraftRecord

if TYPE_CHECKING:
    from pathlib import Path

HEAD = """
[set]
id = "own"
title = "A set of the tests"
version = "7"
extends = "quillmere"
call = "whoever is on call in this example"
"""
LONGER = """
spare = [
  { item = "mask", count = 4, because = "A box.", source = "common-practice" },
]
"""


def written(folder: Path, room: str = "") -> str:
    folder.mkdir(exist_ok=True)
    (folder / "set.toml").write_text(HEAD, encoding="utf-8")
    if room:
        (folder / "procedures").mkdir(exist_ok=True)
        (folder / "procedures" / "room.toml").write_text(room, encoding="utf-8")
    return str(folder)


def own(files: dict[str, str]) -> list[SetTexts]:
    return [*set_texts("quillmere"), SetTexts.of("own", {"set.toml": HEAD, **files})]


def test_a_changed_procedure_is_another_version(tmp_path: Path) -> None:
    bare = load_policy(written(tmp_path)).digest
    first = load_policy(written(tmp_path, LONGER)).digest
    then = load_policy(written(tmp_path, LONGER.replace("count = 4", "count = 14")))

    assert len({bare, first, then.digest}) == 3
    assert [spare.count for spare in bedside_of(then).room] == [14]


def test_a_version_is_read_from_its_texts_with_the_digest_it_had(
    tmp_path: Path,
) -> None:
    name = written(tmp_path, LONGER)
    first, again = load_policy(name), policy_from_texts(set_texts(name))

    assert again.digest == first.digest
    assert [texts.files for texts in again.procedures] == [
        texts.files for texts in first.procedures
    ]
    assert bedside_of(again).room == bedside_of(first).room
    assert procedures_digest(again) == procedures_digest(first)


def test_a_version_of_old_keeps_its_digest_and_takes_the_procedures_shipped_now() -> (
    None
):
    layers = [SetTexts(texts.name, texts.rules) for texts in set_texts("quillmere")]
    digest = b""
    for texts in layers:
        whole = b"".join(f"{n}\0{t}\0".encode() for n, t in texts.files)
        below = digest.hex().encode() if digest else b""
        digest = hashlib.sha256(whole + below).digest()

    old = policy_from_texts(layers)

    assert old.digest == digest.hex()
    assert old.digest != load_policy("quillmere").digest
    assert bedside_of(old) == bedside_of(load_policy("quillmere"))


def test_a_procedure_that_is_no_text_is_a_fault_of_the_set(tmp_path: Path) -> None:
    name = written(tmp_path, LONGER)
    (tmp_path / "procedures" / "room.toml").write_bytes(b"\xff")

    with pytest.raises(PolicyError) as caught:
        load_policy(name)

    [fault] = caught.value.faults
    assert fault.code == "policy-not-utf-8"
    assert fault.where == f"{tmp_path.name}/procedures/room.toml"


def test_an_edited_part_leaves_the_procedures_as_they_are() -> None:
    parts = Parts.of(own({"procedures/room.toml": LONGER}))
    files = parts.with_part("set", "set", {**parts.set_table, "title": "Another"})

    assert files["procedures/room.toml"] == LONGER
    assert "Another" in files["set.toml"]
    assert parts.changed() == []


def draft(files: dict[str, str]) -> DraftRecord:
    return DraftRecord(
        "d", "t", "own", 1, set_texts("quillmere"), files, 1, (), "p",
        datetime(2026, 3, 5, tzinfo=UTC),
    )  # fmt: skip


def test_procedures_are_taken_out_and_in_with_the_set() -> None:
    files = {"set.toml": HEAD, "procedures/room.toml": LONGER}

    assert files_from(set_as_file("own", files), draft(files)) == files


def test_procedures_may_lie_beside_the_set_without_a_folder_round_them() -> None:
    files = {"set.toml": HEAD, "procedures/room.toml": LONGER}
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w") as packed:
        for name, text in files.items():
            packed.writestr(name, text)

    assert files_from(into.getvalue(), draft(files)) == files


def test_a_draft_s_own_order_is_proved() -> None:
    [published] = [t for t in set_texts("quillmere") if t.name == "published"]
    text = dict(published.files)["procedures/re-cover.toml"]
    steps = text.split("[[step]]")
    assert len(steps) > 3
    wrong = "[[step]]".join([steps[0], *reversed(steps[1:])])
    policy = policy_from_texts(own({"procedures/re-cover.toml": wrong}))

    part = procedure_part(policy, date(2026, 3, 5))

    assert not part.holds
    assert part.breaches
    assert {b.rules[0][1].split(": ")[0] for b in part.breaches} <= {
        "own/procedures/re-cover.toml",
        "published/procedures/closing.toml",
    }


def test_a_number_of_the_rules_below_is_not_said_anew_where_nothing_reads_it(
    tmp_path: Path,
) -> None:
    number = """
[number.hand-rub]
means = "Rubbing the hands"
unit = "s"
values = [{ from = 2024-01-01, value = 50, source = "common-practice" }]
"""
    (tmp_path / "set.toml").write_text(HEAD, encoding="utf-8")
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "own.toml").write_text(number, encoding="utf-8")

    with pytest.raises(PolicyError) as caught:
        bedside_of(load_policy(str(tmp_path)))

    [fault] = caught.value.faults
    assert fault.code == "policy-number-unread"
    assert fault.where == f"{tmp_path.name}/procedures/own.toml: number.hand-rub"


def test_a_time_said_anew_in_another_unit_is_named_once_where_it_stands(
    tmp_path: Path,
) -> None:
    number = """
[number.hand-rub]
means = "Rubbing the hands"
unit = "percent"
values = [{ from = 2024-01-01, value = 50, source = "common-practice" }]
"""
    (tmp_path / "set.toml").write_text(HEAD + number, encoding="utf-8")

    with pytest.raises(PolicyError) as caught:
        bedside_of(load_policy(str(tmp_path)))

    [fault] = caught.value.faults
    assert fault.code == "policy-wrong-unit"
    assert fault.where == f"{tmp_path.name}/set.toml: number.hand-rub"
