// Which light the page is read by. This runs before anything is painted, so that
// the night is never broken by a white page.
(function () {
  "use strict";
  let light = "";
  try {
    light = localStorage.getItem("ampwake.light") || "";
  } catch {
    // private windows may have no storage
  }
  if (!light) light = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  const root = document.documentElement;
  root.dataset.light = light;
  if (light !== "light") { // until the style sheets are there
    root.style.colorScheme = "dark";
    root.style.background = "#000";
    addEventListener("load", () => root.removeAttribute("style"));
  }
})();
