"""The children whom the demo promises: each is here to show one thing."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from lumenkeep.demo.hospital import ZONE
from lumenkeep.demo.told import ToldChild, ToldLine, days, hours

PLAIN = (("main", "plain"),)
FED = (("main", "plain"), ("lipid", "lipid"))
PVI = "povidone-iodine"


def stories(now: datetime) -> list[ToldChild]:
    """Return the told children, seen from ``now`` (UTC)."""
    return [*_on_kestrel(now), *_on_wren(now), *_on_heron(now)]


def _years(now: datetime, count: float) -> datetime:
    return now - days(365.25 * count)


def _tomorrow_at(now: datetime, hour: int, minute: int) -> datetime:
    """Return tomorrow's wall time in the hospital's zone, in UTC."""
    tomorrow = (now.astimezone(ZONE) + days(1)).date()
    wall = datetime(
        tomorrow.year, tomorrow.month, tomorrow.day, hour, minute, tzinfo=ZONE
    )
    return wall.astimezone(UTC)


def _on_kestrel(now: datetime) -> list[ToldChild]:
    return [
        ToldChild(
            "kestrel", _years(now, 6.3), 21_400, story="overdue-femoral", lines=(
                ToldLine("non-tunnelled", "femoral", days(19), "right", 2,
                         length_mm=62, stitches=4, sets=PLAIN,
                         changed_ago=days(7) + hours(31)),
            ),
        ),
        ToldChild(
            "kestrel", _years(now, 3.8), 15_600, story="early-failures", lines=(
                ToldLine("non-tunnelled", "internal-jugular", days(17), "right", 3,
                         length_mm=48, stitches=2, sets=PLAIN, fails=3,
                         changed_ago=hours(40), found=("loose", timedelta(minutes=40))),
            ),
        ),
        ToldChild(
            "kestrel", _years(now, 11.2), 37_900, story="bleeding-new-line", lines=(
                ToldLine("non-tunnelled", "subclavian", hours(21), "left", 2,
                         dressing="gauze-under-transparent", length_mm=71, stitches=4,
                         sets=(("main", "plain"), ("blood", "blood")),
                         found=("bleeding", hours(1.5))),
            ),
        ),
        ToldChild(
            "kestrel", _years(now, 0.6), 7_350, story="dressing-never-charted",
            sensitivities=None, lines=(
                ToldLine("picc", "upper-arm", days(2.4), "left", dressing=None,
                         length_mm=15, sets=PLAIN),
            ),
        ),
    ]  # fmt: skip


def _on_wren(now: datetime) -> list[ToldChild]:
    seven_days = _tomorrow_at(now, 8, 12) - days(7)
    return [
        ToldChild(
            "wren", seven_days, 1_340, gestation="30w2d", agent=PVI,
            story="seven-days-tomorrow", lines=(
                ToldLine("picc", "lower-leg", days(3.1), "right",
                         dressing="transparent", length_mm=12, sets=FED,
                         changed_ago=days(2.2)),
                ToldLine("umbilical-arterial", "umbilical", now - seven_days - hours(2),
                         removed_ago=days(2.5), dressing="transparent", length_mm=55,
                         stitches=1),
            ),
        ),
        ToldChild(
            "wren", now - days(16) - hours(5), 985, gestation="28w4d", agent=PVI,
            story="just-under-1000-g", lines=(
                ToldLine("picc", "upper-arm", days(13), "left",
                         dressing="transparent", length_mm=18, sets=FED,
                         changed_ago=days(6) + hours(19)),
            ),
        ),
        ToldChild(
            "wren", now - days(23) - hours(3), 890, gestation="26w5d", agent=PVI,
            story="born-before-28-weeks", lines=(
                ToldLine("picc", "scalp", days(15), "right", dressing="transparent",
                         length_mm=22, sets=FED, changed_ago=days(4)),
            ),
        ),
        ToldChild(
            "wren", now - days(7) - hours(6), 2_610, gestation="35w6d", agent=PVI,
            birth_time_known=False, story="birth-date-only", lines=(
                ToldLine("umbilical-venous", "umbilical", days(5.6),
                         dressing="transparent", length_mm=61, stitches=1, sets=FED,
                         changed_ago=days(3)),
            ),
        ),
        ToldChild(
            "wren", now - days(20) - hours(8), 1_510, gestation=None, agent=PVI,
            story="gestation-unknown", lines=(
                ToldLine("picc", "upper-arm", days(8), "right",
                         dressing="transparent", length_mm=9, sets=FED,
                         changed_ago=days(5.2)),
            ),
        ),
        ToldChild(
            "wren", now - days(21) - hours(4), None, gestation="33w1d", agent=PVI,
            sensitivities=None, story="mass-unknown", lines=(
                ToldLine("picc", "lower-leg", days(4), "left",
                         dressing="transparent", length_mm=14, sets=PLAIN,
                         changed_ago=days(3.2)),
            ),
        ),
        ToldChild(
            "wren", now - days(9) - hours(7), 1_120, gestation="29w0d", agent=PVI,
            story="gauze-overdue", lines=(
                ToldLine("picc", "upper-arm", days(6.5), "right",
                         dressing="gauze-under-transparent", length_mm=11, sets=FED,
                         changed_ago=days(2) + hours(9)),
            ),
        ),
        ToldChild(
            "wren", now - days(31), 1_980, gestation="31w4d", story="lipid-overdue",
            lines=(
                ToldLine("picc", "lower-leg", days(12), "right",
                         dressing="transparent", length_mm=16, sets=FED,
                         set_ago=hours(26), changed_ago=days(2)),
            ),
        ),
    ]  # fmt: skip


def _on_heron(now: datetime) -> list[ToldChild]:
    return [
        ToldChild(
            "heron", _years(now, 9.1), 29_300, sensitivities=("chlorhexidine",),
            agent=PVI, story="chlorhexidine-allergy", lines=(
                ToldLine("port", "chest", days(150), "right", dressing="transparent",
                         has_needle=True, needle_ago=days(5.5), sets=PLAIN,
                         changed_ago=days(5.5)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 13.4), 46_800, agent="alcohol-70",
            sensitivities=("chlorhexidine", "iodine"), story="allergic-to-both", lines=(
                ToldLine("tunnelled", "chest", days(64), "left", 2,
                         dressing="transparent", length_mm=182, stitches=1, sets=PLAIN,
                         changed_ago=days(6) + hours(22)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 7.5), 24_700, story="moved-outward", lines=(
                ToldLine("picc", "upper-arm", days(34), "left", 2, length_mm=20,
                         moved_mm=25, sets=PLAIN, changed_ago=hours(7)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 15.2), 52_100, story="moved-inward", lines=(
                ToldLine("picc", "upper-arm", days(22), "right", 1, length_mm=40,
                         moved_mm=-15, sets=PLAIN, changed_ago=days(3.3)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 5.1), 18_900, story="overdue-tunnelled", lines=(
                ToldLine("tunnelled", "chest", days(88), "right", 2, length_mm=165,
                         stitches=2, sets=FED, changed_ago=days(7) + hours(5)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 2.2), 12_300, story="broken-skin", agent=PVI, lines=(
                ToldLine("tunnelled", "chest", days(41), "left", 1, dressing="gauze",
                         length_mm=140, stitches=1, sets=PLAIN, changed_ago=days(1.2),
                         skin="broken"),
            ),
        ),
        ToldChild(
            "heron", _years(now, 10.7), 34_200, story="needle-due-today", lines=(
                ToldLine("port", "chest", days(210), "left", has_needle=True,
                         needle_ago=days(6) + hours(20), sets=FED,
                         changed_ago=days(6) + hours(20)),
            ),
        ),
        ToldChild(
            "heron", _years(now, 12.0), 41_000, sensitivities=("adhesive", "latex"),
            story="two-lines", lines=(
                ToldLine("tunnelled", "chest", days(73), "right", 2, length_mm=175,
                         stitches=2, sets=PLAIN),
                ToldLine("picc", "upper-arm", days(9), "left", 1, length_mm=25,
                         sets=FED),
            ),
        ),
    ]  # fmt: skip
