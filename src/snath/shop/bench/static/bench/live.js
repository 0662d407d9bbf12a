// Live speed: listens, sends numbered half seconds to the bench, shows what the bench makes of them.
// Without a microphone, or without this script, the same page takes a clip instead.
"use strict";

(() => {
  const BEHIND = 3; // pieces waiting; more would show a speed that is seconds old

  // The browser's own treatment of sound is made for voices: it takes an engine for noise and removes it.
  const UNTREATED = { channelCount: 1, echoCancellation: false, noiseSuppression: false, autoGainControl: false };

  const start = (panel) => {
    const begin = panel.querySelector("[data-begin]");
    const end = panel.querySelector("[data-end]");
    const figure = panel.querySelector("[data-figure]");
    const trouble = panel.querySelector("[data-trouble]");
    const level = panel.querySelector("meter");
    const token = panel.querySelector("[name=csrfmiddlewaretoken]").value;
    const keep = document.querySelector("form[data-keep]");
    let stream = null;
    let context = null;
    let session = "";
    let number = 0;
    let waiting = [];
    let sending = false;

    let lasting = ""; // a trouble of the device itself, which no answer from the bench mends

    const say = (what) => {
      const words = what || lasting;
      trouble.textContent = words ? panel.dataset[words] : "";
      trouble.hidden = !words;
    };

    const send = async () => {
      if (sending) return;
      sending = true;
      while (waiting.length && session) {
        if (waiting.length > BEHIND) waiting = waiting.slice(-1); // the gap shows in the start sample
        const { start: from, samples } = waiting.shift();
        const job = panel.dataset.job ? `&job=${panel.dataset.job}` : "";
        const address = `${panel.dataset.pieces}?session=${session}&number=${number++}&start=${from}&rate=${context.sampleRate}${job}`;
        try {
          const reply = await fetch(address, {
            method: "POST",
            credentials: "same-origin",
            headers: { "Content-Type": "application/octet-stream", "X-CSRFToken": token },
            body: samples.buffer,
          });
          const words = await reply.text();
          if (!session) break;
          figure.innerHTML = words;
          say(reply.ok ? "" : "refused");
        } catch { say("unreachable"); }
      }
      sending = false;
    };

    const loudness = (samples) => {
      let peak = 0;
      for (const sample of samples) peak = Math.max(peak, Math.abs(sample));
      level.value = peak / 32767;
      if (peak >= 32700) say("tooLoud");
    };

    const listen = async () => {
      lasting = "";
      say("");
      if (!navigator.mediaDevices || !window.AudioWorkletNode) { say("noMicrophone"); return; }
      try {
        stream = await navigator.mediaDevices.getUserMedia({ audio: UNTREATED });
      } catch { say("notAllowed"); return; }
      const [track] = stream.getAudioTracks();
      const treated = track.getSettings();
      panel.dataset.treatment = JSON.stringify([treated.echoCancellation, treated.noiseSuppression, treated.autoGainControl]);
      if (treated.echoCancellation || treated.noiseSuppression || treated.autoGainControl) lasting = "treated";
      say("");
      context = new AudioContext();
      await context.audioWorklet.addModule(panel.dataset.worklet);
      const pieces = new AudioWorkletNode(context, "half-seconds", { numberOfOutputs: 0 });
      session = crypto.randomUUID();
      number = 0;
      waiting = [];
      pieces.port.onmessage = ({ data }) => {
        loudness(data.samples);
        waiting.push(data);
        send();
      };
      context.createMediaStreamSource(stream).connect(pieces);
      begin.hidden = true;
      end.hidden = false;
      end.focus({ preventScroll: true });
      panel.scrollIntoView({ block: "start" }); // figure and stop above the bar, whatever was scrolled before
    };

    const stop = async () => {
      const heard = session;
      session = "";
      for (const track of stream?.getTracks() ?? []) track.stop();
      await context?.close();
      begin.hidden = false;
      end.hidden = true;
      begin.focus();
      if (keep && heard) {
        keep.querySelector("[name=session]").value = heard;
        keep.querySelector("[data-heard]").hidden = false;
      }
    };

    begin.hidden = false;
    begin.addEventListener("click", listen);
    end.addEventListener("click", stop);
    window.addEventListener("pagehide", () => { for (const track of stream?.getTracks() ?? []) track.stop(); });
  };

  document.addEventListener("DOMContentLoaded", () => {
    for (const panel of document.querySelectorAll("[data-live]")) start(panel);
  });
})();
