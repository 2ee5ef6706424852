"""The closed lists of words a case may use for a line, its site and its dressing."""

from __future__ import annotations

from lumenkeep.core.model.dressing_kinds import DRESSING_KINDS

LINE_KINDS = {
    "non-tunnelled": "Non-tunnelled central line",
    "tunnelled": "Tunnelled central line",
    "picc": "PICC",
    "port": "Implanted port",
    "umbilical-venous": "Umbilical venous line",
    "umbilical-arterial": "Umbilical arterial line",
    "haemodialysis": "Haemodialysis line",
}
SITES = {
    "femoral": "Groin (femoral)",
    "internal-jugular": "Neck (internal jugular)",
    "subclavian": "Below the collarbone (subclavian)",
    "upper-arm": "Upper arm",
    "lower-leg": "Lower leg",
    "scalp": "Scalp",
    "umbilical": "Umbilicus",
    "chest": "Chest",
}
DRESSINGS = {word: kind.label for word, kind in DRESSING_KINDS.items()}
SKIN = {"intact": "Intact", "broken": "Broken"}
FINDINGS = {
    "damp": "Damp",
    "loose": "Loose",
    "soiled": "Soiled",
    "bleeding": "Bleeding or oozing",
    "discharge": "Pus or other discharge",
    "sodden": "Skin white and sodden",
}
SET_KINDS = {
    "plain": "Plain fluids",
    "lipid": "Lipid",
    "blood": "Blood",
    "medicine": "Medicine",
}
PATENCY = {
    "open": "Blood comes back and fluid goes in easily",
    "sluggish": "Blood comes back, fluid goes in stiffly",
    "no-return": "Fluid goes in, no blood comes back",
    "blocked": "Neither",
}
UNITS = {
    "newborn-intensive-care": "Newborn intensive care",
    "intensive-care": "Intensive care",
    "ward": "Ward",
}
YES_NO = {"yes": "Yes", "no": "No"}
SENSITIVITIES = {
    "chlorhexidine": "Chlorhexidine",
    "iodine": "Iodine",
    "alcohol": "Alcohol",
    "adhesive": "Adhesive",
    "latex": "Latex",
    "gel": "Gel or hydrogel",
    "silicone": "Silicone",
}
