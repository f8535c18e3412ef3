// The microphone, as it is: nothing may smooth, lift or filter what it hears.
import capture from './capture.worklet.js?url';

export type Block = { first: number; samples: Float32Array; missing: number };
export type Mic = {
  context: AudioContext;
  track: MediaStreamTrack;
  /** What the browser did otherwise than asked, in words; empty as a rule. */
  disobeyed: string[];
  listen(heard: (block: Block) => void): void;
  /** Has everything passed on that was heard until now. */
  flush(): Promise<void>;
  close(): void;
};

/** Nothing that browsers do for speech: by default they change levels by up to 10 dB. */
const asked = { echoCancellation: false, autoGainControl: false, noiseSuppression: false } as const;
/** The audio thread answers within some ms, if it runs at all (estimate). */
const flushed = 500;

/** Says what to do where no microphone can be had at all; empty where one may be. */
export function cannot(): string {
  if (!navigator.mediaDevices?.getUserMedia) {
    return window.isSecureContext
      ? 'This browser cannot record. Use another one, or record with something else and choose the file.'
      : 'Browsers give the microphone only to pages of this machine: open the address that the program printed, with 127.0.0.1. Or choose a file.';
  }
  if (!('audioWorklet' in AudioContext.prototype)) return 'This browser is too old to record without loss. Update it, or record with something else and choose the file.';
  return '';
}

/** What went wrong with the microphone, and what to do. */
export function why(e: unknown): string {
  switch ((e as DOMException | null)?.name) {
    case 'NotAllowedError':
      return 'The browser may not use the microphone. Allow it at the sign beside the address (and in the system’s settings), then press Record again. Or choose a file.';
    case 'NotFoundError':
      return 'No microphone is connected. Connect one and press Record again, or choose a file.';
    case 'OverconstrainedError':
      return 'The microphone that was chosen is no longer connected. Choose another one below, or connect it again.';
    case 'NotReadableError':
    case 'AbortError':
      return 'The microphone is busy: another program has it. Close that one and press Record again.';
  }
  return `The microphone cannot be opened: ${e instanceof Error ? e.message : String(e)}. Choose another one below, or choose a file.`;
}

/** Opens a microphone; '' is the one that the system prefers. */
export async function open(device: string): Promise<Mic> {
  const audio = { ...asked, channelCount: 1, ...(device ? { deviceId: { exact: device } } : {}) };
  const stream = await navigator.mediaDevices.getUserMedia({ audio });
  const track = stream.getAudioTracks()[0]!, settings = track.getSettings();
  const context = at(settings.sampleRate);
  try {
    await context.audioWorklet.addModule(capture);
    return listening(context, stream, track, settings);
  } catch (e) {
    track.stop();
    void context.close();
    throw e;
  }
}

/** A context at the microphone's own rate, so that nothing is resampled on the way. */
function at(sampleRate?: number): AudioContext {
  try {
    return new AudioContext({ latencyHint: 'interactive', sampleRate });
  } catch {
    return new AudioContext({ latencyHint: 'interactive' }); // a rate that the browser does not make
  }
}

function listening(context: AudioContext, stream: MediaStream, track: MediaStreamTrack, settings: MediaTrackSettings): Mic {
  // Two channels, which some browsers give in spite of what was asked, are added at half: exact for a 16-bit converter.
  const node = new AudioWorkletNode(context, 'capture', { numberOfInputs: 1, numberOfOutputs: 0, channelCount: 1, channelCountMode: 'explicit' });
  const source = context.createMediaStreamSource(stream);
  let heard: (block: Block) => void = () => {}, passed = () => {};
  node.port.onmessage = (e: MessageEvent<Block | 'passed'>) => (e.data === 'passed' ? passed() : heard(e.data));
  source.connect(node);
  return {
    context, track, disobeyed: disobeyed(settings),
    listen: (f) => (heard = f),
    flush: () =>
      new Promise((done) => {
        passed = done;
        node.port.postMessage('pass');
        setTimeout(done, flushed);
      }),
    close() {
      heard = () => {};
      source.disconnect();
      track.stop();
      void context.close().catch(() => {}); // closed already
    },
  };
}

/** What the browser does to the sound although it was asked not to. */
export function disobeyed(settings: MediaTrackSettings): string[] {
  const names = { echoCancellation: 'echo cancellation', autoGainControl: 'automatic gain', noiseSuppression: 'noise suppression' } as const;
  const out = (Object.keys(names) as (keyof typeof names)[]).filter((k) => settings[k] as unknown).map((k) => names[k]);
  return out;
}

export type Device = { id: string; label: string };

/** The microphones that can be chosen; named only once one was allowed. */
export async function devices(): Promise<Device[]> {
  const all = await navigator.mediaDevices.enumerateDevices();
  return all
    .filter((d) => d.kind === 'audioinput' && d.deviceId && d.deviceId !== 'communications')
    .map((d, i) => ({ id: d.deviceId === 'default' ? '' : d.deviceId, label: d.label || `Microphone ${i + 1}` }));
}

/** Whether the microphone was allowed before, so that opening it asks nothing. */
export async function allowed(): Promise<boolean> {
  try {
    return (await navigator.permissions.query({ name: 'microphone' as PermissionName })).state === 'granted';
  } catch {
    return false; // a browser that does not tell
  }
}
