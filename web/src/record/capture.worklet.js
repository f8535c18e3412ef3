// Passes on every sample of the microphone, as one channel. It runs on the audio
// thread, where nothing may wait; a plain module, so that the pages' policy allows it.

/** Frames of a block: 16 quanta of 128, some 43 ms at 48 kHz (estimate: smooth for a meter, few messages). */
const size = 2048;

class Capture extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(size);
    this.filled = 0;
    this.first = 0; // frame of the context at which the block begins
    this.missing = 0; // frames for which the microphone gave nothing
    this.port.onmessage = () => {
      this.pass();
      this.port.postMessage('passed');
    };
  }

  process([input]) {
    const samples = input[0] ?? new Float32Array(128); // silence in its place keeps the time
    if (!input[0]) this.missing += samples.length;
    if (this.filled + samples.length > size) this.pass();
    if (this.filled === 0) this.first = currentFrame;
    this.block.set(samples, this.filled);
    this.filled += samples.length;
    if (this.filled === size) this.pass();
    return true;
  }

  pass() {
    if (this.filled === 0) return;
    const samples = this.filled === size ? this.block : this.block.slice(0, this.filled);
    this.port.postMessage({ first: this.first, samples, missing: this.missing }, [samples.buffer]);
    this.block = new Float32Array(size);
    this.filled = 0;
    this.missing = 0;
  }
}

registerProcessor('capture', Capture);
