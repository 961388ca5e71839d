// Where this phone was last in a project: kept on the phone, so that each has its own place.
window.casewrightPlace = (project, step) => {
  try { localStorage.setItem(`casewright-step-${project}`, step); } catch { /* no storage: for this page only */ }
};
window.casewrightWhere = (project) => {
  let step = "";
  try { step = localStorage.getItem(`casewright-step-${project}`) || ""; } catch { /* no storage */ }
  emitEvent("place", step);
};
window.casewrightOtherTheme = () =>
  casewrightTheme(document.documentElement.dataset.theme === "dark" ? "light" : "dark");
// A picture made larger shows its middle first.
window.casewrightMiddle = (id) => setTimeout(() => {
  const box = document.getElementById(`c${id}`);
  if (box) box.scrollTo((box.scrollWidth - box.clientWidth) / 2, (box.scrollHeight - box.clientHeight) / 2);
}, 60);
window.casewrightCurrent = () => setTimeout(() => {
  const row = document.querySelector(".phone-row[aria-current]");
  if (row) row.scrollIntoView({ block: "center" });
}, 60);
