"""A hospital's file: wards and people, and every fault of it at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from lumenkeep.errors import InputError
from lumenkeep.ward.site.hospital_file import hospital_from_text

EXAMPLE = Path(__file__).parents[4] / "docs" / "examples" / "hospital.toml"
WARD = """
[[ward]]
key = "heron"
name = "Heron"
zone = "America/Chicago"
unit = "ward"
policy = "quillmere"
"""
PERSON = """
[[person]]
key = "s-agate"
sign_in = "agate"
name = "Demo Agate"
role = "educator"
"""


def codes(text: str) -> list[str]:
    with pytest.raises(InputError) as refused:
        hospital_from_text(text, "h.toml")
    return [fault.code for fault in refused.value.faults]


def test_the_example_says_who_works_where() -> None:
    hospital = hospital_from_text(EXAMPLE.read_text("utf-8"), "hospital.toml")

    assert [ward.key for ward in hospital.wards] == ["heron", "wren"]
    (agate, educator), (_, nurse) = hospital.people
    assert (agate, educator.ward, educator.glove) == ("agate", None, "6.5")
    assert (nurse.ward, nurse.glove) == ("heron", None)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("x = [", "hospital-not-toml"),
        (PERSON, "hospital-missing"),
        (WARD.replace("America/Chicago", "Moon/Base"), "hospital-unknown-zone"),
        (WARD.replace('"ward"', '"attic"'), "hospital-unknown-word"),
        (WARD.replace('"heron"', '"all"'), "hospital-bad-key"),
        (WARD.replace('"heron"', '"He ron"'), "hospital-bad-key"),
        (WARD + WARD, "hospital-same-key"),
        (WARD + PERSON + PERSON.replace("s-agate", "s-b"), "hospital-same-key"),
        (WARD + PERSON.replace("educator", "boss"), "hospital-unknown-word"),
        (WARD + PERSON + 'ward = "attic"', "hospital-unknown-word"),
        (WARD + PERSON.replace('"educator"', '"nurse"'), "hospital-missing"),
        (WARD + PERSON.replace('"agate"', '"A gate"'), "hospital-bad-key"),
        (WARD + PERSON + 'shoe = "38"', "hospital-unknown-key"),
    ],
)
def test_each_fault_is_named(text: str, code: str) -> None:
    assert codes(text) == [code]


def test_a_nurse_of_every_ward_is_named_so() -> None:
    nurse = PERSON.replace('"educator"', '"nurse"') + 'ward = "all"\n'

    [(_, person)] = hospital_from_text(WARD + nurse, "h.toml").people

    assert (person.role, person.ward) == ("nurse", None)


def test_all_faults_come_at_once() -> None:
    text = WARD.replace("America/Chicago", "Moon/Base") + PERSON.replace(
        "educator", "boss"
    )

    assert codes(text) == ["hospital-unknown-zone", "hospital-unknown-word"]
