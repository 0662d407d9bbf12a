// Keeps every long entry as it is typed: at once on this device, and a moment later on the bench.
// A form opts in with data-draft="KEY" (and data-draft-url where the bench keeps one too). Works on top
// of pages that are complete without it.
"use strict";

(() => {
  const PREFIX = "snath-draft:";
  const WAIT_MS = 350;
  const LONGEST_WAIT_MS = 10000;
  const timers = new Map(); // by draft: the moment it is sent
  const sending = new Map(); // by draft: what is on its way to the bench

  // A tick of caution is given by whoever stands at the machine now: it is never kept and never put back.
  const cautions = (form) => new Set([...form.querySelectorAll("[data-caution]")].map((box) => box.name));

  const entries = (form) => {
    const kept = {};
    const anew = cautions(form);
    for (const [name, value] of new FormData(form)) {
      if (typeof value !== "string" || anew.has(name) || name === "csrfmiddlewaretoken" || name === "base") continue;
      (kept[name] ??= []).push(value);
    }
    return kept;
  };

  const put = (form, kept) => {
    const used = {};
    for (const control of form.elements) {
      if (!control.name || "caution" in control.dataset || ["file", "hidden", "submit", "button"].includes(control.type)) continue;
      const values = kept[control.name] ?? [];
      if (control.type === "checkbox" || control.type === "radio") {
        control.checked = values.includes(control.value);
      } else if (control.name in kept) {
        used[control.name] = (used[control.name] ?? -1) + 1;
        control.value = values[used[control.name]] ?? control.value;
      }
    }
  };

  // What a page of boxes needs beyond its text: a form with other rows than the draft's is left alone.
  const fits = (form, kept) =>
    [...form.elements].every((c) => c.type !== "hidden" || !["drives", "parts"].includes(c.name) || (kept[c.name] ?? [])[0] === c.value);

  const read = (key) => {
    try { return JSON.parse(localStorage.getItem(PREFIX + key)); } catch { return null; }
  };
  const write = (key, value) => {
    try { localStorage.setItem(PREFIX + key, JSON.stringify(value)); } catch { /* private window: the bench still keeps it */ }
  };
  const drop = (key) => { try { localStorage.removeItem(PREFIX + key); } catch { /* nothing was kept */ } };

  const say = (form, words) => {
    const line = form.querySelector("[data-kept]");
    if (line) line.textContent = line.dataset[words] ?? "";
  };

  const send = (form) => {
    timers.delete(form.dataset.draft);
    const url = form.dataset.draftUrl;
    if (!url) return;
    const data = new FormData(form);
    const anew = cautions(form);
    for (const [name, value] of [...data]) if (value instanceof File || anew.has(name)) data.delete(name);
    const now = fetch(url, { method: "POST", body: data, credentials: "same-origin", keepalive: true })
      .then((reply) => say(form, reply.ok ? "keptBench" : "keptHere"), () => say(form, "keptHere"));
    const under = Promise.all([sending.get(form.dataset.draft), now]) // an earlier one may come after it
      .finally(() => { if (sending.get(form.dataset.draft) === under) sending.delete(form.dataset.draft); });
    sending.set(form.dataset.draft, under);
  };

  const forget = (form) => { clearTimeout(timers.get(form.dataset.draft)); timers.delete(form.dataset.draft); };

  const changed = (event) => {
    const form = event.target.form;
    if (!form?.dataset.draft) return;
    write(form.dataset.draft, { at: Date.now(), entries: entries(form) });
    say(form, "keptHere");
    forget(form);
    timers.set(form.dataset.draft, setTimeout(send, WAIT_MS, form));
  };

  // A draft still on its way would come to the bench after the save that ends it, and stand there as a ghost.
  const arrived = (form) => {
    const late = new Promise((done) => setTimeout(done, LONGEST_WAIT_MS));
    return Promise.race([sending.get(form.dataset.draft), late]).then(() => sending.delete(form.dataset.draft));
  };

  const leaving = (event) => {
    const form = event.target;
    if (!form.dataset.draft) return;
    forget(form);
    if (!sending.has(form.dataset.draft) || event.defaultPrevented) return;
    event.preventDefault();
    arrived(form).then(() => form.requestSubmit(event.submitter));
  };

  document.addEventListener("input", changed);
  document.addEventListener("change", changed);
  document.addEventListener("submit", leaving);

  const afresh = async (event) => {
    const button = event.target.closest("[data-start-afresh]");
    if (!button) return;
    const form = button.form;
    forget(form);
    await arrived(form);
    drop(form.dataset.draft);
    const token = form.querySelector("[name=csrfmiddlewaretoken]").value;
    await fetch(button.dataset.startAfresh, { method: "POST", credentials: "same-origin", headers: { "X-CSRFToken": token } });
    location.reload();
  };

  document.addEventListener("click", afresh);

  document.addEventListener("DOMContentLoaded", () => {
    for (const done of document.querySelectorAll("[data-draft-done]")) drop(done.dataset.draftDone);
    for (const form of document.querySelectorAll("form[data-draft]")) {
      // The bench's own copy is in the page already; this device's copy is put back only when it is newer.
      const here = read(form.dataset.draft);
      const bench = Number(form.dataset.draftAt ?? 0) * 1000;
      if (form.dataset.draftAt !== "sent" && here && here.at > bench + 1500 && fits(form, here.entries)) {
        put(form, here.entries);
        say(form, "putBack");
        form.querySelector("[data-start-afresh]")?.removeAttribute("hidden");
      }
      // Whoever has the next machine before them sees at once that these boxes are filled from the last one.
      const line = form.querySelector("[data-kept]");
      if (line?.textContent.trim()) form.prepend(line.closest(".kept"));
    }
  });
})();
