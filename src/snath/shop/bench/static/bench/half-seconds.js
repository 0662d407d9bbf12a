// Runs beside the page: gathers the microphone's samples into mono 16 bit pieces of half a second each.
"use strict";

class HalfSeconds extends AudioWorkletProcessor {
  constructor() {
    super();
    this.size = Math.round(sampleRate / 2);
    this.piece = new Int16Array(this.size);
    this.filled = 0;
    this.start = 0;
  }

  process(inputs) {
    const sound = inputs[0][0];
    if (!sound) return true;
    for (const sample of sound) {
      this.piece[this.filled++] = Math.max(-32768, Math.min(32767, Math.round(sample * 32767)));
      if (this.filled === this.size) {
        this.port.postMessage({ start: this.start, samples: this.piece }, [this.piece.buffer]);
        this.start += this.size;
        this.piece = new Int16Array(this.size);
        this.filled = 0;
      }
    }
    return true;
  }
}

registerProcessor("half-seconds", HalfSeconds);
