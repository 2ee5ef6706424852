// Steps read aloud by the browser's own voice; off until somebody wishes it.
const KEY = "lumenkeep-guide-aloud";

export const canSpeak = () => "speechSynthesis" in window;
export const isAloud = () => canSpeak() && localStorage.getItem(KEY) === "yes";

/** @param {boolean} wanted */
export function setAloud(wanted) {
  localStorage.setItem(KEY, wanted ? "yes" : "no");
  if (!wanted) speechSynthesis.cancel();
}

/** @param {string} words */
export function speak(words) {
  if (!isAloud() || !words) return;
  speechSynthesis.cancel();
  const said = new SpeechSynthesisUtterance(words);
  said.lang = "en-GB";
  speechSynthesis.speak(said);
}
