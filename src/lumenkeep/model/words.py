"""The closed lists of words a case may use for a line, its site and its dressing."""

from __future__ import annotations

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
DRESSINGS = {
    "transparent": "Clear film",
    "transparent-chg-gel": "Clear film with chlorhexidine gel pad",
    "transparent-chg-disc": "Clear film over a chlorhexidine disc",
    "gauze": "Gauze",
    "gauze-under-transparent": "Gauze under a clear film",
}
SKIN = {"intact": "Intact", "broken": "Broken"}
FINDINGS = {
    "damp": "Damp",
    "loose": "Loose",
    "soiled": "Soiled",
    "bleeding": "Bleeding or oozing",
}
SET_KINDS = {
    "plain": "Plain fluids",
    "lipid": "Lipid",
    "blood": "Blood",
}
UNITS = {
    "newborn-intensive-care": "Newborn intensive care",
    "intensive-care": "Intensive care",
    "ward": "Ward",
}
SENSITIVITIES = {
    "chlorhexidine": "Chlorhexidine",
    "iodine": "Iodine",
    "alcohol": "Alcohol",
    "adhesive": "Adhesive",
    "latex": "Latex",
}
SENSITIVITY_SYNONYMS = {
    "chg": "chlorhexidine",
    "chlorhexidine-gluconate": "chlorhexidine",
    "chlorhexidine-alcohol": "chlorhexidine",
    "chlorhexidine-aqueous": "chlorhexidine",
    "povidone-iodine": "iodine",
    "povidone": "iodine",
    "pvi": "iodine",
    "iodophor": "iodine",
    "isopropyl-alcohol": "alcohol",
    "alcohol-70": "alcohol",
    "adhesives": "adhesive",
    "natural-rubber-latex": "latex",
}
