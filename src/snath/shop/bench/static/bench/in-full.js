// What is chosen in a list stands in full under it where the closed list is too narrow to show it.
"use strict";

(() => {
  const pen = document.createElement("canvas").getContext("2d");

  const show = (list) => {
    const look = getComputedStyle(list);
    const words = list.selectedOptions[0]?.textContent.trim() ?? "";
    pen.font = `${look.fontWeight} ${look.fontSize} ${look.fontFamily}`;
    const room = list.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight) - 20; // its arrow
    const short = list.clientWidth > 0 && pen.measureText(words).width > room;
    let note = list.nextElementSibling?.matches(".in-full") ? list.nextElementSibling : null;
    if (short && !note) {
      note = document.createElement("p");
      note.className = "in-full";
      note.setAttribute("aria-hidden", "true"); // the list itself says it
      list.after(note);
    }
    if (note) { note.textContent = words; note.hidden = !short; }
  };
  const all = () => document.querySelectorAll("main select:not([multiple])").forEach(show);

  all();
  document.addEventListener("change", (event) => { if (event.target.matches?.("select")) show(event.target); });
  document.addEventListener("toggle", all, true);
  document.addEventListener("htmx:afterSettle", all);
  addEventListener("resize", all);
})();
