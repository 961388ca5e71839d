// The page's keys, wherever the focus is; what is typed into a box stays there, and saving takes it first.
(() => {
  const TYPED = "input:not([type=checkbox], [type=radio], [type=range], [type=file], [readonly]), textarea, select";
  const TAKEN = 200; // what leaving a box sends is with the server by then [ms]

  // Some computers write other signs while Alt is held.
  const plain = ({ key, code }) =>
    /^[!-~]$/.test(key) ? key.toLowerCase() : { Minus: "-", Equal: "=" }[code] ?? code.replace(/^(Digit|Key)/, "").toLowerCase();

  addEventListener("keydown", (event) => {
    const { target, shiftKey: shift, altKey: alt } = event;
    const command = event.ctrlKey || event.metaKey, key = alt ? plain(event) : event.key.toLowerCase();
    const isOurs = command ? !alt && ["z", "y", "s"].includes(key) : alt ? window.casewrightSteps?.includes(key) : key === "?";
    if (!isOurs || !(target instanceof Element)) return;
    const isTyped = target.isContentEditable || target.matches(TYPED), isSave = command && key === "s";
    if (isSave) event.preventDefault(); // the browser's own
    if (event.repeat || document.querySelector(".q-dialog .paper-dialog") || (isTyped && !isSave)) return;
    event.preventDefault();
    const send = () => emitEvent("page-key", { key, command, shift });
    if (!isTyped) return send();
    target.blur();
    setTimeout(() => { send(); target.focus(); }, TAKEN);
  });
})();
