// Sends the form that waited for a recording as soon as it has been read. Without it a button does the same.
"use strict";

(() => {
  const send = () => {
    const form = document.querySelector("form[data-send-again]");
    if (!form) return;
    history.replaceState(null, "", form.action); // going back must not send it again
    form.submit();
  };
  document.addEventListener("htmx:afterSettle", send);
  send();
})();
