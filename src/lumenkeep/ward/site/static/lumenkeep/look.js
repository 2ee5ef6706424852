// Runs before the page is drawn, so that a chosen light or dark look never flashes.
(() => {
  const chosen = localStorage.getItem("lumenkeep-look");
  if (chosen === "light" || chosen === "dark") {
    document.documentElement.dataset.look = chosen;
  }
})();
