// The yard's page: shows the limits it took along, takes down cards and readings, and sends each once the bench answers.
// Nothing here judges. An entry leaves the phone only after the bench has said that it has it.

import { along, dropEntry, entries, forgetAlong, keepAlong, keepEntry } from "./store.js";

const EVERY_MS = 15_000;
const root = document.getElementById("yard");
const words = root.dataset;
const state = root.querySelector("[data-state]");
const list = root.querySelector("[data-entries]");
let busy = false;

const element = (tag, text, more = {}) => Object.assign(document.createElement(tag), { textContent: text, ...more });
// A moment as every page writes it: year, month, day, hour, minute, by this phone's clock.
const moment = (at) => new Date(at).toLocaleString("sv").slice(0, 16);
const locked = (reply) => reply.redirected || reply.status === 401 || reply.status === 403;

const showAlong = async () => {
  const have = await along();
  const jobs = root.querySelector("[data-jobs]");
  const choose = root.querySelector("[name=job]");
  const instruments = root.querySelector("[name=instrument]");
  root.querySelector("[data-along-at]").textContent = have ? words.workedOut.replace("{when}", moment(have.at)) : words.nothingAlong;
  jobs.replaceChildren();
  const chosen = choose.value;
  choose.replaceChildren(element("option", words.sayWhich, { value: "" }));
  instruments.replaceChildren(element("option", words.sayWhich, { value: "" }));
  const blades = root.querySelector("[data-blades]");
  blades.replaceChildren();
  for (const job of have?.jobs ?? []) {
    const row = element("li", "");
    const inside = element("div", "", { className: "row" });
    const limit = element("span", `${job.limit ? words.neverAbove.replace("{speed}", job.limit) : words.noLimit} `, { className: "end" });
    limit.append(element("span", words.notJudged, { className: "chip due" }));
    inside.append(element("strong", `${job.number} · ${job.name}`), limit);
    row.append(inside);
    jobs.append(row);
    choose.append(element("option", `${job.number} · ${job.name}`, { value: job.number }));
  }
  choose.value = chosen;
  for (const [code, name] of have?.instruments ?? []) instruments.append(element("option", name, { value: code }));
  for (const [size, speed] of have?.blades ?? []) {
    const row = element("tr", "");
    row.append(element("th", size, { scope: "row" }), element("td", speed, { className: "n" }));
    blades.append(row);
  }
};

const showEntries = async () => {
  list.replaceChildren();
  for (const entry of await entries()) {
    const row = element("li", "");
    const inside = element("div", "", { className: "row" });
    const said = Object.entries(entry.boxes).filter(([, text]) => text).map(([, text]) => text).join(" · ");
    inside.append(element("strong", words[entry.kind === "card" ? "card" : "reading"]), element("span", said), element("span", entry.refused ? `${words.refused} ${entry.refused}` : words.waits, { className: "chip due" }));
    if (entry.refused) {
      const away = element("button", words.throwAway, { className: "plain", type: "button" });
      away.addEventListener("click", async () => { await dropEntry(entry.key); await showEntries(); });
      inside.append(away);
    }
    row.append(inside);
    list.append(row);
  }
  root.querySelector("[data-none]").hidden = list.children.length > 0;
};

// Each is sent with its key, so that one whose answer was lost is not taken twice.
const send = async (have) => {
  for (const entry of await entries()) {
    const body = new FormData();
    const sent = { ...entry.boxes, key: entry.key, kind: entry.kind, at: entry.at, person: entry.person || have.person };
    for (const [name, value] of Object.entries(sent)) body.append(name, value);
    const reply = await fetch(words.taken, { method: "POST", body, credentials: "same-origin", headers: { "X-CSRFToken": have.token } });
    if (reply.ok && !reply.redirected) { await dropEntry(entry.key); root.querySelector("[data-sent]").hidden = false; }
    else if (locked(reply)) { await keepEntry({ ...entry, refused: words.locked }); }
    else if (reply.status < 500) { const { refused } = await reply.json(); await keepEntry({ ...entry, refused }); }
  }
};

const meet = async () => {
  if (busy) return;
  busy = true;
  try {
    const reply = await fetch(words.along, { credentials: "same-origin", cache: "no-store" });
    if (locked(reply)) {
      await forgetAlong();
      state.textContent = words.locked;
      for (const entry of await entries()) await keepEntry({ ...entry, refused: words.locked });
    } else if (reply.ok) {
      const have = await reply.json();
      await keepAlong({ ...have, token: "" });
      await send(have);
      state.textContent = words.there;
    } else throw new Error(String(reply.status));
  } catch {
    state.textContent = words.away;
  } finally { busy = false; }
  await showAlong();
  await showEntries();
};

const takeDown = async (event) => {
  event.preventDefault();
  const form = event.target;
  const boxes = {};
  for (const [name, value] of new FormData(form)) boxes[name] = String(value).trim();
  const needed = [...form.querySelectorAll("[data-needed]")].find((box) => !box.value.trim());
  if (needed) { form.querySelector("[data-missing]").hidden = false; needed.focus(); return; }
  form.querySelector("[data-missing]").hidden = true;
  const have = await along();
  await keepEntry({ key: crypto.randomUUID(), kind: form.dataset.kind, at: new Date().toISOString(), person: have?.person ?? "", boxes });
  form.reset();
  try { localStorage.removeItem(`snath-draft:${form.dataset.draft}`); } catch { /* nothing was kept */ }
  form.querySelector("[data-done]").hidden = false;
  await showEntries();
  await meet();
};

for (const form of root.querySelectorAll("form[data-kind]")) form.addEventListener("submit", takeDown);
navigator.storage?.persist?.();
addEventListener("online", meet);
setInterval(meet, EVERY_MS);
await showAlong();
await showEntries();
await meet();
