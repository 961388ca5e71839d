// Light or dark, before anything is drawn: as chosen last, else as the computer is set.
(() => {
  let theme = null;
  try { theme = localStorage.getItem("casewright-theme"); } catch { /* no storage: the computer's own */ }
  if (theme !== "light" && theme !== "dark") {
    theme = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  }
  document.documentElement.dataset.theme = theme;
  window.casewrightTheme = (name) => {
    document.documentElement.dataset.theme = name;
    try { localStorage.setItem("casewright-theme", name); } catch { /* kept for this page only */ }
  };
})();
// In the project's menu the arrows go from line to line, as in any menu.
addEventListener("keydown", (event) => {
  const menu = event.target.closest?.(".paper-menu");
  const step = { ArrowDown: 1, ArrowUp: -1, Home: -Infinity, End: Infinity }[event.key];
  if (!menu || !step) return;
  event.preventDefault();
  const lines = [...menu.querySelectorAll(".q-item")], at = lines.indexOf(document.activeElement);
  const next = at < 0 ? (step === 1 ? 0 : step) : at + step;
  lines[Number.isFinite(next) ? (next + lines.length) % lines.length : next < 0 ? 0 : lines.length - 1]?.focus();
});
