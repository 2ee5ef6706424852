"""What a nurse would say of a hospital's own procedure: its head, its things, its people.

Each of these passed while only the order of the steps was looked at.
"""

from __future__ import annotations

from tests.asepsis_faults.by_a_nurse import (
    CONNECTOR,
    COVER,
    DRESSING,
    GAUZE,
    IODINE,
    LOOSE,
    NEWBORN,
    OPEN,
    PORT,
    REMOVAL,
    SECUREMENT,
    SET,
    STERILE,
    TWO,
    Row,
)
from tests.asepsis_faults.orders import alter, drop, headed, move, repeat

from lumenkeep.asepsis.procedure import Repeat

GROIN = {"site": "femoral"}
OLDER = {"masks": "child-too"}
ASKED = {"soil": ("no", "yes"), "securement": ("keep", "change")}
RUNNING = {"length": "known", "agreement": "unasked", "part": "dry", "pump": "running"}


def starts(**facts: str) -> object:
    """Return an edit that sets what a procedure starts with."""
    return headed(starts=tuple(facts.items()))


def asks(**words: tuple[str, ...]) -> object:
    """Return an edit that sets what is asked before a procedure."""
    return headed(vary=tuple(words.items()))


OWN: list[Row] = [
    # --- what it counts for
    (SET, "A new set is no new connector, and no new dressing.", [headed(resets=("set", "connector", "dressing"))], "head", "counts-as-connector", {}),
    (SET, "You put the dressing down as changed, and it is the old one.", [headed(resets=("set", "dressing"))], "head", "counts-as-dressing", {}),
    (REMOVAL, "There is no line left that could have a new dressing.", [headed(resets=("dressing",))], "head", "counts-as-dressing", {}),
    (DRESSING, "It was changed today, and it is still due tomorrow.", [headed(resets=())], "head", "counts-as-dressing", {}),
    (CONNECTOR, "You changed it, and nobody knows that it is not due.", [headed(resets=())], "head", "counts-as-connector", {}),
    (PORT, "The new needle counts for nothing.", [headed(resets=("dressing",))], "head", "counts-as-port-needle", {}),
    (CONNECTOR, "You never asked whether the line is still needed.", [headed(resets=("connector", "line-review"))], "head", "counts-for-nothing-else", {}),
    (DRESSING, "You put a film over the old dressing and called it a change.", [drop("D6")], "head", "counts-as-dressing", {}),
    # --- lumens, and what is asked
    (CONNECTOR, "Two lumens, one new connector.", [headed(repeat=None)], "end", "connector-changed", TWO),
    (CONNECTOR, "The second lumen got no clamp, no pump and no check.", [headed(repeat=Repeat("N4", "N12", "lumens", "Lumen"))], "end", "rates-of-each-lumen", TWO),
    (CONNECTOR, "You paused and clamped the first one only.", [headed(repeat=Repeat("N6a", "N15", "lumens", "Lumen"))], "end", "connector-filled", TWO),
    (CONNECTOR, "The second one was never flushed.", [drop("N12-2")], "N9-2", "connector-flushed", TWO),
    (CONNECTOR, "You scrubbed and filled one, and joined the other as it was.", [drop("N4-2")], "end", "connector-filled", TWO),
    (CONNECTOR, "You read the rates at the end, of the last lumen only.", [drop("N15")], "end", "rates-of-each-lumen", TWO),
    (CONNECTOR, "Nobody asked how many lumens there are.", [asks(soil=("no", "yes"), lumens=("1",))], "head", "asks-lumens-and-soil", {}),
    (CONNECTOR, "Nobody asked whether the thread is soiled.", [asks(soil=("no",), lumens=("1", "2", "3", "4", "5"))], "head", "asks-lumens-and-soil", {}),
    (DRESSING, "The site was full of crust, and there was no saline on the field.", [asks(**{**ASKED, "soil": ("no",)})], "head", "asks-soil-and-securement", {}),
    (DRESSING, "The securement was due, and nobody had asked.", [asks(soil=("no", "yes"))], "head", "asks-soil-and-securement", {}),
    (COVER, "The exit point was open, and your plan was to press the edge.", [asks(findings=("loose",))], "head", "asks-what-was-found", LOOSE),
    # --- how it begins
    (SET, "Who says that they agree? You never asked.", [starts(**{**RUNNING, "agreement": "given"}), alter("PR3", objects=("child",))], "start", "begins-unasked", {}),
    (DRESSING, "That is the length of last week.", [starts(site="covered", agreement="unasked", length="known"), drop("D5")], "start", "begins-unmeasured", {}),
    (CONNECTOR, "Filled? It lies in its pack.", [starts(**{**RUNNING, "part": "primed"}), drop("N4")], "start", "begins-unfilled", {}),
    (SET, "The pump runs. You say it stands because nobody looked.", [starts(**{**RUNNING, "pump": "stopped"}), drop("S5")], "start", "begins-running", {}),
    (DRESSING, "Your hands were clean when you came in? From where?", [starts(site="covered", agreement="unasked", operator_hands="clean", assistant_hands="clean"), drop("PR11")], "start", "begins-with-nothing-done", {}),
    (DRESSING, "Who wiped the table? It was ready, you say.", [starts(site="covered", agreement="unasked", surface="ready"), drop("PR8")], "start", "begins-with-nothing-done", {}),
    (REMOVAL, "The clamps were closed before, were they?", [starts(site="covered", length="known", agreement="unasked", pump="running", clamp="on"), drop("R7")], "start", "begins-with-nothing-done", {}),
    (PORT, "The old needle was out already? It is in the child.", [starts(**RUNNING, needle="out"), drop("I7")], "start", "begins-with-a-needle", {}),
    (PORT, "Locked already? It ran until I stopped it.", [starts(**RUNNING, lumen="locked"), drop("I4")], "start", "begins-with-nothing-done", {}),
    # --- how it ends
    (DRESSING, "Covered, yes. And your gloves?", [headed(ends=((("site", frozenset({"covered-again"})),),)), drop("CL2", "CL3", "CL9")], "end", "ends-with-clean-hands", {}),
    (DRESSING, "The pump still stands.", [headed(ends=()), drop("CL6")], "end", "ends-covered-again", {}),
    (SET, "Closed, but is it clamped? And who read the rate?", [headed(ends=()), drop("S13")], "end", "ends-closed-and-running", {}),
    (PORT, "It is covered, and nothing runs.", [headed(ends=()), drop("CL6", "CL6r")], "end", "ends-with-a-tried-needle", {}),
    (REMOVAL, "The hole is open.", [headed(ends=()), drop("R16")], "end", "ends-sealed", {}),
    (COVER, "You went, and it hung open.", [headed(ends=()), drop("E5")], "end", "ends-covered-for-now", OPEN),
    # --- by another name
    (DRESSING, "Call it what you like, it is a dressing change, and nobody measured.", [headed(id="quick-change"), drop("D5")], "D6a", "measured-with-a-tape", {}),
    (CONNECTOR, "A cap change is a connector change: two lumens, one new one.", [headed(id="cap-change", repeat=None)], "end", "connector-changed", TWO),
    (REMOVAL, "You call it tidying up. The line came out, and nobody stayed.", [headed(id="tidying"), drop("R17")], "end", "watched-after", {}),
    # --- things from nowhere
    (DRESSING, "Where do the clean gloves come from?", [alter("D3", uses=())], "D3", "with-something", {}),
    (DRESSING, "Two people, one pair of gloves.", [alter("D3", uses=(("clean-gloves", 1),))], "D3", "one-for-each", {}),
    (DRESSING, "One mask for both of you.", [alter("PR12", uses=(("mask", 1),))], "PR12", "one-for-each", {}),
    (DRESSING, "Masks? There are none in the room.", [alter("PR12", uses=())], "PR12", "with-something", {}),
    (DRESSING, "Those are not sterile gloves.", [alter("D10", uses=(("clean-gloves", 1),))], "D10", "sterile-gloves-on", {}),
    (DRESSING, "You took my size.", [alter("D10", uses=(("assistant-gloves", 1),))], "D10", "sterile-gloves-on", {}),
    (DRESSING, "You wiped the table with your hand.", [alter("PR8", uses=())], "PR8", "with-something", {}),
    (DRESSING, "Gauze disinfects no table.", [alter("PR8", uses=(("sterile-gauze", 1),))], "PR8", "surface-wiped", {}),
    (DRESSING, "There is no field in that pack.", [alter("D1", uses=())], "D1", "with-something", {}),
    (DRESSING, "The drape is gauze.", [alter("D11", uses=(("sterile-gauze", 3),))], "D11", "drape-is-a-drape", {}),
    (DRESSING, "You lifted the line with your glove.", [alter("D11", uses=(("sterile-drape", 1),))], "D11", "line-lifted-in-gauze", {}),
    (DRESSING, "Dry gauze only smears the iodine.", [alter("PVI15", uses=(("sterile-gauze", 4),))], "PVI15", "wiped-with-saline", IODINE),
    (DRESSING, "You poured saline on it and had nothing to wipe with.", [alter("PVI15", uses=(("sterile-saline", 1),))], "PVI15", "wiped-with-gauze", IODINE),
    (DRESSING, "That is gauze, not the new securement.", [alter("SEC17", uses=(("sterile-gauze", 1),))], "SEC17", "fastened-with-something", SECUREMENT),
    (DRESSING, "The label is still on its roll.", [alter("CL5", uses=())], "CL5", "with-something", {}),
    (DRESSING, "By eye? A guess is no length.", [alter("D5", uses=())], "D6a", "measured-with-a-tape", {}),
    (DRESSING, "That is tape, not barrier film.", [alter("D16", uses=(("tape", 1),))], "D16", "edges-with-barrier-film", {}),
    (DRESSING, "You blotted the baby's back with your glove.", [alter("NEO13", uses=(("sterile-saline", 1),))], "NEO13", "mopped-with-gauze", NEWBORN),
    (CONNECTOR, "Filled with what?", [alter("N4", uses=())], "end", "connector-filled", {}),
    (CONNECTOR, "You scrubbed the hub with dry gauze.", [alter("N6a", uses=(("pressing-gauze", 1),))], "N6a", "hub-wiped", {}),
    (CONNECTOR, "Unscrewed with your bare glove on the hub.", [alter("N7", uses=())], "N7", "with-something", {}),
    (CONNECTOR, "That wipe is for tables.", [alter("N10a", uses=(("surface-wipe", 1),))], "N10a", "hub-wiped", {}),
    (CONNECTOR, "You joined a wipe.", [alter("N9", uses=(("hub-wipe", 1),))], "N9", "joined-connector", {}),
    (SET, "That is the old set again.", [alter("S9", uses=(("connector", 1),))], "S9", "joined-set", {}),
    (PORT, "Flushed, and never locked.", [alter("I4", uses=(("clean-syringe", 1),))], "I4", "locked-with-the-lock", {}),
    (PORT, "What did you fill the needle with?", [alter("I11", uses=(("connector", 1),))], "I13", "needle-filled", {}),
    (PORT, "The numbing plaster has no cream in it.", [alter("I0", uses=(("plaster", 1),))], "I0", "numbed-with-cream", {}),
    (PORT, "You pressed with a plaster.", [alter("I8", uses=(("plaster", 1),))], "I8", "pressed-with-gauze", {}),
    (COVER, "Gauze, and no film: it lies open on all sides.", [alter("E5", uses=(("pressing-gauze", 1),))], "E5", "film-for-now", OPEN),
    (COVER, "You stuck film on a wet exit point.", [alter("E5", uses=(("room-film", 1),))], "E5", "gauze-for-now", OPEN),
    (REMOVAL, "No gauze at the exit when it came.", [alter("R13", uses=())], "R13", "with-something", {}),
    (REMOVAL, "You cut the stitches with what?", [alter("R12", uses=(("sterile-gauze", 1),))], "R12", "stitches-with-a-cutter", {}),
    (DRESSING, "That mask is for a grown-up.", [alter("PR12c", uses=(("mask", 1),))], "PR12c", "child-mask-is-its-own", OLDER),
    # --- how
    (CONNECTOR, "You opened it on whatever breath came.", [alter("N7", manner=("through-wipe",))], "N7", "opened-on-the-out-breath", {}),
    (SET, "Who watched the breath when you opened it?", [alter("S8", manner=("through-wipe",))], "S8", "opened-on-the-out-breath", {}),
    (CONNECTOR, "Your fingers were on the hub.", [alter("N6a", manner=())], "N6a", "opened-through-a-wipe", {}),
    (DRESSING, "You ripped it off.", [alter("D6", manner=())], "D6", "peeled-low-and-slow", {}),
    (PORT, "The plaster came off in one pull.", [alter("I9p", manner=())], "I9p", "peeled-low-and-slow", {}),
    (DRESSING, "You put the things down in the middle of the field, arm across it.", [alter("D2", manner=())], "D2", "opened-from-the-edge", {}),
    (DRESSING, "You held the line in the glove that held the tails.", [alter("SEC7b", manner=())], "SEC7b", "held-through-gauze", SECUREMENT),
    (DRESSING, "The line lay on your glove while the drape went under.", [alter("D11", manner=())], "D11", "drape-through-gauze", {}),
    (PORT, "You held the needle by its shaft.", [alter("I13", touches=("skin", "needle"))], "I13", "needle-never-held", {}),
    # --- who
    (CONNECTOR, "Only one of you cleaned hands.", [alter("PR11", actor="operator")], "N3", "assistant-hands-first", {}),
    (SET, "Only the assistant cleaned hands.", [alter("PR11", actor="assistant"), alter("S0b", actor="assistant")], "S3", "operator-hands-first", {}),
    (DRESSING, "Dry? I never looked.", [alter("D15", actor="assistant")], "D15", "dry-by-two", {}),
    (SET, "You traced it alone.", [alter("S10", actor="assistant")], "S10", "traced-by-two", {}),
    (DRESSING, "You left the child to comfort itself, your hands in the pack.", [alter("PR4", actor="operator")], "PR4", "comforted-by-the-other", {}),
    (DRESSING, "I never saw that plan.", [alter("PR1", actor="operator")], "PR1", "plan-read-by-two", {}),
    (DRESSING, "Agreed with whom?", [alter("PR2", actor="operator")], "PR2", "agreed-by-two", {}),
    (CONNECTOR, "You had the pump in your hand, and then the open hub.", [alter("N5", actor="operator")], "N5", "pump-by-the-other", {}),
    # --- what is forgotten
    (DRESSING, "The fold closed over the wet iodine.", [drop("FEM12")], "D13", "fold-held-open", GROIN),
    (DRESSING, "How much did you use? Nobody said how little.", [drop("NEO12")], "D13", "small-area-agreed", NEWBORN),
    (DRESSING, "The old dressing lies on the bed.", [drop("D8")], "D10", "old-dressing-away", {}),
    (REMOVAL, "The old dressing is still here.", [drop("R9d")], "R9g", "old-dressing-away", {}),
    (PORT, "Plaster and dressing are in the child's bed.", [drop("I10d")], "I10g", "old-port-dressing-away", {}),
    (SET, "What you took off lies on the trolley: nothing went into the bin.", [alter("CL1", objects=("field",))], "end", "sharps-away", {}),
    (DRESSING, "The fan was on and the door open.", [drop("PR6")], "PR12", "room-quiet", {}),
    (DRESSING, "Which infusion may stop? Nobody looked.", [drop("PR10")], "PR12", "paused-as-planned", {}),
    (CONNECTOR, "You let go of the plunger with the clamp open.", [drop("N13")], "N12", "clamped-after-flush", {}),
    (CONNECTOR, "The first lumen was never clamped after its flush.", [drop("N13")], "N12", "clamped-after-flush", TWO),
    (REMOVAL, "The child had never blown out before; it took a breath.", [drop("R3")], "R4.1", "breath-practised", {}),
    (REMOVAL, "You left the head of the bed up.", [drop("R2")], "R4.1", "laid-flat", {}),
    (DRESSING, "That child could have worn a mask.", [drop("PR12c")], "D1", "child-masked", OLDER),
    (CONNECTOR, "That child could have worn a mask, and we had the field open.", [drop("PR12c")], "N1", "child-masked", {**STERILE, **OLDER}),
    (DRESSING, "Gloves off, and then you gathered the sharps by hand.", [move("CL2", before="CL1")], "end", "gloves-off-last", {}),
    (DRESSING, "The new pad is gauze and tape.", [alter("SEC17", uses=(("outer-tape", 1),))], "D18", "newly-secured", SECUREMENT),
    (DRESSING, "Gauze planned, and you went on without a look at its date.", [drop("D4")], "D6a", "looked-through", GAUZE),
    (DRESSING, "Nobody asked the mother whether she stays.", [drop("PR5")], "PR12", "family-chooses", {}),
    (DRESSING, "You came from the bed and took a mask.", [drop("PR11")], "PR12", "hands-before-masks", {}),
    (PORT, "An hour with the child, and straight to the masks.", [drop("PR11")], "PR12", "hands-before-masks", {}),
    (DRESSING, "Gloves off, mask off, and not a drop on your hands.", [drop("CL3")], "CL2", "hands-after-gloves", {}),
    (PORT, "The child sits as it likes, and you feel for the port.", [drop("PR7")], "PR12", "child-positioned", {}),
    (DRESSING, "You stuck the new pad on the old one.", [drop("SEC7")], "D13", "old-securement-off", SECUREMENT),
    (DRESSING, "Dry gauze on the crust: you rubbed it in.", [alter("D12", uses=(("sterile-gauze", 2),))], "D13", "soil-washed-with-saline", {"soil": "yes"}),
    (DRESSING, "The room's gauze, and no saline: the iodine is still there.", [alter("PVI15", uses=(("pressing-gauze", 1),))], "end", "residue-off-with-saline", IODINE),
    (DRESSING, "The loop lies open: where are the strips?", [alter("D17", uses=())], "D18", "loop-held-by-strips", {}),
    (PORT, "You opened the field and had counted for the old needle only.", [drop("PR9")], "I1", "counted-for-the-field", {}),
    (PORT, "No cream, and it is a child of four.", [drop("I0", "I0w", "I9a", "I9p", "I9", "I10e", "I10f")], "I12a", "numbed-first", {}),
    (PORT, "That is the old connector on the new needle.", [alter("I11", uses=(("saline-syringe", 1),))], "I13", "new-connector-on-the-needle", {}),
    (DRESSING, "The gauze just lies there.", [alter("GAU18", uses=(("gauze-dressing", 2),))], "GAU18", "gauze-held", GAUZE),
    (DRESSING, "This child tolerates no tape.", [alter("GAU18c", uses=(("gauze-dressing", 2), ("tape", 1)))], "GAU18c", "no-glue-on-this-child", {**GAUZE, "holds": "bandage"}),
    (PORT, "The cream lies open on the skin.", [alter("I0", uses=(("numbing-cream", 1),))], "I0", "cream-covered", {}),
    # --- who works at the line, and in which gloves
    (DRESSING, "Who holds the child, if you peel?", [alter("D6", actor="assistant")], "D6", "operator-works", {}),
    (PORT, "Both of you at the needle.", [alter("I7", actor="both")], "I7", "operator-works", {}),
    (DRESSING, "The child is to wipe the table?", [alter("PR8", actor="child")], "PR8", "child-does-little", {}),
    (DRESSING, "The mother opened the packs.", [alter("D2", actor="child")], "D2", "child-does-little", {}),
    (DRESSING, "Sterile gloves for the old dressing, and the same ones for the scrub.", [alter("D3", actor="operator", objects=("sterile-gloves",), uses=(("sterile-gloves", 1),)), alter("D4", touches=()), alter("D5", touches=()), alter("D6a", touches=()), alter("D6", touches=()), alter("D7", touches=()), alter("D8", touches=()), drop("D8b", "D9", "D10")], "D6a", "old-in-clean-gloves", {}),
    (DRESSING, "You pressed about on the old dressing with bare fingers.", [move("D3", before="D6a"), alter("D4", actor="operator")], "D4", "gloved-at-the-old", {}),
    (PORT, "Bare fingers on the hub.", [move("I3a", before="I3")], "I3a", "gloved-for-hubs", {}),
    (DRESSING, "You measured before anybody had agreed.", [move("D5", before="PR3")], "D5", "agreement-first", {}),
    (DRESSING, "Everybody is still masked.", [headed(ends=()), drop("CL4")], "end", "ends-unmasked", {}),
    (DRESSING, "The barrier film is still wet.", [alter("D16", seconds=None)], "D16", "edges-dry", {}),
    (SET, "You stopped the pump, and then looked for the new bag.", [move("S5", before="S3k")], "S4", "paused-no-longer-than-it-must", {}),
    (CONNECTOR, "Both pumps stood while you did the first lumen.", [move("N4p-2", before="N4")], "N4-2", "paused-no-longer-than-it-must", TWO),
    (COVER, "I opened the gauze with the hands that put the mask on.", [alter("E3b", actor="operator")], "E4", "hands-of-both", OPEN),
    (DRESSING, "You turned the child over in sterile gloves.", [repeat("PR7", before="D13", actor="operator", touches=())], "again", "sterile-hands-stay", {}),
    (DRESSING, "You wrote it down with the gloves on.", [repeat("CL7", before="D18", actor="operator")], "again", "sterile-hands-stay", {}),
    (DRESSING, "You opened the outer packs in your sterile gloves.", [repeat("D2", before="D13", actor="operator", touches=(), opens_all=False, opens=(("clear-film", 1),))], "again", "sterile-hands-stay", {}),
    (PORT, "The field lay open for an hour while the cream worked.", [move("I0w", before="I9a")], "I0w", "no-field-waits", {}),
    (DRESSING, "There is gauze under the film, and I cannot see the exit.", [alter("D18", uses=(("gauze-dressing", 1), ("clear-film", 1)))], "D18", "no-gauze-unplanned", {}),
    (DRESSING, "You called it the tails, and stuck the pad on wet skin.", [move("SEC17", before="D14"), alter("SEC17", objects=("tails",))], "SEC17", "securement-on-dry", SECUREMENT),
    (CONNECTOR, "Which joint did you open?", [alter("N7", objects=("lumen",))], "N7", "about-open-lumen", {}),
    # --- a step that does not say what it is about
    (PORT, "It goes into the port, and where does it say that it is a needle?", [alter("I13", objects=("port",))], "I13", "about-needle-in", {}),
    (DRESSING, "A cover, of what? On what?", [alter("D18", objects=("child",))], "D18", "about-cover", {}),
    (DRESSING, "You scrubbed the child. Where?", [alter("D13", objects=("child",))], "D13", "about-scrub", {}),
    (REMOVAL, "Pressed, but not on the hole.", [alter("R14", objects=("child",))], "R14", "about-press", {}),
    (SET, "Joined, and to what?", [alter("S9", objects=("hub",))], "S9", "about-connect", {}),
]  # fmt: skip
