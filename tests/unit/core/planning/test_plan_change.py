"""The change plan, part by part, under the demo hospital's policy."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from lumenkeep.core.planning import plan_change
from lumenkeep.core.policy import load_policy
from lumenkeep.files.case.case_file import case_from_mapping

if TYPE_CHECKING:
    from pathlib import Path

    from lumenkeep.core.planning import Plan
    from lumenkeep.core.planning.plan import SupplyLine

AT = datetime(2026, 3, 5, 9, 30, tzinfo=UTC)
NEVER = object()
SIX_YEARS = timedelta(days=6 * 366)
THREE_WEEKS = timedelta(days=21)


def child(age: timedelta | None, **facts: Any) -> dict[str, Any]:
    """Return a child with every fact known but those given as ``NEVER``."""
    known: dict[str, Any] = {
        "gestation_at_birth": "39w0d",
        "weights": [{"at": AT.isoformat(), "g": 20_000 if age == SIX_YEARS else 3500}],
        "sensitivities": [],
        "skin_at_site": "intact",
        "unit": "ward",
        **facts,
    }
    if age is not None:
        known["born"] = (AT - age).isoformat()
    return {key: value for key, value in known.items() if value is not NEVER}


def planned(
    who: dict[str, Any], policy: str = "quillmere", people: Any = None, **line: Any
) -> Plan:
    hung = {"kind": "picc", "site": "upper-arm", "dressing": {"findings": []}, **line}
    kept = {key: value for key, value in hung.items() if value is not NEVER}
    case = case_from_mapping(
        {"child": who, "line": kept, "people": people or {}}, "case"
    )
    return plan_change(case, AT, load_policy(policy))


def supply(plan: Plan, item: str) -> list[SupplyLine]:
    return [line for line in plan.supplies if line.item == item]


class TestChoosing:
    def test_the_first_agent_not_barred_wins(self) -> None:
        plan = planned(child(SIX_YEARS))

        assert plan.verdict == "plan"
        assert plan.antiseptic is not None
        assert plan.antiseptic.agent == "chlorhexidine-alcohol"
        assert plan.excluded == ()

    def test_the_next_agent_comes_where_the_first_is_barred(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["chlorhexidine"]))

        assert plan.antiseptic is not None
        assert plan.antiseptic.agent == "povidone-iodine"
        assert [(e.item, e.rule) for e in plan.excluded] == [
            ("chlorhexidine-alcohol", "chg-allergy")
        ]

    def test_a_reason_names_the_fact_behind_the_rule(self) -> None:
        plan = planned(child(THREE_WEEKS, weights=[{"at": AT.isoformat(), "g": 999.9}]))

        [reason] = plan.excluded
        assert reason.because == "Lighter than 1000 g (999.9 g)."
        assert reason.source == "common-practice"

    def test_an_allergy_by_another_name_is_the_same_allergy(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["CHG"]))

        assert {e.rule for e in plan.excluded} == {"chg-allergy"}

    @pytest.mark.parametrize("phrase", ["unknown", "reaction to chlorhexidine", "?"])
    def test_a_phrase_of_an_allergy_gives_no_chlorhexidine(self, phrase: str) -> None:
        for policy in ("quillmere", "us-guideline", "uk-guideline"):
            plan = planned(child(SIX_YEARS, sensitivities=[phrase]), policy)
            agent = plan.antiseptic.agent if plan.antiseptic else plan.until_known
            assert agent in (None, "povidone-iodine")

    def test_a_denied_allergy_is_asked_about_and_not_believed(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["no chlorhexidine allergy"]))

        assert (plan.verdict, plan.until_known) == ("ask", "povidone-iodine")
        assert [q.ask for q in plan.questions] == [
            "“no chlorhexidine allergy”: does the child tolerate chlorhexidine, or not?"
        ]

    def test_penicillin_is_asked_about_once(self) -> None:
        asked = planned(child(SIX_YEARS, sensitivities=["penicillin"]))
        told = {"substance": "penicillin", "touches_skin": False}
        settled = planned(child(SIX_YEARS, sensitivities=[told]))

        assert asked.verdict == "ask"
        assert asked.questions[0].ask.startswith(
            "“penicillin”: does it concern anything that touches this child's skin"
        )
        assert (settled.verdict, settled.questions) == ("plan", ())
        assert settled.dressing is not None
        assert settled.dressing.kind == "transparent-chg-gel"

    @pytest.mark.parametrize("policy", ["quillmere", "us-guideline", "uk-guideline"])
    def test_nothing_that_sticks_is_planned_under_an_allergy_to_it(
        self, policy: str
    ) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["sticking plaster"]), policy)

        assert plan.dressing is not None
        assert plan.dressing.kind == "gauze"
        items = {line.item for line in plan.supplies}
        assert "bandage" in items
        assert items.isdisjoint(
            {"tape", "sterile-strips", "barrier-film", "clear-film"}
        )

    @pytest.mark.parametrize("policy", ["quillmere", "us-guideline", "uk-guideline"])
    def test_gel_and_silicone_change_dressing_and_remover(self, policy: str) -> None:
        gel = planned(child(SIX_YEARS, sensitivities=["hydrogel"]), policy)
        silicone = planned(child(SIX_YEARS, sensitivities=["silicone tape"]), policy)

        assert gel.dressing is not None
        assert gel.dressing.kind == "transparent"
        assert supply(silicone, "water-to-loosen")
        assert not supply(silicone, "adhesive-remover")

    def test_a_substance_no_rule_knows_is_a_caution(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["an invented gum"]))

        assert plan.verdict == "ask"
        assert (
            "The policy has no rule for the sensitivity 'an-invented-gum': "
            "check every product by hand."
        ) in [remark.text for remark in plan.cautions]


class TestTechnique:
    def test_chlorhexidine_goes_back_and_forth_and_stays(self) -> None:
        way = planned(child(SIX_YEARS)).antiseptic

        assert way is not None
        assert (way.swabs, way.seconds_per_swab, way.scrub_s, way.dry_s) == (
            3,
            10,
            30,
            30,
        )
        assert way.motion == "back-and-forth"
        assert way.residue_removed_with is None
        assert way.area_mm == (90, 110)

    def test_iodine_goes_outward_dries_two_minutes_and_is_taken_off(self) -> None:
        way = planned(child(SIX_YEARS, sensitivities=["chlorhexidine"])).antiseptic

        assert way is not None
        assert (way.swabs, way.scrub_s, way.dry_s) == (3, None, 120)
        assert way.motion == "outward-circles"
        assert way.residue_removed_with == "sterile-saline"
        assert way.residue_words is not None
        assert "outward, never back" in way.residue_words
        assert way.helper is not None
        assert "opens each pack" in way.helper

    @pytest.mark.parametrize(
        ("allergy", "each", "dry"),
        [([], 40, 60), (["chlorhexidine"], 40, 120)],
        ids=["chlorhexidine", "iodine"],
    )
    def test_the_groin_lengthens_scrub_and_drying_of_both_agents(
        self, allergy: list[str], each: int, dry: int
    ) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=allergy), site="femoral")

        way = plan.antiseptic
        assert way is not None
        assert (way.scrub_s, way.seconds_per_swab, way.dry_s) == (120, each, dry)
        assert way.rules == (way.agent, "moist-site")
        assert "moist-site" in {rule.rule for rule in plan.fired}

    def test_an_unknown_site_takes_the_longer_times_and_asks(self) -> None:
        plan = planned(child(SIX_YEARS), site=NEVER)

        assert plan.verdict == "plan"
        assert plan.antiseptic is not None
        assert (plan.antiseptic.scrub_s, plan.antiseptic.dry_s) == (120, 60)
        [question] = plan.questions
        assert (question.fact, question.blocks) == ("site", False)


class TestDressing:
    def test_an_older_child_has_the_gel_pad_for_seven_days(self) -> None:
        cover = planned(child(SIX_YEARS)).dressing

        assert cover is not None
        assert (cover.kind, cover.stays_h) == ("transparent-chg-gel", 168)
        assert cover.next_due == AT + timedelta(days=7)
        assert cover.stays_words == "7 days at most"

    def test_a_baby_under_two_months_has_the_plain_film(self) -> None:
        plan = planned(child(THREE_WEEKS))

        assert plan.dressing is not None
        assert plan.dressing.kind == "transparent"
        barred = {e.rule for e in plan.not_for_this_child}
        assert barred == {"chg-pad-young", "bath-under-2-months"}

    @pytest.mark.parametrize("found", ["bleeding", "broken"])
    def test_blood_or_broken_skin_has_gauze_for_two_days(self, found: str) -> None:
        if found == "bleeding":
            plan = planned(child(SIX_YEARS), dressing={"findings": ["bleeding"]})
        else:
            plan = planned(child(SIX_YEARS, skin_at_site="broken"))

        assert plan.dressing is not None
        assert (plan.dressing.kind, plan.dressing.stays_h) == ("gauze", 48)

    def test_what_only_the_bared_site_shows_is_looked_for_not_asked(self) -> None:
        plan = planned(child(SIX_YEARS), dressing={})

        assert plan.verdict == "plan"
        assert plan.dressing is not None
        assert plan.dressing.kind == "transparent-chg-gel"
        assert "findings" not in {q.fact for q in plan.questions}
        [look] = [r.text for r in plan.looks if r.rule == "film-bleeding"]
        assert look == (
            "When the old dressing is off, look. "
            "Bleeding or oozing: gauze until it has stopped. Have ready: gauze."
        )


class TestSupplies:
    def test_what_the_kit_holds_is_not_fetched(self) -> None:
        swabs = supply(planned(child(SIX_YEARS)), "swabs-chlorhexidine-alcohol")

        assert sum(line.count for line in swabs) == 3

    def test_iodine_and_its_saline_are_fetched(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["chlorhexidine"]))

        assert supply(plan, "swabs-chlorhexidine-alcohol") == []
        [swabs] = supply(plan, "swabs-povidone-iodine")
        assert (swabs.count, swabs.in_kit) == (3, False)
        assert supply(plan, "sterile-saline")

    @pytest.mark.parametrize(
        ("size", "in_kit"), [("7", True), ("6.5", False), (None, False)]
    )
    def test_gloves_are_in_the_kit_only_in_its_own_size(
        self, size: str | None, in_kit: bool
    ) -> None:
        people = {"operator": {"glove": size}, "assistant": {"glove": "6"}}

        plan = planned(child(SIX_YEARS), people=people)

        [pair] = supply(plan, "sterile-gloves-operator")
        assert (pair.count, pair.in_kit, pair.size) == (1, in_kit, size)
        assert ("(size not known: ask)" in pair.because) is (size is None)
        assert [role.glove_size for role in plan.roles] == [size, "6"]

    def test_what_an_unknown_site_may_need_is_laid_out_too(self) -> None:
        [cloth] = supply(planned(child(SIX_YEARS), site=NEVER), "sterile-gauze-groin")

        assert cloth.because.endswith("(in case: this is not decided by what is known)")

    def test_counts_add_up_to_what_is_needed(self) -> None:
        plan = planned(child(SIX_YEARS))

        for line in plan.supplies:
            assert line.count > 0
            assert line.because
            assert line.source in load_policy("quillmere").sources


class TestPeople:
    def test_two_people_with_masks_around(self) -> None:
        plan = planned(child(SIX_YEARS))

        assert (plan.staff, plan.masks_within_m) == (2, 0.9)
        assert [role.id for role in plan.roles] == ["operator", "assistant"]


class TestQuestions:
    def test_a_six_year_old_is_not_asked_about_gestation_or_mass(self) -> None:
        plan = planned(child(SIX_YEARS, gestation_at_birth=NEVER, weights=[]))

        assert plan.verdict == "plan"
        assert plan.questions == ()

    def test_a_three_week_old_of_unknown_mass_is_weighed_first(self) -> None:
        plan = planned(child(THREE_WEEKS, weights=[]))

        assert plan.verdict == "ask"
        assert plan.antiseptic is None
        [question] = plan.questions
        assert (question.fact, question.blocks) == ("mass", True)
        assert question.ask == "What does the child weigh?"
        assert question.rules == ("chg-mass",)
        assert question.because == (
            "This may apply, and the mass is not known: Lighter than 1000 g."
        )
        assert plan.until_known == "povidone-iodine"
        assert plan.sentence == (
            "Ask first: mass. If it cannot wait, povidone-iodine is right either way."
        )

    def test_a_three_week_old_of_unknown_gestation_is_asked_about_it(self) -> None:
        plan = planned(child(THREE_WEEKS, gestation_at_birth=NEVER))

        assert [q.fact for q in plan.questions if q.blocks] == ["gestation_at_birth"]

    def test_nothing_is_asked_that_another_reason_already_settles(self) -> None:
        plan = planned(child(THREE_WEEKS, sensitivities=["chlorhexidine"], weights=[]))

        assert plan.verdict == "plan"
        assert not [q for q in plan.questions if q.blocks]

    def test_an_unasked_allergy_is_asked_for(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=NEVER))

        assert plan.verdict == "ask"
        assert [q.fact for q in plan.questions if q.blocks] == ["sensitivities"]
        assert plan.until_known is None

    def test_with_nothing_known_nothing_is_promised(self) -> None:
        plan = planned({}, kind=NEVER, site=NEVER, dressing=NEVER)

        assert plan.verdict == "ask"
        assert plan.antiseptic is None
        assert plan.until_known is None
        assert plan.dressing is None or "chg" not in plan.dressing.kind
        assert {q.fact for q in plan.questions if q.blocks} >= {
            "age",
            "sensitivities",
            "skin_at_site",
        }


class TestStopping:
    def test_with_every_agent_barred_nobody_goes_on_alone(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["chlorhexidine", "iodine"]))

        policy = load_policy("quillmere")
        assert plan.verdict == "stop"
        assert plan.call == policy.call
        assert plan.sentence == (
            f"Stop. No antiseptic is agreed for this child. Call {policy.call}."
        )
        assert plan.stop_because[0] == (
            "Every antiseptic of this policy is barred for this child."
        )
        assert (plan.dressing, plan.supplies, plan.chart, plan.questions) == (
            None,
            (),
            (),
            (),
        )

    def test_a_referral_stops_and_names_whom_to_call(self, tmp_path: Path) -> None:
        (tmp_path / "set.toml").write_text(
            '[set]\nid = "own"\ntitle = "t"\nversion = "1"\nextends = "quillmere"\n'
            'call = "the ward"\n'
            '[[refer]]\nid = "ports"\nbecause = "A port is for the port team."\n'
            'source = "common-practice"\ncall = "the port team"\n'
            'when = [{ line_kind = { is = ["port"] } }]\n'
        )

        stopped = planned(child(SIX_YEARS), str(tmp_path), kind="port")
        open_ = planned(child(SIX_YEARS), str(tmp_path), kind=NEVER)
        other = planned(child(SIX_YEARS), str(tmp_path))

        assert (stopped.verdict, stopped.call) == ("stop", "the port team")
        assert stopped.stop_because == ("A port is for the port team.",)
        assert (open_.verdict, open_.until_known) == ("ask", None)
        assert [q.fact for q in open_.questions if q.blocks] == ["line_kind"]
        assert other.verdict == "plan"


class TestChangesLater:
    def test_age_ends_its_rule_at_an_exact_instant(self) -> None:
        plan = planned(child(timedelta(days=6)))

        [first, *_] = plan.changes_later
        assert first.at == AT + timedelta(days=1)
        assert first.what == (
            "“Younger than 7 days.” no longer holds. From then: "
            "chlorhexidine 2 % in alcohol, under: clear film, if nothing else has "
            "changed."
        )

    def test_mass_waits_for_a_weighing(self) -> None:
        plan = planned(child(THREE_WEEKS, weights=[{"at": AT.isoformat(), "g": 900}]))

        assert [c.when for c in plan.changes_later if c.at is None] == [
            "a mass of 1000 g or more is charted"
        ]

    def test_broken_skin_waits_for_whole_skin(self) -> None:
        plan = planned(child(SIX_YEARS, skin_at_site="broken"))

        assert "the skin at the site is charted as whole" in {
            change.when for change in plan.changes_later
        }

    def test_an_allergy_never_ends(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["chlorhexidine"]))

        assert plan.changes_later == ()

    def test_a_first_birthday_that_settles_the_mass_is_named(self) -> None:
        """A mass nobody charted is asked for until the policy says it cannot be low."""
        plan = planned(child(timedelta(days=300), weights=[]))

        birthday = (AT - timedelta(days=300)).replace(year=2026)
        assert plan.verdict == "ask"
        assert birthday in [change.at for change in plan.changes_later]

    def test_of_a_birth_date_both_ends_of_the_day_are_named(self) -> None:
        who = child(None, born="2026-03-01")

        plan = planned(who)

        assert plan.verdict == "plan"
        [may, must, *_] = plan.changes_later
        assert may.at == datetime(2026, 3, 8, tzinfo=UTC)
        assert must.at == datetime(2026, 3, 9, tzinfo=UTC)
        assert may.what == (
            "From then chlorhexidine 2 % in alcohol may be possible; "
            "more must be known."
        )
        assert must.what.startswith("“Younger than 7 days.” no longer holds. From then")


class TestSayingWhy:
    def test_every_rule_that_fired_names_its_source_and_place(self) -> None:
        plan = planned(child(timedelta(days=3)), site="femoral")

        policy = load_policy("quillmere")
        assert {rule.rule for rule in plan.fired} >= {"chg-age", "moist-site"}
        for rule in (*plan.fired, *plan.undecided):
            assert rule.source in policy.sources
            assert ".toml: " in rule.where
            assert rule.how in ("found", "memory", "common-practice")

    def test_rules_that_could_not_be_decided_are_listed(self) -> None:
        plan = planned(child(THREE_WEEKS, weights=[]))

        assert "chg-mass" in {rule.rule for rule in plan.undecided}

    def test_a_disagreement_names_each_side_and_its_title(self) -> None:
        plan = planned(
            child(
                timedelta(days=3),
                gestation_at_birth="27w0d",
                weights=[{"at": AT.isoformat(), "g": 900}],
            )
        )

        [dispute] = [d for d in plan.disagreements if d.id == "C2"]
        assert {p.source for p in dispute.positions} >= {"BNF", "common-practice"}
        assert all(p.title and p.says for p in dispute.positions)
        assert any(remark.source == "BNF" for remark in plan.cautions)

    def test_what_is_charted_afterwards_is_asked_for_by_the_policy(self) -> None:
        required = {
            item.id for item in planned(child(SIX_YEARS)).chart if item.required
        }

        assert required >= {
            "chart-changed-at",
            "chart-site",
            "chart-external-length",
            "chart-stitches",
            "chart-tolerance",
            "chart-outcome",
        }

    def test_a_port_has_no_external_length_to_chart(self) -> None:
        ids = {item.id for item in planned(child(SIX_YEARS), kind="port").chart}

        assert "chart-external-length" not in ids

    def test_the_sentence_says_it_all_in_one_breath(self) -> None:
        plan = planned(child(SIX_YEARS, sensitivities=["chlorhexidine"]))

        assert plan.sentence == (
            "Two people. Povidone-iodine, then sterile saline. Clear film. "
            "No chlorhexidine."
        )
