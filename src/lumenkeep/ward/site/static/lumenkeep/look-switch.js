// The switch between the device's own look, light and dark.
const KEY = "lumenkeep-look";
const ORDER = ["device", "light", "dark"];
/** @type {Record<string, string>} */
const WORDS = { device: "Look: device", light: "Look: light", dark: "Look: dark" };
const button = /** @type {HTMLElement} */ (document.querySelector("[data-look-switch]"));

const chosen = () => localStorage.getItem(KEY) ?? "device";

/** @param {string} look */
function show(look) {
  if (look === "device") {
    localStorage.removeItem(KEY);
    delete document.documentElement.dataset.look;
  } else {
    localStorage.setItem(KEY, look);
    document.documentElement.dataset.look = look;
  }
  button.textContent = WORDS[look];
}

if (button) {
  button.hidden = false;
  show(chosen());
  button.addEventListener("click", () => {
    show(ORDER[(ORDER.indexOf(chosen()) + 1) % ORDER.length]);
  });
}
