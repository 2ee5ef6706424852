"""The policy to read: who may, which sets are listed, and what a day does."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from django.contrib.auth.models import User
from tests.fakes.clock import FixedClock
from tests.web.hospital import make_wards

from lumenkeep.core.policy import load_policy
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.models import Ward
from lumenkeep.ward.chart.pages import context
from lumenkeep.ward.policies.reading.sets import sets_to_read

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    from lumenkeep.core.policy import Policy

PASSWORD = "a password of some length"  # noqa: S105
READ = "/policy/quillmere/read/"


@pytest.fixture
def signed_in(
    client: Client, db: None, monkeypatch: pytest.MonkeyPatch
) -> Callable[[str], Client]:
    still = FixedClock()
    monkeypatch.setattr(context, "SystemClock", lambda: still)
    make_wards()
    make_accounts(STAFF, PASSWORD)

    def as_(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return as_


@pytest.mark.parametrize("path", ["/policy/", READ, "/policy/quillmere/chart.svg"])
def test_nobody_reads_without_signing_in(client: Client, db: None, path: str) -> None:
    response = client.get(path)

    assert response.status_code == 302
    assert response.url.startswith("/sign-in/")


def test_the_sets_in_use_come_first_and_then_the_shipped_ones(signed_in) -> None:
    page = signed_in("agate").get("/policy/").content.decode()

    in_use, others = page.split("Shipped with Lumenkeep")
    assert "On Kestrel, Wren and Heron" in in_use
    assert READ in in_use
    assert READ not in others
    assert "/policy/us-guideline/read/" in others
    assert "/policy/uk-guideline/read/" in others


def test_a_ward_with_a_set_of_its_own_is_listed_apart(signed_in) -> None:
    Ward.objects.filter(key="heron").update(policy_set="us-guideline")

    page = signed_in("agate").get("/policy/").content.decode()

    assert "On Kestrel and Wren" in page
    assert "On Heron" in page


def test_a_ward_whose_set_is_faulty_is_named_with_its_fault(signed_in) -> None:
    Ward.objects.filter(key="heron").update(policy_set="no-such-set")

    page = signed_in("agate").get("/policy/").content.decode()

    assert "The policy of Heron cannot be read." in page
    assert "There is no policy set" in page
    assert "On Kestrel and Wren" in page


def test_every_page_leads_to_the_policy(signed_in) -> None:
    page = signed_in("agate").get("/ward/wren/").content.decode()

    assert 'href="/policy/"' in page


def test_a_set_that_is_not_there_is_not_found(signed_in) -> None:
    client = signed_in("agate")

    for path in ("/policy/no-such/read/", "/policy/no-such/chart.svg"):
        assert client.get(path).status_code == 404
    assert client.get(READ + "?day=yesterday").status_code == 404


def test_the_whole_policy_is_on_the_page(signed_in) -> None:
    page = signed_in("agate").get(READ).content.decode()

    for rule in load_policy("quillmere").every_rule():
        assert page.count(f'id="rule-{rule.id}"') == 1, rule.id
    assert page.count("<svg") == 2  # the mark, and the chart
    assert "style=" not in page


def test_a_day_before_the_policy_is_explained_and_not_a_fault(signed_in) -> None:
    response = signed_in("agate").get(READ + "?day=2020-01-01")

    assert response.status_code == 200
    assert "has no value on 2020-01-01" in response.content.decode()
    chart = signed_in("agate").get("/policy/quillmere/chart.svg?day=2020-01-01")
    assert chart.status_code == 404


def test_the_chart_is_a_drawing_of_its_own(signed_in) -> None:
    response = signed_in("agate").get("/policy/quillmere/chart.svg")

    assert response["Content-Type"] == "image/svg+xml"
    assert ET.fromstring(response.content).tag.endswith("svg")  # noqa: S314  our own


def test_two_versions_of_one_set_have_addresses_of_their_own(signed_in) -> None:
    class TwoVersions:
        def in_force(self, name: str, ward: str | None = None) -> Policy:
            return load_policy("uk-guideline" if ward == "wren" else name)

    wards = context.page_context().chart.wards()
    found, _ = sets_to_read(TwoVersions(), wards)  # type: ignore[arg-type]

    keys = [one.key for one in found]
    assert keys == ["quillmere", "uk-guideline", "us-guideline"]
    assert [[ward.key for ward in one.wards] for one in found] == [
        ["kestrel", "heron"],
        ["wren"],
        [],
    ]
