"""The pages through Django's client: who may, what is saved, what is refused, what stays."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from tests.web.hospital import add_line, make_wards
from tests.web.policies.life.versions_made import AGATE, draft_with, proved

from lumenkeep.core.policy import load_policy
from lumenkeep.core.policy.archive import policy_from_texts
from lumenkeep.demo.fill import make_accounts
from lumenkeep.demo.hospital import STAFF
from lumenkeep.ward.chart.store.repository import ChartRepository
from lumenkeep.ward.long_work.jobs import JobSoFar
from lumenkeep.ward.long_work.models import LongJob
from lumenkeep.ward.policies.repository import VersionRepository
from lumenkeep.ward.policies.solve import answer
from lumenkeep.ward.policies.steps import hand_over
from lumenkeep.ward.versions.models import PolicyDraft, PolicyStep

if TYPE_CHECKING:
    from django.test import Client

PASSWORD = "a password of some length"  # noqa: S105
SEEN = re.compile(r'name="seen" value="([0-9a-f]+)"')


@pytest.fixture
def repository(db, clock) -> VersionRepository:
    make_wards()
    make_accounts(STAFF, PASSWORD)
    chart = ChartRepository(clock)
    clock.at -= timedelta(days=1)
    add_line(chart, clock, 1)
    clock.at += timedelta(days=1)
    return VersionRepository()


@pytest.fixture
def draft(repository, clock):
    return draft_with(repository, clock, "dressing-transparent", 5)


@pytest.fixture
def as_(client: Client, repository):
    def sign_in(name: str) -> Client:
        client.force_login(User.objects.get(username=name))
        return client

    return sign_in


def _seen(client: Client, path: str) -> str:
    return SEEN.search(client.get(path).content.decode())[1]


def _number(client: Client, key: str, **typed: str) -> object:
    path = f"/policy/draft/{key}/number/chg-mass/"
    form = {
        "seen": _seen(client, path),
        "unit": "g",
        "means": "Mass from which chlorhexidine may be used",
        "values[0].value": "1100",
        "values[0].from": "2024-01-01",
        "values[0].source": "common-practice",
        "do": "save",
    }
    return client.post(path, form | {k.replace("_", "."): v for k, v in typed.items()})


@pytest.mark.parametrize(
    "path",
    ["", "number/chg-mass/", "rule/exclude/chg-mass/", "order/dressings/", "about/",
     "new/interval/", "new/note/", "source/", "children/", "rule/interval/uac-stays/",
     "rule/note/pvi-repeated/", "rule/require/require-none-on-broken-skin/"],
)  # fmt: skip
def test_every_page_of_a_draft_is_shown(as_, draft, path: str) -> None:
    assert as_("agate").get(f"/policy/draft/{draft.key}/{path}").status_code == 200


def test_a_draft_begins_with_what_it_loosens_and_says_anew(as_, draft) -> None:
    page = as_("agate").get(f"/policy/draft/{draft.key}/").content.decode()

    openly = page.index("Loosened, of what this set is held to")
    assert openly < page.index("Said anew by quillmere") < page.index("last saved by")


def test_others_may_read_and_not_touch(as_, draft) -> None:
    nurse = as_("flint")
    base = f"/policy/draft/{draft.key}/"

    assert nurse.get("/policy/changes/").status_code == 200
    page = nurse.get(base)
    assert page.status_code == 200
    assert b"Bring it in" not in page.content
    for path in ("number/chg-mass/", "order/dressings/", "about/"):
        assert nurse.get(base + path).status_code == 403
        assert nurse.post(base + path).status_code == 403
    for path in ("file/bring/", "hand-over/", "put-away/"):
        assert nurse.post(base + path).status_code == 403
    assert nurse.post("/policy/changes/start/", {"ward": "wren"}).status_code == 403


def test_the_children_of_other_wards_stay_out_of_a_nurse_s_sight(as_, draft) -> None:
    path = f"/policy/draft/{draft.key}/children/"

    assert b"Demo Sorrel" in as_("agate").get(path).content
    assert b"Demo Sorrel" in as_("flint").get(path).content
    assert b"Demo Sorrel" not in as_("onyx").get(path).content


def test_the_comparison_says_what_the_command_says_and_what_was_not_compared(
    as_, draft, clock, monkeypatch
) -> None:
    def solved(one, two, day, *, again=False, by=""):
        told = {"what": "compare", "day": day.isoformat()}
        for name, (layers, _) in (("other", one), ("policy", two)):
            told[name] = [{"name": x.name, "files": dict(x.files)} for x in layers]
        return JobSoFar(done=answer(told, lambda _: None))

    monkeypatch.setattr("lumenkeep.ward.policies.pages.effects.comparison_of", solved)

    page = as_("agate").get(f"/policy/draft/{draft.key}/comparison/").content.decode()

    assert "value: 7 days → 5 days" in page
    assert "dressing-transparent" in page
    assert "Not compared:" in page
    assert "Ways back and spares" in page
    assert "same for every child" not in page


def test_what_is_worked_out_is_stopped_by_who_may_edit_and_begun_again(
    as_, draft
) -> None:
    base = f"/policy/draft/{draft.key}/"

    def page(who: str, part: str) -> str:
        return as_(who).get(f"{base}{part}/").content.decode()

    for part, says in {"proof": "Being proved", "comparison": "Looking for"}.items():
        assert says in page("agate", part)
        assert f'action="{base}stop/"' in page("agate", part)
        assert f"Stop the {part}" not in page("flint", part)
    assert as_("flint").post(f"{base}stop/").status_code == 403
    assert as_("agate").get(f"{base}stop/").status_code == 405
    assert set(LongJob.objects.values_list("asked_by", flat=True)) == {"s-agate"}

    def stop(part: str) -> str:
        return str(as_("agate").post(f"{base}stop/", {"what": part}).url)

    # Each button stops its own.
    assert stop("comparison") == f"{base}#effects"
    assert "It was stopped before there was an answer." in page("agate", "comparison")
    assert "Stop the proof" in page("agate", "proof")
    stop("proof")
    assert set(LongJob.objects.values_list("state", flat=True)) == {"stopped"}
    for part in ("proof", "comparison"):
        assert "It was stopped before there was an answer." in page("agate", part)
        assert f"Stop the {part}" not in page("agate", part)
    as_("agate").get(f"{base}proof/?again")
    assert LongJob.objects.filter(state="waiting").count() == 1


def test_a_version_s_comparison_is_stopped_too(as_, repository, clock, draft) -> None:
    version = proved(repository, clock, draft)
    base = f"/policy/version/{version.id}/"

    assert (
        f'action="{base}stop/"'
        in as_("beryl").get(base + "comparison/").content.decode()
    )
    assert as_("flint").post(base + "stop/").status_code == 403
    assert as_("beryl").post(base + "stop/").url == base
    assert "It was stopped" in as_("beryl").get(base + "comparison/").content.decode()


def test_where_nobody_works_the_page_says_so_instead_of_waiting(
    as_, draft, settings
) -> None:
    settings.LONG_WORK_MISSED_SECONDS = 0

    for part in ("proof", "comparison"):
        page = as_("agate").get(f"/policy/draft/{draft.key}/{part}/").content.decode()
        assert "the process that does it is not running" in page
        assert "hx-trigger" in page


def test_a_draft_that_is_what_is_in_force_is_told_as_the_same_files(
    as_, draft, monkeypatch
) -> None:
    monkeypatch.setattr(
        "lumenkeep.ward.policies.pages.effects.policy_from_texts",
        lambda _: load_policy("quillmere"),
    )

    page = as_("agate").get(f"/policy/draft/{draft.key}/comparison/").content.decode()

    assert "Both are the same files, word by word." in page
    assert "Looking for" not in page


def test_every_form_is_guarded_against_forgery(repository, draft) -> None:
    from django.test import Client

    strict = Client(enforce_csrf_checks=True)
    strict.force_login(User.objects.get(username="agate"))

    for path in ("number/chg-mass/", "order/dressings/", "hand-over/", "put-away/"):
        assert strict.post(f"/policy/draft/{draft.key}/{path}").status_code == 403


def test_a_draft_is_started_from_what_is_in_force(as_, repository) -> None:
    answer = as_("agate").post("/policy/changes/start/", {"ward": "wren"})

    made = PolicyDraft.objects.get()
    assert answer.url == f"/policy/draft/{made.key}/"
    assert made.set_id == "quillmere-own"
    policy = policy_from_texts(repository.draft(made.key).layers)
    assert policy.version == "2026.2"


def test_a_saved_number_stands_in_the_draft_and_nowhere_else(
    as_, repository, draft
) -> None:
    answer = _number(as_("agate"), draft.key)

    assert answer.status_code == 302
    fresh = repository.draft(draft.key)
    policy = policy_from_texts(fresh.layers)
    assert policy.numbers["chg-mass"].values[0].value == 1100
    assert "[number.chg-mass]" in fresh.files["numbers.toml"]
    assert "exclude" not in "".join(fresh.files.values())


def test_what_says_the_same_as_below_is_not_kept_twice(as_, repository, draft) -> None:
    client = as_("agate")
    _number(client, draft.key)
    path = f"/policy/draft/{draft.key}/number/chg-mass/"
    client.post(path, {"seen": _seen(client, path), "do": "as-below"})

    assert "chg-mass" not in "".join(repository.draft(draft.key).files.values())


def test_a_fault_stands_beside_its_field_and_nothing_typed_is_lost(as_, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/number/chg-mass/"
    answer = client.post(
        path,
        {
            "seen": _seen(client, path), "means": "Mass, reworded", "unit": "g",
            "values[0].value": "a kilo", "values[0].from": "2024-01-01",
            "values[0].source": "", "do": "save",
        },
    )  # fmt: skip

    text = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="a kilo" aria-invalid="true" aria-describedby="v0-fault"' in text
    assert "&#x27;a kilo&#x27; is not a value in grams." in text
    assert "Mass, reworded" in text
    assert PolicyDraft.objects.get().revision == draft.revision


def test_a_number_below_its_floor_is_refused_beside_the_value(as_, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/number/chg-dry/"
    answer = client.post(
        path,
        {
            "seen": _seen(client, path), "means": "Drying", "unit": "s",
            "values[0].value": "10", "values[0].from": "2024-01-01",
            "values[0].source": "label-CHG", "do": "save",
        },
    )  # fmt: skip

    assert answer.status_code == 422
    assert "needs at least 30 s" in answer.content.decode()


def test_two_who_save_one_part_do_not_overwrite_each_other(
    as_, repository, draft
) -> None:
    path = f"/policy/draft/{draft.key}/number/chg-mass/"
    seen = _seen(as_("agate"), path)
    _number(as_("beryl"), draft.key, **{"values[0]_value": "1150"})
    form = {
        "seen": seen, "means": "Mass", "unit": "g", "values[0].value": "1200",
        "values[0].from": "2024-01-01", "values[0].source": "common-practice",
    }  # fmt: skip
    met = as_("agate").post(path, form)

    text = met.content.decode()
    assert met.status_code == 409
    assert "Demo Beryl saved this" in text
    assert "1150 grams" in text
    assert 'value="1200"' in text
    policy = policy_from_texts(repository.draft(draft.key).layers)
    assert policy.numbers["chg-mass"].values[0].value == 1150
    kept = as_("agate").post(path, form | {"seen": SEEN.search(text)[1]})
    assert kept.status_code == 302
    assert PolicyDraft.objects.get().editors == ["s-agate", "s-beryl"]


def test_two_who_save_different_parts_both_keep_theirs(as_, repository, draft) -> None:
    path = f"/policy/draft/{draft.key}/about/"
    seen = _seen(as_("agate"), path)
    _number(as_("beryl"), draft.key)
    form = {"seen": seen, "title": "Ours", "version": "9", "call": "the nurse"}

    assert as_("agate").post(path, form).status_code == 302
    policy = policy_from_texts(repository.draft(draft.key).layers)
    assert (policy.title, policy.version) == ("Ours", "9")
    assert policy.numbers["chg-mass"].values[0].value == 1100


def test_an_order_is_moved_one_place_at_a_time(as_, repository, draft) -> None:
    client, path = as_("agate"), f"/policy/draft/{draft.key}/order/dressings/"
    client.post(path, {"seen": _seen(client, path), "do": "up:gauze"})

    policy = policy_from_texts(repository.draft(draft.key).layers)
    assert policy.dressings == ("transparent-chg-gel", "gauze", "transparent")


def test_a_rule_keeps_its_shape_when_it_is_saved_unchanged(
    as_, repository, draft
) -> None:
    """What the form shows and sends back is what the rule said."""
    from lumenkeep.ward.policies.pages.rule_form import FIELDS, table_from, typed_from
    from lumenkeep.ward.policies.parts import Parts

    parts = Parts.of(draft.layers)
    day = repository.draft(draft.key).edited_at.date()
    for kind in FIELDS:
        if kind == "require":
            continue
        for id_ in parts.ids(kind):
            table = parts.table(kind, id_)
            asked = {key: v for key, v in table.items() if key != "reports"}
            assert table_from(kind, id_, typed_from(table, day)) == asked, id_


def test_a_condition_is_added_and_dropped_without_saving(as_, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/new/exclude/"
    seen = _seen(client, path)
    form = {"seen": seen, "because": "Typed already", "add0": "mass", "do": "add:0"}

    added = client.post(path, form)
    assert added.status_code == 200
    assert 'name="c0.0.limit"' in added.content.decode()
    assert "Typed already" in added.content.decode()
    form |= {"c0.0.fact": "mass", "c0.0.test": "below", "do": "drop:0.0"}
    dropped = client.post(path, form).content.decode()
    assert 'name="c0.0.limit"' not in dropped
    assert PolicyDraft.objects.get().revision == draft.revision


def test_a_new_rule_is_written_with_a_number_of_its_own(as_, repository, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/new/exclude/"
    form = {
        "seen": _seen(client, path), "because": "Too light for a film.",
        "source": "common-practice", "bars": ["transparent"], "if_unknown": "ask",
        "c0.0.fact": "mass", "c0.0.test": "below", "c0.0.limit": "*own",
        "c0.0.limit.value": "700", "c0.0.limit.unit": "g",
        "c0.0.limit.from": "2024-01-01", "c0.0.limit.source": "", "do": "save",
    }  # fmt: skip
    refused = client.post(path, form)
    assert refused.status_code == 422
    assert "No source is chosen" in refused.content.decode()

    form["c0.0.limit.source"] = "common-practice"
    assert client.post(path, form).status_code == 302
    policy = policy_from_texts(repository.draft(draft.key).layers)
    assert "too-light-for-a-film" in {rule.id for rule in policy.exclusions}


def test_a_rule_taken_out_can_be_had_back(as_, repository, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/rule/exclude/film-broken-skin/"

    def ids() -> set[str]:
        policy = policy_from_texts(repository.draft(draft.key).layers)
        return {rule.id for rule in policy.exclusions}

    client.post(path, {"seen": _seen(client, path), "do": "take-out"})
    assert "film-broken-skin" not in ids()
    assert b"takes the rule out" in client.get(path).content
    client.post(path, {"seen": _seen(client, path), "do": "as-below"})
    assert "film-broken-skin" in ids()


# ------------------------------------------------------------------- as a file


def _zip(files: dict[str, str]) -> SimpleUploadedFile:
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w") as packed:
        for name, text in files.items():
            packed.writestr(name, text)
    return SimpleUploadedFile("set.zip", into.getvalue())


def test_what_is_taken_out_can_be_brought_in(as_, repository, draft) -> None:
    client, base = as_("agate"), f"/policy/draft/{draft.key}/"
    out = client.get(base + "file/")
    _number(client, draft.key)
    revision = repository.draft(draft.key).revision
    sent = SimpleUploadedFile("set.zip", out.content)
    answer = client.post(base + "file/bring/", {"file": sent, "revision": revision})

    assert answer.status_code == 302
    assert dict(repository.draft(draft.key).files) == dict(draft.files)


def test_procedures_come_with_the_file_and_are_told_as_changed(
    as_, repository, draft
) -> None:
    client, base = as_("agate"), f"/policy/draft/{draft.key}/"
    room = (
        'spare = [{ item = "mask", count = 4, because = "A box.", '
        'source = "common-practice" }]'
    )
    files = {**draft.files, "procedures/room.toml": room}
    answer = client.post(
        base + "file/bring/", {"file": _zip(files), "revision": draft.revision}
    )

    assert answer.status_code == 302
    assert repository.draft(draft.key).files["procedures/room.toml"] == room
    page = client.get(base).content.decode()
    assert "Procedures, file room.toml" in page
    assert "written anew, as a whole" in page


@pytest.mark.parametrize(
    ("files", "says"),
    [
        ({"../set.toml": "x"}, "is no file of a set"),
        ({"a/b/set.toml": ""}, "is no file of a set"),
        ({"set.toml": "\0"}, "not a text in UTF-8"),
        ({"set.toml": "[set"}, "cannot be read as TOML"),
        ({"set.toml": '[set]\nid = "x"\nextends = "us-guideline"'}, "another set|here"),
        ({"set.toml": '[set]\nid = "x"\nextends = "quillmere"'}, "title"),
        (
            {
                "set.toml": '[set]\nid = "x"\ntitle = "x"\nversion = "1"\n'
                'extends = "quillmere"\ncall = "x"',
                "procedures/room.toml": 'spare = [{ item = "masc", count = 1, '
                'because = "x", source = "common-practice" }]',
            },
            "No item .{1,6}masc",
        ),
        ({f"f{n}.toml": "" for n in range(50)}, "50 files"),
        ({"set.toml": "# " + "x" * 1_200_000}, "too large"),
    ],
)
def test_a_file_that_is_no_such_set_is_refused_with_its_faults(
    as_, repository, draft, files, says: str
) -> None:
    client = as_("agate")
    answer = client.post(
        f"/policy/draft/{draft.key}/file/bring/",
        {"file": _zip(files), "revision": draft.revision},
    )

    assert answer.status_code == 422
    assert re.search(says, answer.content.decode())
    assert dict(repository.draft(draft.key).files) == dict(draft.files)


def test_a_file_is_not_brought_in_over_another_s_work(as_, repository, draft) -> None:
    client = as_("agate")
    _number(client, draft.key)
    answer = client.post(
        f"/policy/draft/{draft.key}/file/bring/",
        {"file": _zip(dict(draft.files)), "revision": draft.revision},
    )

    assert answer.status_code == 422
    assert b"Somebody saved this draft" in answer.content


# -------------------------------------------------------------------- its life


def test_a_draft_is_handed_over_only_with_the_proof_of_its_own_text(
    as_, draft, monkeypatch
) -> None:
    client, path = as_("agate"), f"/policy/draft/{draft.key}/hand-over/"
    digest = policy_from_texts(draft.layers).digest
    run = JobSoFar()
    monkeypatch.setattr(
        "lumenkeep.ward.policies.pages.draft.proof_of", lambda *_, **__: run
    )

    assert client.post(path).status_code == 409
    run.done = {"proved": False, "policy": {"digest": digest}}
    assert client.post(path).status_code == 409
    run.done = {"proved": True, "policy": {"digest": digest}}
    assert client.post(path).status_code == 302
    kinds = list(PolicyStep.objects.values_list("kind", flat=True))
    assert kinds == ["drafted", "proved"]


def test_from_hand_over_to_the_ward(as_, repository, clock, draft) -> None:
    version = proved(repository, clock, draft)
    base = f"/policy/version/{version.id}/"

    assert b"Waits for another educator" in as_("agate").get(base).content
    assert as_("agate").post(base + "approve/").status_code == 409
    assert as_("flint").post(base + "approve/").status_code == 403
    assert as_("beryl").post(base + "start/", {"ward": "wren"}).status_code == 409
    assert as_("beryl").post(base + "approve/", {"note": "Read."}).status_code == 302
    later = {"ward": ["kestrel"], "when": "later", "starts-at": "2026-11-25T14:00"}
    assert as_("agate").post(base + "start/", later).status_code == 302
    assert b"starts later" in as_("agate").get("/policy/changes/").content
    assert b"quillmere-own" not in as_("flint").get("/line/l-1/plan/").content
    clock.move(hours=3)
    assert b"quillmere-own" in as_("flint").get("/line/l-1/plan/").content
    assert as_("agate").post(base + "retire/").status_code == 302
    assert b"quillmere-own" not in as_("flint").get("/line/l-1/plan/").content


@pytest.mark.parametrize("typed", ["", "soon", "2026-11-24T09:00"])
def test_a_start_that_is_none_is_refused(
    as_, repository, clock, draft, typed: str
) -> None:
    version = proved(repository, clock, draft)
    base = f"/policy/version/{version.id}/"
    as_("beryl").post(base + "approve/")
    form = {"ward": ["kestrel"], "when": "later", "starts-at": typed}

    answer = as_("agate").post(base + "start/", form)
    assert answer.status_code == 409
    assert not PolicyStep.objects.filter(kind="in-force").exists()


def test_a_planned_start_is_called_off_on_the_page(
    as_, repository, clock, draft
) -> None:
    version = proved(repository, clock, draft)
    base = f"/policy/version/{version.id}/"
    as_("beryl").post(base + "approve/")
    later = {"ward": ["wren"], "when": "later", "starts-at": "2026-11-26T08:00"}
    as_("agate").post(base + "start/", later)
    step = PolicyStep.objects.get(kind="in-force")

    assert as_("agate").post(f"/policy/step/{step.pk}/call-off/").status_code == 302
    assert b"<s>Wren: in force from" in as_("agate").get(base).content
    assert as_("agate").post(f"/policy/step/{step.pk}/call-off/").status_code == 409


def test_who_approves_sees_the_proof_and_the_children(
    as_, repository, clock, draft
) -> None:
    version = proved(repository, clock, draft)
    base = f"/policy/version/{version.id}/"

    assert b"Every child gets an answer" in as_("beryl").get(base).content
    assert b"Demo Sorrel" in as_("beryl").get(base + "children/").content


def test_who_approves_sees_first_what_is_loosened(
    as_, repository, clock, draft
) -> None:
    loose = (
        '[[loosened]]\nid = "require-port-needle-stay"\nbecause = "Ours last."\n'
        'source = "common-practice"\n'
    )
    files = {**dict(draft.layers[-1].files), "loosened.toml": loose}
    assert repository.save_draft(draft, files, AGATE.key, clock.now())
    version = proved(repository, clock, repository.draft(draft.key))

    page = as_("beryl").get(f"/policy/version/{version.id}/").content.decode()

    before, _, _ = page.partition("Read it, then approve it")
    assert "held to: require-port-needle-stay. Ours last." in before


def test_who_approves_sees_what_is_not_proved(as_, repository, clock, draft) -> None:
    digest = policy_from_texts(draft.layers).digest
    said = {"not_proved": ["That a kit is full."], "believed": ["Nobody is 300 kg."]}
    proof = {"proved": True, "policy": {"digest": digest}, **said}
    version = hand_over(repository, clock, draft, AGATE, proof)

    page = as_("beryl").get(f"/policy/version/{version.id}/").content

    for words in (b"Not proved", b"That a kit is full.", b"Nobody is 300 kg."):
        assert words in page


def test_the_draft_shows_what_is_not_proved(as_, draft, monkeypatch) -> None:
    run = JobSoFar()
    run.done = {
        "proved": True,
        "properties": [],
        "not_proved": ["That a kit is full."],
        "believed": ["Nobody is 300 kg."],
    }
    monkeypatch.setattr(
        "lumenkeep.ward.policies.pages.effects.proof_of", lambda *_, **__: run
    )

    page = as_("agate").get(f"/policy/draft/{draft.key}/proof/").content

    for words in (b"Not proved", b"That a kit is full.", b"Nobody is 300 kg."):
        assert words in page


def test_two_drafts_of_one_set_are_named_apart(as_, repository) -> None:
    for _ in range(2):
        as_("agate").post("/policy/changes/start/", {"ward": "wren"})

    names = {policy_from_texts(d.layers).version for d in repository.drafts()}
    assert names == {"2026.2", "2026.3"}


def test_of_two_like_conditions_none_is_lost_in_silence(as_, repository, draft) -> None:
    client = as_("agate")
    path = f"/policy/draft/{draft.key}/new/note/"
    form = {"seen": _seen(client, path), "because": "Small.", "kind": "caution"}
    form |= {"source": "common-practice", "do": "save"}
    for place in (0, 1):
        form |= {f"c0.{place}.fact": "mass", f"c0.{place}.test": "below"}
        form |= {f"c0.{place}.limit": "chg-mass"}
    answer = client.post(path, form)

    assert answer.status_code == 422
    assert b"compared in the same way" in answer.content
    assert repository.draft(draft.key).revision == draft.revision
