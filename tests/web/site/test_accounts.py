"""Accounts: nobody sees a page unasked, guesses run out, people are known by role."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import PermissionDenied
from django.test import RequestFactory, override_settings
from django.urls import include, path
from tests.web.hospital import make_wards

from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF, WARDS
from lumenkeep.ward.chart.access import person_signed_in, wards_open_to
from lumenkeep.ward.chart.models import StaffProfile
from lumenkeep.ward.chart.store.repository import StaffRepository
from lumenkeep.ward.site.rights import may_see_ward

PASSWORD = "a password of some length"  # noqa: S105


def _secret_page(request):
    from django.http import HttpResponse

    return HttpResponse("a line")


urlpatterns = [
    path("line/", _secret_page),
    path("", include("django.contrib.auth.urls")),
]


@pytest.fixture
def staff(db) -> None:
    make_wards()
    make_accounts(STAFF, PASSWORD)


@pytest.mark.django_db
@override_settings(ROOT_URLCONF=__name__)
def test_a_page_that_says_nothing_asks_for_a_sign_in(client) -> None:
    answer = client.get("/line/")

    assert answer.status_code == 302
    assert answer.url == "/sign-in/?next=/line/"


@override_settings(ROOT_URLCONF=__name__)
def test_who_is_signed_in_sees_it_under_a_strict_policy(client, staff) -> None:
    client.force_login(User.objects.get(username="flint"))

    answer = client.get("/line/")

    assert answer.content == b"a line"
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_the_fifth_bad_password_locks_the_account_out(staff, settings) -> None:
    from django.contrib.auth import authenticate

    def attempt(password: str):
        request = RequestFactory().post("/sign-in/")
        return authenticate(request, username="flint", password=password)

    for _ in range(5):
        assert attempt("a guess") is None

    assert attempt(PASSWORD) is None
    assert settings.AXES_FAILURE_LIMIT == 5


def test_the_same_password_serves_before_any_guess(staff) -> None:
    from django.contrib.auth import authenticate

    request = RequestFactory().post("/sign-in/")

    assert authenticate(request, username="flint", password=PASSWORD)


def test_the_person_signed_in_is_known_by_key_and_role(staff) -> None:
    request = RequestFactory().get("/")
    request.user = User.objects.get(username="basalt")

    person = person_signed_in(request)

    assert (person.key, person.role, person.glove) == (
        "s-basalt",
        "charge-nurse",
        "7.5",
    )


def test_an_account_of_nobody_on_the_wards_is_refused(staff) -> None:
    request = RequestFactory().get("/")
    for user in (AnonymousUser(), User.objects.create(username="stranger")):
        request.user = user
        with pytest.raises(PermissionDenied):
            person_signed_in(request)


def test_a_nurse_sees_her_ward_an_educator_all() -> None:
    by_key = {person.key: person for person in STAFF}

    assert [w.key for w in wards_open_to(by_key["s-flint"], WARDS)] == ["kestrel"]
    assert len(wards_open_to(by_key["s-agate"], WARDS)) == 3
    assert not may_see_ward(by_key["s-basalt"], "wren")


def test_people_of_a_ward_are_those_of_it_and_those_of_none(staff) -> None:
    people = StaffRepository().people("wren")

    assert {p.ward for p in people} == {"wren", None}
    assert len(StaffRepository().people(None)) == StaffProfile.objects.count()


def _settings(**environment: str) -> dict[str, object]:
    code = (
        "import json; from lumenkeep.web import settings as s; print(json.dumps("
        "{'secure': s.SESSION_COOKIE_SECURE and s.CSRF_COOKIE_SECURE,"
        " 'hosts': s.ALLOWED_HOSTS, 'hasher': s.PASSWORD_HASHERS[0],"
        " 'debug': s.DEBUG, 'key': s.SECRET_KEY}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)


def test_outside_the_tests_passwords_are_hashed_slowly(tmp_path) -> None:
    found = _settings(LUMENKEEP_DATA=str(tmp_path / "none"))

    assert "Argon2" in found["hasher"]
    assert found["debug"] is False
    assert not (tmp_path / "none").exists()


def test_named_hosts_bring_secure_cookies(tmp_path) -> None:
    found = _settings(LUMENKEEP_DATA=str(tmp_path), LUMENKEEP_HOSTS="ward.example, ")

    assert found["secure"]
    assert "ward.example" in found["hosts"]
    assert not _settings(LUMENKEEP_DATA=str(tmp_path))["secure"]


def test_the_signing_key_is_made_once_and_is_the_owner_s_alone(
    tmp_path, monkeypatch
) -> None:
    from lumenkeep.ward.site.data_folder import keep_secret_key, secret_key

    monkeypatch.setenv("LUMENKEEP_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("LUMENKEEP_SECRET_KEY", raising=False)
    assert secret_key() != secret_key()

    keep_secret_key()
    kept = secret_key()
    keep_secret_key()

    assert secret_key() == kept
    assert (tmp_path / "data" / "secret-key").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "data").stat().st_mode & 0o777 == 0o700
