// A staff page without signal: every tap goes through the queue, the bar says in words where it is, the coming day's
// pages are kept. Without this script the same forms go to the house as they are.
"use strict";

(() => {
  const told = JSON.parse(document.getElementById("phone-told")?.textContent || "null");
  if (!told || !self.indexedDB || !navigator.serviceWorker || !self.crypto?.subtle) return;
  const store = self.barnStore;
  const queue = self.barnQueue;
  const words = told.words;
  const EVERY_MS = 30000;
  const SOON_MS = 3600 * 1000;
  const ANSWER_WITHIN_MS = 4000;
  const say = (word, filled = {}) =>
    Object.entries(filled).reduce((text, [name, value]) => text.replaceAll(`%${name}`, value), words[word]);
  const clock = (moment) => new Date(moment).toLocaleString(document.documentElement.lang, {
    weekday: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: told.zone,
  });
  const made = (tag, text = "", how = {}) => Object.assign(document.createElement(tag), { textContent: text, ...how });
  // Marked when it was kept: no clock of a phone says whether a page is of now.
  let oldPage = "keptCopy" in document.documentElement.dataset;
  // It stands in for one that is not kept: of that one nothing is known.
  const isNotKept = Boolean(document.querySelector("[data-not-kept]"));
  const MAP = `map/${told.slug}/${told.person}`;
  const pagesHere = () => caches.open(store.cacheOf(told.slug, told.person));

  // Who is at the phone. A page of somebody else, kept or fresh, is not for whoever came in by their PIN, unless that
  // somebody signed in after them.
  const signedInSince = (who) =>
    !oldPage && told.signed_in_ms_ago !== null && told.signed_in_ms_ago < Date.now() - (who.at || 0);
  const whoIsHere = async () => {
    const who = await queue.active();
    if (who && who.byPin && who.person !== told.person && !signedInSince(who)) {
      location.replace("/this-phone/");
      return null;
    }
    if (!who || who.person !== told.person || (!who.byPin && who.slug !== told.slug)) {
      const here = { slug: told.slug, person: told.person, name: told.name, byPin: false, due: told.due };
      await store.put("state", here, "active");
      return here;
    }
    return who;
  };

  // ---- the forms, each turned into what it says

  const ROUTES = [
    [/\/lines\/(\d+)\/done\/$/, "done", "line"],
    [/\/lines\/(\d+)\/other\/$/, "other", "line"],
    [/\/lines\/(\d+)\/not-done\/$/, "not_done", "line"],
    [/\/lines\/(\d+)\/take-back\/$/, "take_back", "line"],
    [/\/horses\/(\d+)\/hand-check\/$/, "hand_check", "horse"],
    [/\/horses\/(\d+)\/damage\/$/, "damage", "horse"],
    [/\/blankets\/(\d+)\/damage\/$/, "damage", "blanket"],
    [/\/horses\/(\d+)\/wear\/$/, "wear", "horse"],
  ];
  const HERE = /\/lists\/[^/]+\/[^/]+\/here\/[^/]+\/$/;

  class Faulty extends Error {
    constructor(sentence, field) {
      super(sentence);
      this.field = field;
    }
  }

  const text = (data, name) => String(data.get(name) || "").trim();
  const why = (data) => {
    const given = [text(data, "reason"), text(data, "more")].filter(Boolean).join(": ") || text(data, "why");
    if (!given) throw new Faulty(words.say_why, data.has("more") ? "reason" : "why");
    return given;
  };
  const fate = (data, isSoaked = false) => {
    const wet = isSoaked || data.has("wet");
    const given = data.getAll("place");
    const place = given.map((one) => one.trim()).filter(Boolean).pop() || "";
    const marked = given.length > 1 ? given[0] : null;
    if (place && marked === "") throw new Faulty(words.wet_or_not, "place");
    if ((wet || marked === " ") && !place) throw new Faulty(words.where_hangs, "place");
    return { wet, place };
  };
  const listed = (place) => ({
    tags: (place?.dataset.tags ?? "").split(" ").filter(Boolean), neck: place?.dataset.neck === "yes",
  });
  const soaked = (form) => (form.querySelector("[data-soaked]") ?? form).dataset.soaked?.split(" ").filter(Boolean) ?? [];
  const instead = (data) => {
    const choice = String(data.get("instead") ?? "by_tag");
    if (choice !== "by_tag") {
      const [tags, neck] = choice.split("|");
      return { tags: tags.split(" ").filter(Boolean), neck: neck === "neck" };
    }
    const tags = text(data, "tags").toUpperCase().split(/\s+/).filter(Boolean);
    if (!tags.length) throw new Faulty(words.which_tag, "tags");
    return { tags, neck: false };
  };
  const FIELDS = {
    done: (data, form) => {
      const place = form.closest("[data-tags]");
      return { ...(place ? listed(place) : {}), ...fate(data) };
    },
    other: (data, form) => {
      const put = instead(data);
      return { ...put, why: why(data), more: text(data, "more"), ...fate(data, soaked(form).some((tag) => !put.tags.includes(tag))) };
    },
    not_done: (data) => ({ why: why(data) }),
    take_back: () => ({}),
    hand_check: (data) => {
      if (!data.get("felt")) throw new Faulty(words.what_felt, "felt");
      const shivers = data.get("shivers") ? text(data, "shivers") : "";
      return { felt: text(data, "felt"), note: text(data, "note"), shivers: Boolean(shivers) };
    },
    damage: (data) => {
      if (!data.get("part")) throw new Faulty(words.what_wrong, "part");
      return { part: text(data, "part"), usable: data.get("use") === "usable", note: text(data, "note") };
    },
    wear: (data) => ({
      tags: text(data, "tags").toUpperCase().split(/\s+/).filter(Boolean), neck: data.has("neck"), why: text(data, "why"),
      ...fate(data),
    }),
  };

  const nameOf = (form) =>
    form.closest("[data-name]")?.dataset.name || document.querySelector("main [data-name]")?.dataset.name ||
    document.querySelector("h1")?.firstChild?.textContent.trim() || "";

  // What a hand felt, and what to do about it now: the house's own words, which came with the page.
  const felt = (form, { felt: hand, shivers }) => ({
    felt: form.querySelector(`[name=felt][value=${hand}]`)?.textContent.trim() || "",
    cautions: [...(document.getElementById("felt-noted")?.content.querySelectorAll("[data-when]") || [])]
      .filter(({ dataset: { when } }) => (shivers ? when === "shivers" || (when === hand && hand !== "cold") : when === hand))
      .map((part) => part.textContent.trim()),
  });

  const read = (form, submitter) => {
    const address = new URL(form.getAttribute("action") || location.href, location.href);
    const data = new FormData(form, submitter);
    if (HERE.test(address.pathname)) return allHere(form, data);
    const route = ROUTES.find(([pattern]) => pattern.test(address.pathname));
    if (!route) return null;
    const [pattern, kind, subject] = route;
    const about = { [subject]: Number(address.pathname.match(pattern)[1]) };
    if (kind === "damage" && subject === "horse") {
      if (!data.get("blanket")) throw new Faulty(words.which_blanket, "blanket");
      about.blanket = Number(data.get("blanket"));
    }
    const file = data.get("picture");
    const picture = file instanceof File && file.size ? file : null;
    const fields = FIELDS[kind](data, form);
    const shown = kind === "hand_check" ? felt(form, fields) : null;
    // A kept page gives the same number at each opening.
    const number = oldPage ? "" : text(data, "once");
    return [{ kind, ...about, label: nameOf(form), fields, picture, shown, number }];
  };

  const allHere = (form, data) => {
    const but = new Set(data.getAll("but"));
    return [...form.querySelectorAll("input[name=but]")]
      .filter((input) => !but.has(input.value))
      .map((input) => {
        const place = input.closest("[data-tags]");
        return {
          kind: "done", line: Number(input.value), label: place?.dataset.name || "",
          fields: place ? { ...listed(place), wet: false, place: "" } : {},
        };
      });
  };

  const isList = () => Boolean(document.querySelector("li.due-line"));
  const back = (events) => {
    const [{ line, horse, blanket }] = events;
    if (blanket && !horse) location.assign(location.pathname.replace(/damage\/$/, ""));
    else location.assign((sessionStorage.getItem("list") || told.due) + (events.length === 1 && line ? `#line-${line}` : ""));
  };

  const shout = (word) => {
    const box = document.getElementById("queue-shout") || made("p", "", { id: "queue-shout", className: "shout" });
    box.setAttribute("role", "alert");
    box.textContent = words[word] || word;
    document.querySelector("main").prepend(box);
    box.scrollIntoView({ block: "center" });
  };

  // At its field, which takes the focus; at the page's head where the form has no such field.
  const atField = (form, { message, field }) => {
    document.getElementById("queue-fault")?.remove();
    const control = form.querySelector(`[name="${field}"]:not([type=hidden])`);
    if (!control) {
      shout(message);
      return;
    }
    document.getElementById("queue-shout")?.remove();
    for (let folded = control.closest("details:not([open])"); folded; folded = control.closest("details:not([open])")) folded.open = true;
    const said = made("p", message, { id: "queue-fault", className: "warn" });
    said.setAttribute("role", "alert");
    const group = control.closest("fieldset, [role=group]");
    const legend = group?.querySelector("legend");
    if (legend) legend.after(said);
    else if (group) group.prepend(said);
    else control.before(said);
    control.setAttribute("aria-describedby", said.id);
    control.focus({ preventScroll: true });
    said.scrollIntoView({ block: "center" });
  };

  const shrunkFirst = async (form) => {
    for (const input of form.querySelectorAll("input[type=file][data-ready=no]")) {
      for (let turn = 0; turn < 100 && input.dataset.ready !== "yes"; turn += 1) await new Promise((go) => setTimeout(go, 50));
    }
  };

  // Whether it is noted now.
  const keep = async (form, submitter) => {
    const top = submitter?.getBoundingClientRect().top;
    let events;
    try {
      await shrunkFirst(form);
      events = read(form, submitter);
    } catch (fault) {
      if (!(fault instanceof Faulty)) throw fault;
      atField(form, fault);
      return false;
    }
    const items = [];
    try {
      for (const event of events) items.push(await addLarge(event));
    } catch (fault) {
      await notKept(form, submitter, fault);
      return false;
    }
    const sent = send();
    if (items.length === 1 && items[0].kind === "hand_check") return tellFelt(form, items[0], sent, top);
    if (!isList()) back(events);
    return true;
  };

  const add = (event) => queue.add({ ...event, by: told.person, page_at: told.at });
  const isFull = (fault) => /quota|full/i.test(`${fault?.name} ${fault?.message}`);

  // Kept without its picture where there is no room for that: that it is torn is what the others must know.
  const addLarge = async (event) => {
    try {
      return await add(event);
    } catch (fault) {
      if (!event.picture || !isFull(fault)) throw fault;
      const item = await add({ ...event, picture: null });
      sessionStorage.setItem("shout", words.no_picture);
      return item;
    }
  };

  // Where the finger is, as soon as it is on the phone's disk, and there it stays while the bar grows above it. What
  // comes back puts the form as it was.
  const sayNoted = (form, item, top) => {
    const button = form.querySelector(`[name=felt][value=${item.fields.felt}]`);
    const word = button.textContent;
    button.textContent = say("noted_sending", { what: item.shown.felt });
    form.classList.add("is-noted");
    button.classList.add("noted");
    form.inert = true;
    const steady = new ResizeObserver(() => scrollBy({ top: button.getBoundingClientRect().top - top, behavior: "instant" }));
    steady.observe(bar());
    return () => {
      steady.disconnect();
      form.inert = false;
      form.classList.remove("is-noted");
      button.classList.remove("noted");
      button.textContent = word;
    };
  };

  // After a hand check: the house's page with what it makes of it; without signal what came with this page.
  const tellFelt = async (form, item, sent, top) => {
    const tapped = sayNoted(form, item, top);
    await Promise.race([sent.catch(console.error), new Promise((go) => setTimeout(go, ANSWER_WITHIN_MS))]);
    const now = (await queue.list()).find((one) => one.once === item.once);
    if (now?.to) {
      location.assign(now.to);
      return true;
    }
    tapped();
    if (now?.state === "needs") {
      shout(now.said);
      return false;
    }
    const noted = document.getElementById("felt-noted").content.cloneNode(true);
    noted.querySelector("[data-felt]").textContent = item.shown.felt;
    for (const part of noted.querySelectorAll("[data-when]")) {
      if (!item.shown.cautions.includes(part.textContent.trim())) part.remove();
    }
    form.replaceWith(noted);
    document.getElementById("noted").focus();
    return true;
  };

  // The tap is not swallowed: with signal the form goes as it is, in the name of whose page it is; without it, or
  // where somebody else came in meanwhile, it is said that nothing was kept.
  const notKept = async (form, submitter, fault) => {
    const house = fault instanceof queue.SomebodyElse ? null : await queue.house().catch(() => null);
    if (house?.people[told.slug] !== told.person) {
      shout(fault instanceof queue.SomebodyElse ? "somebody_else" : isFull(fault) ? "full" : "failed");
      return;
    }
    pass(form, submitter, house);
  };

  // A form that is shown notes once, however often it is tapped, until its line says otherwise or the page is another.
  let spent = new WeakSet();
  const noteOnce = async (form, submitter) => {
    if (spent.has(form)) return;
    spent.add(form);
    let isNoted = false;
    try {
      isNoted = await keep(form, submitter);
    } finally {
      if (!isNoted) spent.delete(form);
    }
  };
  addEventListener("pageshow", ({ persisted }) => {
    if (persisted) spent = new WeakSet();
  });

  // What no queue takes goes only where the house answers: the browser's own page for no signal would lose what was typed.
  const SIGNAL_WITHIN_MS = 8000;
  const asking = new WeakSet();
  const withSignal = async (form, submitter) => {
    if (asking.has(form)) return;
    asking.add(form);
    const tooLate = new Promise((_keep, fail) => setTimeout(fail, SIGNAL_WITHIN_MS));
    const house = await Promise.race([queue.house(), tooLate]).catch(() => null);
    asking.delete(form);
    if (!house) await unheard();
    if (house?.people[told.slug] === told.person) pass(form, submitter, house);
    else sayAt(form, submitter, !house ? "needs_signal" : house.people[told.slug] ? "somebody_else" : "sign_in");
  };
  const sayAt = (form, submitter, word) => {
    document.getElementById("queue-fault")?.remove();
    const said = made("p", words[word], { id: "queue-fault", className: "warn" });
    said.setAttribute("role", "alert");
    if (submitter?.form === form && form.contains(submitter)) submitter.before(said);
    else form.append(said);
    said.scrollIntoView({ block: "center" });
  };

  const passing = new WeakSet();
  const pass = (form, submitter, house) => {
    document.getElementById("queue-fault")?.remove();
    const token = form.querySelector("[name=csrfmiddlewaretoken]");
    if (token) token.value = house.token;
    passing.add(form);
    form.requestSubmit(submitter || undefined);
  };
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (passing.delete(form) || form.method !== "post") return;
    let known = false;
    try {
      known = read(form, event.submitter) !== null;
    } catch {
      known = true;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
    if (known) noteOnce(form, event.submitter);
    else withSignal(form, event.submitter);
  }, true);

  // ---- what is on this phone, in words

  const OVERLAID = new Set(["done", "other", "not_done", "take_back"]);
  let sendingNow = new Set();

  const stateOf = (item) => {
    if (item.state === "needs") return "needs";
    if (item.state === "sent") return { question: "asked", kept: "kept" }[item.status] || "sent";
    return sendingNow.has(item.once) ? "sending" : "here";
  };

  const overlay = (items) => {
    const last = new Map();
    const checks = new Map();
    for (const item of items) {
      if (!queue.waits(item) && item.sentNow <= told.at) continue;
      if (OVERLAID.has(item.kind)) last.set(item.about.line, item);
      if (item.kind === "hand_check") checks.set(item.label, item);
    }
    for (const row of document.querySelectorAll("li.due-line")) {
      const item = last.get(Number(row.id.replace("line-", "")));
      const check = checks.get(row.dataset.name);
      const covers = Boolean(item) && item.kind !== "take_back" && item.person === told.person;
      row.querySelectorAll(".queued").forEach((part) => part.remove());
      for (const part of row.children) if (!part.matches("h2")) part.hidden = covers;
      if (row.classList.contains("is-queued") && !covers) row.querySelectorAll("form").forEach((form) => spent.delete(form));
      row.classList.toggle("is-queued", covers);
      if (item && covers) row.append(overlaid(item));
      else if (item) row.querySelector("h2").after(overlaid(item));
      if (check) row.querySelector("h2").after(checked(check));
    }
  };

  const whose = (item) => (item.person === told.person ? words[stateOf(item)] : `${words[stateOf(item)]} · ${item.name}`);

  const checked = (item) => {
    const box = made("div", "", { className: "queued" });
    box.append(made("p", `${words.hand_check}${item.shown?.felt ? `: ${item.shown.felt}` : ""} · ${whose(item)}`, { className: "answer small" }));
    for (const text of item.shown?.cautions || []) box.append(made("p", text, { className: "warn" }));
    return box;
  };

  const overlaid = (item) => {
    const box = made("div", "", { className: "queued" });
    const doing = item.kind === "take_back" ? words.taken_back : words[item.kind];
    box.append(made("p", `${doing} · ${whose(item)}`, { className: "answer small" }));
    if (item.said) box.append(made("p", item.said, { className: "warn" }));
    if (item.kind !== "take_back" && item.state !== "needs" && item.person === told.person) {
      const button = made("button", words.take_back, { className: "btn btn-secondary", type: "button" });
      button.append(made("span", ` ${item.label}`, { className: "visually-hidden" }));
      button.onclick = () => {
        button.disabled = true;
        add({ kind: "take_back", line: item.about.line, label: item.label, fields: {} }).then(send, (fault) => {
          button.disabled = false;
          shout(fault instanceof queue.SomebodyElse ? "somebody_else" : isFull(fault) ? "full" : "failed");
        });
      };
      box.append(button);
    }
    return box;
  };

  const bar = () => {
    const known = document.getElementById("queue");
    if (known) return known;
    const section = made("section", "", { id: "queue", className: "queue", hidden: true });
    section.setAttribute("aria-label", words.noted);
    section.append(
      made("p", "", { id: "queue-said", className: "answer small" }), made("div", "", { id: "queue-more" }),
      made("button", "", { id: "queue-send", type: "button", className: "btn btn-primary", hidden: true }),
      made("details"),
    );
    section.querySelector("#queue-said").setAttribute("role", "status");
    section.querySelector("#queue-send").onclick = () => send();
    const details = section.querySelector("details");
    details.append(made("summary", words.noted), made("ol", "", { id: "queue-items", className: "rows" }));
    document.querySelector("main").prepend(section);
    return section;
  };

  // Where nothing waits and nobody is needed: one line, after the first answer of a list, else at the page's foot.
  const quiet = made("section", "", { id: "phone-line", className: "phone-line screen-only" });
  const quietSaid = made("span", "", { id: "phone-said" });
  const quietKept = made("span", "", { id: "phone-kept" });
  const quietItems = made("ol", "", { id: "phone-items", className: "rows" });
  const placeQuiet = () => {
    const line = made("summary");
    const details = made("details");
    quietSaid.setAttribute("role", "status");
    quiet.setAttribute("aria-label", words.this_phone);
    quietKept.textContent = words.this_phone;
    line.append(quietSaid, " ", quietKept);
    details.append(line, made("p", words.kept_how), quietItems);
    quiet.append(details);
    const answer = document.getElementById("progress");
    if (answer) answer.after(quiet);
    else document.querySelector("main").append(quiet);
  };

  const row = (item) => {
    const entry = made("li", "", { className: "row-line" });
    entry.append(
      made("span", `${item.label ? `${item.label}: ` : ""}${words[item.kind]}${item.shown?.felt ? `, ${item.shown.felt}` : ""}`, { className: "row-name" }),
      made("span", `${words[stateOf(item)]} · ${clock(item.at)} · ${item.name}`, { className: "where" }),
    );
    if (item.said) entry.append(made("span", item.said, { className: "warn" }));
    if (item.state === "needs" && item.person === told.person) entry.append(made("span", words.needs_how, { className: "where" }), dropping(item));
    return entry;
  };

  // Gone for good at the second tap only: what somebody did is not lost by a slip.
  let surelyDropped = "";
  const dropping = (item) => {
    const sure = surelyDropped === item.once;
    const button = made("button", sure ? words.drop_sure : words.drop, { className: "btn btn-secondary", type: "button" });
    button.append(made("span", ` ${item.label}`, { className: "visually-hidden" }));
    button.onclick = async () => {
      surelyDropped = item.once;
      if (sure) {
        spent = new WeakSet();
        await queue.drop(item.once).then(send);
      }
      else await show();
      const next = ["#queue-items .btn", "#queue details:not([hidden]) > summary", "#phone-line summary"];
      next.map((one) => document.querySelector(one)).find(Boolean)?.focus();
    };
    return button;
  };

  const counted = (one, many, count) => (count === 1 ? words[one] : say(many, { n: count }));

  const show = async () => {
    const items = (await queue.list()).filter((item) => item.barn === told.slug);
    const open = items.filter(queue.waits);
    const needs = open.filter((item) => item.state === "needs");
    const section = bar();
    section.hidden = !open.length && !offline && !oldPage;
    const said = [];
    if (needs.length) said.push(counted("needs_one", "needs_many", needs.length));
    if (open.length > needs.length) said.push(counted("waiting_one", "waiting", open.length - needs.length));
    if (sendingNow.size) said.push(`${words.sending}.`);
    if (!open.length && oldPage) said.push(offline ? words.no_signal_here : words.signal_again);
    put("queue-said", said.join(" "));
    const lines = more(open).map((line) => made("p", line, { className: "warn" }));
    if (open.length && queue.outcome.why === "sign_in") {
      const href = (await queue.active())?.byPin ? "/this-phone/" : `/account/login/?next=${encodeURIComponent(location.pathname)}`;
      lines.push(made("a", words.sign_in_link, { href, className: "btn btn-secondary" }));
    }
    if (oldPage && !offline) lines.push(made("a", words.open_anew, { href: location.pathname, className: "btn btn-secondary" }));
    sayMore(lines);
    const button = document.getElementById("queue-send");
    button.hidden = !open.length;
    button.textContent = `${words.send_now} (${open.length})`;
    section.querySelector("details").hidden = !open.length;
    const rows = [...items].reverse().map(row);
    document.getElementById("queue-items").replaceChildren(...(open.length ? rows : []));
    quietItems.replaceChildren(...(open.length ? [] : rows));
    fillText(quietSaid, items.length && !open.length ? words.all_sent : "");
    overlay(items);
    await sayKept();
  };

  const put = (id, text) => fillText(document.getElementById(id), text);
  const fillText = (place, text) => {
    if (place.textContent !== text) place.textContent = text;
    place.hidden = !text;
  };

  // Left alone where nothing changed, so that a link someone is about to tap does not go away under the finger.
  const sayMore = (lines) => {
    const place = document.getElementById("queue-more");
    const holder = made("div");
    holder.append(...lines);
    if (place.innerHTML !== holder.innerHTML) place.replaceChildren(...lines);
  };

  let offline = oldPage;
  let mayVanish = false;
  const more = (open) => {
    const lines = [];
    if (open.some((item) => Date.now() - item.at > queue.TOO_LONG_MS)) lines.push(words.day);
    if (open.length && queue.outcome.why === "sign_in") lines.push(words.sign_in);
    if (open.length && queue.outcome.why === "trouble") lines.push(words.house_trouble);
    if (offline && (open.length || !oldPage)) lines.push(words.no_signal);
    if (oldPage && !isNotKept) lines.push(say("as_of", { at: clock(told.at) }));
    if (mayVanish && open.some((item) => Date.now() - item.at > SOON_MS)) lines.push(words.may_vanish);
    const others = [...new Set(open.filter((item) => item.person !== told.person).map((item) => item.name))];
    if (others.length && open.some((item) => !item.seal && item.person !== told.person)) lines.push(say("others", { who: others.join(", ") }));
    return lines;
  };

  // ---- sending

  const send = async () => {
    try {
      await queue.send(told.slug, told.send);
      const idle = !(await queue.list()).some((item) => item.barn === told.slug && queue.waits(item));
      if (oldPage && idle) offline = !(await queue.contact().catch(() => null));
    } catch (fault) {
      // No room to write down what the house answered: it waits as before, and is sent again.
      if (!isFull(fault)) throw fault;
      sendingNow = new Set();
    }
    await show();
  };

  document.addEventListener("barnrugs:queue", async (event) => {
    const heard = event.detail;
    if (heard.sending) sendingNow = new Set(heard.sending);
    if (heard.answered || heard.stopped !== undefined) sendingNow = new Set();
    if (heard.stopped) offline = heard.stopped === "no_signal";
    if (heard.stopped === "no_signal") await unheard();
    if (heard.answered) {
      offline = false;
      heard.answered.answers.forEach(fresh);
      if (isList() && !oldPage) await seeAgain().catch(() => {});
    }
    if (heard.cleared !== undefined && heard.barn === told.slug) {
      oldPage = false;
      document.querySelectorAll("main > :not(#queue), header nav, header .who").forEach((part) => part.remove());
      document.querySelector("main").prepend(made("h1", words.cleared_head));
      shout(`${words.cleared} ${heard.cleared ? words.given : ""}`);
    }
    await show();
  });

  // The house sends a line's row along with its answer: what the page shows is then what stands there.
  const fresh = (answer) => {
    if (!answer.row || !answer.line || oldPage) return;
    const known = document.getElementById(`line-${answer.line}`);
    const holder = made("template", "", { innerHTML: answer.row });
    const better = holder.content.querySelector("li");
    if (known && better) {
      known.replaceWith(better);
      self.htmx?.process(better);
    }
    const progress = holder.content.getElementById("progress");
    const here = document.getElementById("progress");
    if (progress && here) fillText(here, progress.textContent.trim());
  };

  // ---- the coming day's pages

  const AT_A_TIME = 3;
  const NOTED_EACH = 4 * AT_A_TIME;
  let filling = null;
  let asked = false;

  const keptSaid = (map) => {
    const last = map?.lists[map.lists.length - 1];
    if (!last || !map.of) return oldPage || asked ? words.kept_none : words.this_phone;
    const kept = Object.keys(map.pages).length;
    if (kept < map.of) return say(filling ? "keeping" : "kept_some", { n: kept, of: map.of });
    return say("kept_all", { at: clock(last.due_at) });
  };
  const sayKept = async () => fillText(quietKept, keptSaid(filling || (await store.get("state", MAP))));

  // A copy is marked as one, and kept only if it is of whose copies these are: somebody else may have signed in in
  // another tab meanwhile.
  const copy = async (answer) => {
    if (!/^text\/html/.test(answer.headers.get("Content-Type"))) return new Response(await answer.blob(), { headers: answer.headers });
    const page = await answer.text();
    if (!page.includes(`"person": "${told.person}"`)) return null;
    return new Response(page.replace("<html ", "<html data-kept-copy "), { headers: { "Content-Type": "text/html; charset=utf-8" } });
  };

  // On a shared phone another one comes in without signal too.
  const keepWhoIsHere = async () => {
    const path = document.querySelector("a[data-somebody-else]")?.pathname;
    if (!path) return;
    const answer = await fetch(path, { credentials: "same-origin", headers: { "X-For-The-Phone": "yes" } });
    if (answer.ok && !answer.redirected) await (await caches.open("phone")).put(path, answer);
  };

  const fill = async () => {
    await fillPages();
    filling = null;
    asked = true;
    await sayKept();
  };

  const fillPages = async () => {
    let list;
    try {
      const house = await queue.contact();
      if (house?.people[told.slug] !== told.person || house.clear.includes(told.slug)) return;
      const answer = await fetch(told.kept, { credentials: "same-origin", cache: "no-store" });
      if (answer.status !== 200) return;
      list = await answer.json();
    } catch {
      return;
    }
    if (list.person !== told.person) return;
    const cache = await pagesHere();
    const before = (await store.get("state", MAP)) || { pages: {} };
    const map = { ...list, clockOff: Date.parse(list.at) - Date.now(), pages: {}, of: Object.keys(list.pages).length };
    const wanted = Object.entries(list.pages).filter(([path, stamp]) => before.pages[path] !== stamp);
    for (const [path, stamp] of Object.entries(list.pages)) if (before.pages[path] === stamp) map.pages[path] = stamp;
    const note = () => store.put("state", map, MAP);
    filling = map;
    const fetchOne = async ([path, stamp]) => {
      const answer = await fetch(path, { credentials: "same-origin", headers: { "X-For-The-Phone": "yes" } });
      const kept = answer.ok && !answer.redirected && (await copy(answer));
      if (!kept) return;
      await cache.put(path, kept);
      map.pages[path] = stamp;
    };
    try {
      await note();
      for (let place = 0; place < wanted.length; place += AT_A_TIME) {
        await Promise.all(wanted.slice(place, place + AT_A_TIME).map(fetchOne));
        await sayKept();
        if (place % NOTED_EACH === 0) await note();
      }
      for (const request of await cache.keys()) if (!(new URL(request.url).pathname in list.pages)) await cache.delete(request);
      await note();
      await keepWhoIsHere();
    } catch { /* no signal, or no room: what is kept so far stays */ }
    document.documentElement.dataset.kept = wanted.every(([path]) => path in map.pages) ? "all" : "some";
  };

  // ---- what changed while the phone was away

  // Of each list what was seen of it last, with the mark of the last time that the house was not heard before that.
  const rowsHere = () => Object.fromEntries([...document.querySelectorAll("li.due-line")].map(({ id, dataset }) => [
    id, { name: dataset.name, tags: dataset.tags, neck: dataset.neck === "yes", done: dataset.done || "" },
  ]));
  const seenKey = () => {
    const list = document.querySelector("[data-list]")?.dataset.list || location.pathname;
    return `seen/${told.slug}/${told.person}/${list}`;
  };
  const unheard = () => store.put("state", Date.now(), "away").catch(() => {});

  const dressed = ({ tags, neck }) => (neck ? say("neck_on", { tags }) : tags) || words.nothing;
  const changeOf = (was, is, own) => {
    if (!was) return say("now_added", { horse: is.name });
    if (!is) return say("now_gone", { horse: was.name });
    if (was.done !== is.done) {
      if (own && (own.kind === "take_back") === !is.done) return "";
      return say(is.done ? "now_done" : "now_taken_back", { horse: is.name });
    }
    const isSame = is.done || (was.tags === is.tags && was.neck === is.neck);
    return isSame ? "" : say("now", { horse: is.name, now: dressed(is), before: dressed(was) });
  };

  const tellChanges = async () => {
    if (!isList()) return;
    sessionStorage.setItem("list", location.pathname);
    const before = await store.get("state", seenKey());
    const away = await store.get("state", "away");
    const rows = rowsHere();
    if (oldPage) {
      if (!(before?.at > told.at)) await store.put("state", { rows, at: told.at, away: before?.away }, seenKey());
      return;
    }
    if (before?.rows && before.away !== away) {
      const own = new Map((await queue.list()).filter((item) => OVERLAID.has(item.kind)).map((item) => [`line-${item.about.line}`, item]));
      const ids = [...new Set([...Object.keys(before.rows), ...Object.keys(rows)])];
      sayChanged(ids.map((id) => changeOf(before.rows[id], rows[id], own.get(id))).filter(Boolean));
    }
    await store.put("state", { rows, at: told.at, away }, seenKey());
  };

  const sayChanged = (lines) => {
    if (!lines.length) return;
    const box = made("section", "", { id: "away", className: "card-line" });
    box.setAttribute("role", "status");
    box.append(made("h2", words.changed), made("ul"));
    box.querySelector("ul").append(...lines.map((line) => made("li", line)));
    bar().after(box);
  };

  // A line that the house sent along with an answer was seen too; of the others nothing new is known.
  const seeAgain = async () => {
    const before = await store.get("state", seenKey());
    if (before) await store.put("state", { ...before, rows: rowsHere() }, seenKey());
  };

  // ---- at the beginning

  // A page that stands in for any line's or blanket's gets the name of the one it was asked for, and what is known of it.
  const name = async () => {
    const line = location.pathname.match(/\/lines\/(\d+)\/(?:other|not-done)\/$/);
    const blanket = oldPage && location.pathname.match(/\/blankets\/(\d+)\/(?:damage\/)?$/);
    const hand = oldPage && location.pathname.match(/\/horses\/(\d+)\/hand-check\/$/);
    const map = (line || blanket || hand) && (await store.get("state", MAP));
    const known = map && blanket && map.blankets[blanket[1]];
    const called = known ? known.tag : line ? map?.lines?.[line[1]]?.horse : hand && map?.hands?.[hand[1]]?.horse;
    if (!called) return;
    const heading = document.querySelector("h1");
    heading.dataset.name = called;
    if (hand) fillIn(map.hands[hand[1]]);
    if (line && oldPage) document.querySelector("main form").dataset.soaked = map.lines[line[1]].soaked;
    if (known) fillIn({ ...known, damage: `${location.pathname.replace(/damage\/$/, "")}damage/` });
    if (!heading.textContent.includes(called)) heading.append(`: ${called}`);
    document.title = `${heading.textContent.trim()} · ${document.title.split(" · ").pop()}`;
  };

  const fillIn = (known) => {
    for (const place of document.querySelectorAll("[data-known]")) {
      const value = known[place.dataset.known];
      if (!(place instanceof HTMLAnchorElement)) fillText(place, value);
      else if (value) place.href = value;
      else place.remove();
      if (place.dataset.known === "outside") place.className = `verdict-${known.verdict}`;
    }
  };

  // What somebody came here for is not kept: said on the page that is shown instead.
  const sayWhy = () => {
    if (!oldPage || isNotKept) return;
    const asked = new URLSearchParams(location.search);
    if (asked.has("only")) shout("only_list");
    else if (location.pathname.endsWith("/tag/")) shout(asked.has("tag") ? "no_such_tag" : "only_tags");
  };

  // From a page that is not kept only to what is: the list that was open here, else the one at hand, else any; tags.
  const sayWhereTo = async () => {
    if (!isNotKept) return;
    const cache = await pagesHere();
    const isKept = async (path) => Boolean(path && (await cache.match(path)));
    const map = await store.get("state", MAP);
    const lists = map ? [sessionStorage.getItem("list"), store.atHand(map), ...map.lists.map(({ path }) => path)] : [];
    const toList = document.querySelector("main a[data-list-kept]");
    const toTag = document.querySelector("main a[data-tag-kept]");
    toList.hidden = true;
    for (const path of lists) {
      if (!toList.hidden || !(await isKept(path))) continue;
      toList.href = path;
      toList.hidden = false;
    }
    document.querySelector("[data-no-list]").hidden = !toList.hidden;
    toTag.hidden = !(await isKept(toTag.pathname));
  };

  const begin = async () => {
    const who = await whoIsHere();
    if (!who) return;
    await sayWhereTo().catch(() => {});
    await name();
    sayWhy();
    if (sessionStorage.getItem("shout")) shout(sessionStorage.getItem("shout"));
    sessionStorage.removeItem("shout");
    if (oldPage) await unheard();
    await tellChanges().catch(() => {});
    await queue.forgetOld();
    mayVanish = !((await navigator.storage?.persisted?.()) || (await navigator.storage?.persist?.()));
    await show();
    await send();
    if (!oldPage) await fill();
  };

  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  setInterval(async () => {
    if (document.visibilityState === "visible" && (oldPage || (await queue.list()).some(queue.isFresh))) send();
  }, EVERY_MS);
  placeQuiet();
  navigator.serviceWorker.register("/worker.js", { scope: "/" }).catch(() => {});
  begin();
})();
