"""What the pages of a line say of guided work."""

from __future__ import annotations

from tests.fakes.account import account_of, row
from tests.web.guide.test_account import SLIP, send, stopped
from tests.web.guide.test_open_run import opened


def _page(client) -> str:
    return client.get("/line/l-1/").content.decode()


def test_the_page_of_the_line_tells_how_it_went(flint, clock) -> None:
    bundle = opened(flint).json()
    clock.move(minutes=30)
    account = account_of(bundle, slips=[SLIP], remarks="A quiet one.")
    row(account, "PR11").update(seconds=11, early="the rub had dried")
    send(flint, account)
    page = _page(flint)

    assert "Demo Flint operated, Demo Garnet assisted; both confirmed it." in page
    assert (
        "A sterile glove tears. Step D13, scrub with the antiseptic; way back of 2 acts."
        in page
    )
    assert "1 × Sterile gloves in the operator&#x27;s size, pairs" in page
    assert "Scrub with the antiseptic 30 s (at least 30 s)" in page
    assert "Step PR11, clean the hands after 11 s: the rub had dried" in page
    assert "4 min 0 s" in page
    assert "A quiet one." in page
    assert "&#x27;run&#x27;" not in page


def test_another_tablet_s_story_is_shown_beside(flint, signed_in, clock) -> None:
    bundle = opened(flint).json()
    clock.move(minutes=30)
    send(flint, account_of(bundle))
    send(signed_in("garnet"), account_of(bundle, tablet="t-2", bare_seconds=500))

    assert (
        "Another tablet told it otherwise, today 12:30, sent by Demo Garnet. "
        "It differs in: how long it lay open to the room." in _page(flint)
    )


def test_stopped_work_is_told_as_stopped(flint, clock) -> None:
    bundle = opened(flint).json()
    clock.move(minutes=30)
    send(flint, stopped(bundle, "D10"))
    page = _page(flint)

    assert "Covered in an emergency" in page
    assert "Stopped: covered where it was open, and help was called." in page


def test_each_procedure_for_this_line_can_be_reached(flint) -> None:
    page = _page(flint)

    assert 'href="/line/l-1/guide/?procedure=re-cover"' in page
    assert "procedure=port-needle-change" not in page


def test_the_plan_offers_its_guide_to_the_two_named(flint) -> None:
    page = flint.get("/line/l-1/plan/?with=s-garnet").content.decode()

    assert '<a class="plain-act" href="/line/l-1/guide/?with=s-garnet">' in page


def test_a_past_plan_offers_none(flint, clock) -> None:
    at = clock.at.isoformat().replace("+", "%2B")
    page = flint.get(f"/line/l-1/plan/?at={at}").content.decode()

    assert "Guide this change" not in page
