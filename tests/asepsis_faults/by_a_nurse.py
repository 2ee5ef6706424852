"""Orders of steps that a nurse would call wrong, each with the sentence she would say."""

from __future__ import annotations

from typing import Any

from tests.asepsis_faults.orders import alter, drop, move, repeat

STERILE = {"technique": "sterile"}
IODINE = {"agent": "povidone-iodine"}
NEWBORN = {"unit": "newborn-intensive-care"}
SECUREMENT = {"securement": "change"}
DISC = {"dressing": "transparent-chg-disc"}
GEL = {"dressing": "transparent-chg-gel"}
GAUZE = {"dressing": "gauze"}
OPEN = {"findings": "damp"}
LOOSE = {"findings": "loose"}
TWO = {"lumens": "2"}
GROIN_IODINE = {"site": "femoral", **IODINE}

DRESSING = "dressing-change"
CONNECTOR = "connector-change"
SET = "set-change"
PORT = "port-needle-change"
COVER = "re-cover"
REMOVAL = "line-removal"

# Procedure; what a nurse would say; the edits; the step named; the table of the rule
# that must name it; the branch.
Row = tuple[str, str, list[Any], str, str, dict[str, str]]
ORDERS: list[Row] = [
    # --- dressing change
    (DRESSING, "You put plain film on a child whose plan says gauze.", [alter("GAU18", uses=(("clear-film", 1),))], "GAU18", "no-film-for-gauze", GAUZE),
    (DRESSING, "The plan bars film here, and you laid film over the gauze.", [alter("GAU18", uses=(("gauze-dressing", 2), ("clear-film", 1)))], "GAU18", "no-film-for-gauze", GAUZE),
    (DRESSING, "That is plain film; the plan says the one with the gel pad.", [alter("GEL18", uses=(("clear-film", 1),))], "GEL18", "plan-gel", GEL),
    (DRESSING, "That is the gel pad; the plan does not allow it for this child.", [alter("D18", uses=(("clear-film-gel", 1),))], "D18", "no-gel-unplanned", {}),
    (DRESSING, "You covered it with nothing: your hands are empty.", [alter("D18", uses=())], "D18", "with-something", {}),
    (DRESSING, "One swab? The plan says more.", [alter("D13", uses=(("antiseptic-swab", 1),))], "D13", "swabs-of-the-plan", {}),
    (DRESSING, "You scrubbed with an empty hand.", [alter("D13", uses=())], "D13", "with-something", {}),
    (DRESSING, "The strips went on over the iodine.", [move("D17", before="PVI15")], "D17", "residue-off", IODINE),
    (DRESSING, "You laid the strips on wet skin.", [move("D17", before="D15")], "D17", "strips-on-dry", {}),
    (DRESSING, "A second coat of barrier film, and the skin not scrubbed since.", [repeat("D16", before="D18")], "again", "no-film-over-film", {}),
    (DRESSING, "Nobody put barrier film on, and this skin needs it.", [drop("D16")], "D18", "edges-guarded", {}),
    (DRESSING, "The disc was never laid.", [drop("DISC17")], "D18", "disc-there", DISC),
    (DRESSING, "The disc goes under the film, not on it.", [move("DISC17", before="D19")], "D18", "disc-there", DISC),
    (DRESSING, "You laid the drape before you changed gloves.", [move("D11", before="D8")], "D11", "old-gloves-stay-away", {}),
    (DRESSING, "There is no drape under the line.", [drop("D11")], "D13", "draped", {}),
    (DRESSING, "Nobody looked at the site while it was bare.", [drop("D7")], "D13", "site-looked-at", {}),
    (DRESSING, "Nobody looked along the edges.", [drop("D19")], "end", "edges-looked-at", {}),
    (DRESSING, "There is no label on it.", [drop("CL5")], "end", "labelled-after", {}),
    (DRESSING, "You charted nothing.", [drop("CL7")], "end", "charted-after", {}),
    (DRESSING, "Did you read the plan at all?", [drop("PR1")], "PR9", "plan-read", {}),
    (DRESSING, "Who is the operator? You never agreed.", [drop("PR2")], "PR9", "roles-agreed", {}),
    (DRESSING, "You counted the packs after you had opened them.", [move("PR9", before="D3")], "PR12", "counted-before", {}),
    (DRESSING, "Nobody counted the packs.", [drop("PR9")], "PR12", "counted-before", {}),
    (DRESSING, "You touched the site again with the second glove on old glue.", [alter("D13", touches=("old-dressing",))], "D13", "sterile-touches-unsterile", {}),
    (DRESSING, "The old dressing is still in your hand under the sterile glove.", [move("D8", before="D11")], "D8", "sterile-touches-unsterile", {}),
    (DRESSING, "You peeled before the edges were loosened.", [move("D6a", before="D7")], "D6", "loosened-first", {}),
    (DRESSING, "The line hung from nothing while you fetched the new pad.", [drop("SEC7b"), move("SEC17", before="D19")], "D8", "operator-hands-over", SECUREMENT),
    (DRESSING, "There is no new securement on it.", [drop("SEC17")], "D18", "newly-secured", SECUREMENT),
    (DRESSING, "The baby was lifted for a look, then you let it lie in the wet drape.", [drop("NEO13d", "NEO13")], "D14", "no-pool", NEWBORN),
    (DRESSING, "Nobody held the baby.", [drop("NEO1")], "D6", "newborn-contained", NEWBORN),
    (DRESSING, "You wiped the iodine off only after the film was on.", [move("PVI15", before="D19"), drop("PVI16a", "PVI16b")], "D16", "residue-off", IODINE),
    (DRESSING, "In the groin you went round and came back to the exit point.", [alter("PVI13", manner=("outward", "returning"))], "PVI13", "never-back", GROIN_IODINE),
    (DRESSING, "You did not tell the child's nurse.", [drop("CL8")], "end", "told-after", {}),
    (DRESSING, "Masks came off before the film was on.", [move("CL4", before="D18")], "CL4", "masks-stay", {}),
    (DRESSING, "The assistant scrubbed, in the gloves that held the tails.", [alter("D13", actor="assistant")], "D13", "old-gloves-stay-away", {}),
    (DRESSING, "You put the label on with the site still open.", [move("CL5", before="D18")], "end", "labelled-after", {}),
    (DRESSING, "The pump was stopped for a dressing and nobody started it.", [drop("CL6")], "end", "end", {}),
    (DRESSING, "The line lies straight: a pull on the tails is a pull on the line.", [drop("D17")], "D18", "held-in-a-loop", {}),
    # --- connector change
    (CONNECTOR, "You charted a new connector, and the old one is still on.", [drop("N3", "N4", "N4p", "N5", "N6a", "N6b", "N6c", "N7", "N9", "N10a", "N10b", "N10c", "N11", "N12", "N13", "N14", "N15")], "end", "connector-changed", {}),
    (CONNECTOR, "You opened the clamp before you joined the new one.", [move("N11", before="N9")], "N11", "closed-before-unclamping", {}),
    (CONNECTOR, "The clamp came off as soon as you had unscrewed it.", [repeat("N11", before="N9")], "again", "closed-before-unclamping", {}),
    (CONNECTOR, "You never drew back, you let the drug run straight in.", [drop("N12")], "N14", "flushed-before-running", {}),
    (CONNECTOR, "You flushed into a closed clamp.", [drop("N11")], "N12", "flushed-open", {}),
    (CONNECTOR, "You filled the connector after it was on.", [move("N4", before="N10a")], "N9", "primed-first", {}),
    (CONNECTOR, "The connector you filled was the first one; the second was dry.", [move("N4-2", before="N9")], "N9-2", "primed-first", TWO),
    (CONNECTOR, "You scrubbed the hub before the pump stopped and then handled the pump and went on.", [move("N4p", before="N7")], "N5", "paused-first", {}),
    (CONNECTOR, "You joined it while the hub was still shining.", [drop("N8c")], "N9", "open-hub-kept", {"soil": "yes"}),
    (CONNECTOR, "The hub hung open while you filled the new one; you had it unclamped.", [move("N4", before="N9"), move("N5", before="N9")], "N7", "open-only-clamped", {}),
    (CONNECTOR, "You never put gloves on.", [drop("N3")], "N4", "gloved-for-key-parts", {}),
    (CONNECTOR, "Sterile gloves, and you took the pump in hand.", [alter("N14", actor="operator")], "N14", "sterile-touches-unsterile", STERILE),
    (CONNECTOR, "The old connector came off with no new one opened.", [alter("N9", uses=())], "N9", "with-something", {}),
    (CONNECTOR, "The flush was done with no syringe.", [alter("N12", uses=())], "N12", "with-something", {}),
    (CONNECTOR, "The pump never went on again.", [drop("N14", "N15", "CL6")], "end", "end", {}),
    (CONNECTOR, "You checked the rate before the pump ran.", [move("N15", before="N14")], "N15", "rates-while-running", {}),
    (CONNECTOR, "The second lumen got no new connector.", [drop("N9-2")], "N11-2", "closed-before-unclamping", TWO),
    # --- set change
    (SET, "You never followed the line from bag to child.", [drop("S10")], "S11", "traced-first", {}),
    (SET, "You followed the line after it ran.", [move("S10", before="S13")], "S11", "traced-first", {}),
    (SET, "The old set is still on.", [drop("S8", "S9")], "end", "set-changed", {}),
    (SET, "You joined the set and had no set.", [alter("S9", uses=())], "S9", "with-something", {}),
    (SET, "The clamp was opened before the pump was loaded.", [move("S4h", before="S12")], "S9", "hung-first", {}),
    (SET, "The joint was scrubbed and you opened it wet.", [drop("S7b", "S7c")], "S8", "scrub-before-opening", {}),
    (SET, "You opened it before you scrubbed it.", [move("S8", before="S7a")], "S8", "scrub-before-opening", {}),
    (SET, "Nobody watched the new set settle.", [drop("S14")], "end", "set-watched", {}),
    (SET, "The wrong bag: you never checked the fluid.", [drop("S0")], "S3k", "fluid-checked", {}),
    (SET, "You opened the line, then stopped the pump.", [move("S5", before="S9")], "S6", "paused-first", {}),
    (SET, "The clamp stayed shut and the pump ran against it.", [move("S11", before="S13")], "S12", "not-into-a-clamp", {}),
    (SET, "You joined it with a touched end.", [alter("S9", manner=("bare-touch",))], "S9", "key-parts-bare", {}),
    (SET, "Who changed gloves? You spiked bare-handed.", [drop("S3")], "S3k", "gloved-for-key-parts", {}),
    # --- port needle change
    (PORT, "You never tried the new needle: no blood, no flush, and it runs.", [drop("I14")], "I15", "new-needle-tried", {}),
    (PORT, "You covered the needle before you knew it gave blood.", [move("I14", before="CL1")], "I15", "new-needle-tried", {}),
    (PORT, "The pump went on before anybody drew back.", [move("CL6", before="I14")], "CL6", "new-needle-tried", {}),
    (PORT, "The old needle was never flushed and locked.", [drop("I4")], "I7", "old-needle-locked", {}),
    (PORT, "You pulled the needle unclamped.", [drop("I5")], "I7", "old-needle-locked", {}),
    (PORT, "You took the needle out and pressed nothing.", [drop("I8")], "end", "puncture-pressed", {}),
    (PORT, "The old needle went back in.", [alter("I13", uses=())], "I13", "new-needle-new", {}),
    (PORT, "You scrubbed round the old needle with it in.", [move("I7", before="I13")], "I12a", "old-needle-before-scrub", {}),
    (PORT, "The needle was filled after it was in.", [move("I11", before="I14")], "I13", "primed-first", {}),
    (PORT, "One swab over the port.", [alter("I12a", uses=(("antiseptic-swab", 1),))], "I12a", "swabs-of-the-plan", {}),
    (PORT, "The film went on over nothing but iodine.", [drop("I12r", "I12rb", "I12rc")], "I15", "residue-off", IODINE),
    (PORT, "You felt for the port again after the scrub.", [repeat("I0a", before="I13", actor="operator", verb="feel", touches=("site",))], "again", "nobody-feels", {}),
    (PORT, "You never felt where the port lies.", [drop("I0a")], "I4", "port-felt", {}),
    (PORT, "No needle in, and you charted a change.", [drop("I13", "I14")], "end", "needle-changed", {}),
    (PORT, "You covered it with nothing.", [alter("I15", uses=())], "I15", "with-something", {}),
    (PORT, "Gauze alone: the film is missing.", [alter("I15", uses=(("sterile-gauze", 1),))], "I15", "plan-film", {}),
    # --- re-cover
    (COVER, "The open exit point was covered with nothing.", [alter("E5", uses=())], "E5", "with-something", OPEN),
    (COVER, "You never called anybody.", [drop("E1")], "E2", "second-person-called", OPEN),
    (COVER, "Nobody told the ward that the change is due now.", [drop("E8")], "end", "told-after", OPEN),
    (COVER, "You left it open and charted it.", [drop("E5")], "end", "left-covered", OPEN),
    (COVER, "The edge was only looked at.", [drop("E2b")], "end", "left-covered", LOOSE),
    (COVER, "Dirty hands under the gloves.", [drop("E3b")], "E4", "hands-before-gloves", OPEN),
    (COVER, "You never cleaned your hands.", [drop("E2")], "E2b", "hands-first", LOOSE),
    (COVER, "You let go of the line and then covered it.", [move("E7", before="E5"), drop("E1b")], "E7", "held-while-open", OPEN),
    # --- removal
    (REMOVAL, "You let go to change your gloves, with the hole open.", [move("R14", before="R16"), repeat("R9e", before="R14")], "R15", "open-tract", {}),
    (REMOVAL, "You stopped pressing to look at the tip yourself.", [alter("R15", actor="operator", touches=("tip",), verb="doff")], "R15", "pressure-kept", {}),
    (REMOVAL, "You let go too early.", [alter("R14", seconds="hand-rub")], "R14", "press-its-time", {}),
    (REMOVAL, "No time was kept while you pressed.", [alter("R14", seconds=None)], "R14", "press-its-time", {}),
    (REMOVAL, "You scrubbed the open hole.", [repeat("R11a", before="R16")], "again", "tract-never-scrubbed", {}),
    (REMOVAL, "You wiped the hole with saline.", [move("R11r", before="R16"), drop("R11rb", "R11rc")], "R11r", "tract-never-scrubbed", IODINE),
    (REMOVAL, "You pressed with nothing in your hand.", [alter("R14", uses=())], "R14", "with-something", {}),
    (REMOVAL, "Nobody looked whether the tip was whole.", [drop("R15")], "CL1", "tip-looked-at", {}),
    (REMOVAL, "The hole has no air-tight cover.", [drop("R16")], "end", "tract-sealed", {}),
    (REMOVAL, "You sealed it with nothing.", [alter("R16", uses=())], "R16", "with-something", {}),
    (REMOVAL, "The child was sat up for the sealing.", [drop("R2", "PR7")], "R13", "pull-safely", {}),
    (REMOVAL, "Nobody stayed with the child.", [drop("R17")], "end", "watched-after", {}),
    (REMOVAL, "They watched for half a minute.", [alter("R17", seconds="hand-rub")], "R17", "watched-its-time", {}),
    (REMOVAL, "The line is still in.", [drop("R13", "R14", "R16")], "end", "line-drawn", {}),
    (REMOVAL, "Who ordered it out? Nobody read the order.", [drop("R1")], "R4.1", "order-read", {}),
    (REMOVAL, "You cut the stitches and then let the line hang to change gloves.", [repeat("R9e", before="R13"), ], "again", "operator-hands-over", {}),
    (REMOVAL, "The stitches were cut before the masks were on.", [move("R12", before="PR12")], "R12", "dry-before-anything", {}),
    (REMOVAL, "The air-tight cover sits on iodine.", [drop("R11r", "R11rb", "R11rc")], "R16", "residue-off", {"agent": "povidone-iodine"}),
    (REMOVAL, "Your glove lay on the skin before the scrub, and you went on.", [alter("R11a", touches=("skin",))], "R11a", "line-unsterile", {}),
]  # fmt: skip
