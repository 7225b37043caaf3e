// Whoever types where a wet blanket hangs means somewhere else: its button is marked.
"use strict";

document.addEventListener("input", ({ target }) => {
  const other = target.matches?.("input:not([type=radio])") && target.closest(".drying-place")?.querySelector("[data-else]");
  if (other && target.value.trim()) other.checked = true;
});
