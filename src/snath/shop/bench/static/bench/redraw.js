// A form that draws itself anew, because another kind needs other boxes, keeps what is typed while it waits.
"use strict";

(() => {
  const values = (form) => {
    const found = {};
    for (const one of form?.elements ?? []) {
      if (!one.name || one.type === "hidden" || one.type === "submit") continue;
      found[one.name] = one.type === "checkbox" ? one.checked : one.value;
    }
    return found;
  };
  const form = () => document.querySelector("#machine-form form");
  let sent = {};
  let typed = {};

  document.addEventListener("htmx:beforeRequest", () => { sent = values(form()); });
  document.addEventListener("htmx:beforeSwap", () => { typed = values(form()); });
  document.addEventListener("htmx:afterSettle", () => {
    for (const one of form()?.elements ?? []) {
      if (!(one.name in typed) || one.type === "hidden" || typed[one.name] === sent[one.name]) continue;
      if (one.type === "checkbox") one.checked = typed[one.name];
      else one.value = typed[one.name];
    }
    typed = sent = {};
  });
})();
