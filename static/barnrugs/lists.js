// After a Done the next open line's Done has the focus, so that a whole list can be worked off from one place.
"use strict";

(() => {
  const open = (line) => line.querySelector("form[action$='/done/'] button:not([disabled])");
  const inSight = (button) => Boolean(button?.checkVisibility());
  let done = null;

  const after = (line) => {
    const lines = [...document.querySelectorAll("li.due-line")];
    const place = lines.findIndex((one) => one.id === line);
    return [...lines.slice(place + 1), ...lines.slice(0, place)].map(open).find(inSight);
  };

  const look = () => {
    const line = done && document.getElementById(done);
    if (!line || inSight(line.querySelector("form[action$='/done/'] button"))) return;
    if (!line.querySelector(".act") || !inSight(line.querySelector(".act"))) after(done)?.focus();
    done = null;
  };

  // On the window, so that it is heard before the queue of a phone takes the tap.
  addEventListener("submit", (event) => {
    const line = event.target.closest?.("li.due-line");
    if (line && event.target.matches("[action$='/done/']")) done = line.id;
  }, true);
  // A key that is held down notes one horse, not one after the other.
  addEventListener("keydown", (event) => {
    if (event.repeat && event.key === "Enter" && event.target.closest?.("li.due-line")) event.preventDefault();
  }, true);
  const list = document.querySelector("ol.rows");
  if (list) new MutationObserver(look).observe(list, { attributes: true, childList: true, subtree: true });
})();
