// Takes the token out of the address's fragment, which no server ever sees, and offers to send it once.
"use strict";

document.addEventListener("DOMContentLoaded", () => {
  const form = document.getElementById("pair");
  const token = location.hash.slice(1);
  if (!form || !token) return;
  history.replaceState(null, "", location.pathname); // neither history nor a shared link keeps it
  form.elements.token.value = token;
  form.hidden = false;
  document.getElementById("no-code").hidden = true;
  form.querySelector("button").focus();
});
