// Hands the letter to the phone's own ways of sending, and copies a text. Without it the file is a link like any other.
for (const button of document.querySelectorAll("[data-share]")) {
  const told = document.querySelector("[data-share-told]");
  const say = (what) => { if (told) told.textContent = button.dataset[what] ?? told.textContent; };
  if (button.dataset.share === "copy") {
    button.hidden = !navigator.clipboard;
    button.addEventListener("click", async () => {
      const box = document.getElementById(button.dataset.from);
      await navigator.clipboard.writeText(box.value ?? box.textContent);
      say("copied");
    });
  } else {
    button.hidden = !navigator.canShare;
    button.addEventListener("click", async () => {
      try {
        const reply = await fetch(button.dataset.file, { credentials: "same-origin" });
        if (!reply.ok) throw new Error(String(reply.status));
        const file = new File([await reply.blob()], button.dataset.name, { type: "application/pdf" });
        if (!navigator.canShare({ files: [file] })) { say("cannot"); return; }
        await navigator.share({ files: [file], title: button.dataset.name });
      } catch (fault) { if (fault.name !== "AbortError") say("cannot"); }
    });
  }
}
