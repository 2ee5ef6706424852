"""Setting a hospital up from its file, and changing a password."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User

from lumenkeep.ward.chart.models import StaffProfile, Ward
from lumenkeep.web.set_up_run import FAULTY, OK, set_up_run

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
EXAMPLE = Path(__file__).parents[3] / "docs" / "examples" / "hospital.toml"


def passwords(said: str) -> dict[str, str]:
    rows = [line.split() for line in said.splitlines() if ", password " in line]
    return {row[0].rstrip(":"): row[-1] for row in rows}


def test_wards_and_people_are_made_and_each_can_sign_in(client: Client, capsys) -> None:
    assert set_up_run(str(EXAMPLE)) == OK

    told = passwords(capsys.readouterr().out)
    assert set(told) == {"agate", "quartz"}
    assert [ward.key for ward in Ward.objects.all()] == ["heron", "wren"]
    sent = {"username": "quartz", "password": told["quartz"]}
    assert client.post("/sign-in/", sent).status_code == 302
    assert client.get("/", follow=True).status_code == 200


def test_a_second_time_nobody_gets_a_new_password(capsys, tmp_path: Path) -> None:
    set_up_run(str(EXAMPLE))
    before = User.objects.get(username="quartz").password
    capsys.readouterr()
    changed = tmp_path / "hospital.toml"
    text = EXAMPLE.read_text("utf-8")
    changed.write_text(text.replace('name = "Heron"', 'name = "Heron East"'))

    assert set_up_run(str(changed)) == OK

    assert passwords(capsys.readouterr().out) == {}
    assert User.objects.get(username="quartz").password == before
    assert Ward.objects.get(key="heron").name == "Heron East"


def test_a_faulty_file_makes_nothing(capsys, tmp_path: Path) -> None:
    faulty = tmp_path / "hospital.toml"
    text = EXAMPLE.read_text("utf-8")
    faulty.write_text(text.replace('policy = "quillmere"', 'policy = "nowhere"'))

    assert set_up_run(str(faulty)) == FAULTY

    said = capsys.readouterr().err
    assert said.count("hospital-no-policy") == 2
    assert not Ward.objects.exists()
    assert not StaffProfile.objects.exists()


def test_a_person_keeps_the_key_that_the_chart_names(capsys, tmp_path: Path) -> None:
    set_up_run(str(EXAMPLE))
    other = tmp_path / "hospital.toml"
    key = StaffProfile.objects.get(user__username="quartz").key
    text = EXAMPLE.read_text("utf-8")
    other.write_text(text.replace(f'key = "{key}"', 'key = "s-somebody"'))
    capsys.readouterr()

    assert set_up_run(str(other)) == FAULTY

    said = capsys.readouterr().err
    assert f"'quartz' is on record with the key '{key}' already." in said
    assert StaffProfile.objects.get(user__username="quartz").key == key


def test_a_file_that_is_not_there_is_named(capsys) -> None:
    assert set_up_run("nowhere.toml") == FAULTY
    assert "hospital-not-read" in capsys.readouterr().err


def test_a_person_changes_the_own_password(client: Client) -> None:
    set_up_run(str(EXAMPLE))
    user = User.objects.get(username="quartz")
    user.set_password("the first long password")
    user.save()
    client.force_login(user)
    new = "quite another long one"

    refused = client.post(
        "/password/",
        {"old_password": "wrong", "new_password1": new, "new_password2": new},
    )
    done = client.post(
        "/password/",
        {
            "old_password": "the first long password",
            "new_password1": new,
            "new_password2": new,
        },
    )

    assert b"It is not changed yet." in refused.content
    assert done.url == "/"
    user.refresh_from_db()
    assert user.check_password(new)
