// Pages that nobody's list stands behind (signing in, an unknown phone, nothing here): a phone that was revoked, or whose
// user left, is told here, hands over what it had not sent and forgets what it kept. Any other phone is left as it is.
"use strict";

(() => {
  const words = document.currentScript.dataset;
  if (!self.indexedDB || !self.caches || !navigator.locks || !self.crypto?.subtle) return;

  const say = (given) => {
    document.getElementById("phone-cleared")?.remove();
    const box = Object.assign(document.createElement("section"), { id: "phone-cleared", className: "card-line" });
    box.setAttribute("role", "status");
    const line = (tag, text) => box.append(Object.assign(document.createElement(tag), { textContent: text }));
    line("h2", words.head);
    line("p", `${words.cleared} ${given ? words.given : ""}`.trim());
    document.querySelector("main").prepend(box);
  };

  document.addEventListener("barnrugs:queue", ({ detail: { cleared } }) => cleared !== undefined && say(cleared));
  // The page that stands in for any other does not know whether this phone is a shared one; what is kept here does.
  const offer = async () => {
    const link = document.querySelector("main a[data-somebody-else]");
    if (link) link.hidden = !(await caches.match(link.pathname, { cacheName: "phone" }));
  };
  const begin = async () => {
    await offer();
    if ((await self.barnQueue.barns()).size) await self.barnQueue.contact();
  };
  // Without signal: at the next contact.
  begin().catch(() => {});
})();
