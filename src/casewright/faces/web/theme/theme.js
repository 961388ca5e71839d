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
// The keys that a browser would take for itself.
addEventListener("keydown", (event) => {
  const key = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && !event.altKey && key === "s") event.preventDefault();
});
