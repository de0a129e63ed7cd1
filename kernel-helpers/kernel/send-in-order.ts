import type { Socket } from './tslab-parts';

/** What a socket still has to send. */
interface Line {
  readonly waiting: (readonly unknown[])[];
  /** The send that the socket is busy with. */
  busy: Promise<void>;
  /** Messages that went out since the event loop last came round. */
  burst: number;
  draining: boolean;
}

const lines = new WeakMap<Socket, Line>();

/** So many messages go out at once, which is far below what a socket holds for a client that is slow to read (1000). */
const LARGEST_BURST = 400;
/** A client that takes nothing for so long has lost its messages, as with stock tslab; ms. */
const LONGEST_WAIT_MS = 5000;
const PAUSE_MS = 2;

/**
 * Sends a message at once where the socket can take it, else after those before it, so that a burst arrives whole and in
 * order. The socket's own limits stay as they are: to change those of a socket that is connected can crash the process
 * when a client leaves at that moment. Instead it is told to refuse what it cannot hold, and that is sent again.
 * @param socket the socket
 * @param frames the message
 */
export function sendInOrder(socket: Socket, frames: readonly unknown[]): void {
  const line = lines.get(socket) ?? begin(socket);
  if (!line.draining && line.burst < LARGEST_BURST) {
    if (line.burst === 0) {
      setImmediate(() => {
        line.burst = 0;
      });
    }
    line.burst += 1;
    try {
      line.busy = socket.send(frames);
      // A client that has left meanwhile needs no answer.
      line.busy.catch(() => {});
      return;
    } catch (error) {
      if (!isBusy(error)) throw error;
    }
  }
  line.waiting.push(frames);
  if (!line.draining) void drain(socket, line);
}

function begin(socket: Socket): Line {
  const line: Line = { waiting: [], busy: Promise.resolve(), burst: 0, draining: false };
  lines.set(socket, line);
  // Only a publishing socket drops; the others wait by themselves.
  if ('noDrop' in socket) refuseRatherThanDrop(socket);
  return line;
}

/** The binding warns that this would wait for the next connection; the library underneath heeds it at once. */
function refuseRatherThanDrop(socket: Socket): void {
  const { emitWarning } = process;
  process.emitWarning = () => {};
  try {
    socket.noDrop = true;
  } finally {
    process.emitWarning = emitWarning;
  }
}

async function drain(socket: Socket, line: Line): Promise<void> {
  line.draining = true;
  await line.busy.catch(() => {});
  for (let next = line.waiting.shift(); next; next = line.waiting.shift()) await sendPatiently(socket, next);
  line.draining = false;
}

async function sendPatiently(socket: Socket, frames: readonly unknown[]): Promise<void> {
  for (let waited = 0; waited < LONGEST_WAIT_MS; waited += PAUSE_MS) {
    try {
      await socket.send(frames);
      return;
    } catch (error) {
      if (!isBusy(error)) return;
      await new Promise((done) => setTimeout(done, PAUSE_MS));
    }
  }
}

function isBusy(error: unknown): boolean {
  const { code } = error as NodeJS.ErrnoException;
  return code === 'EBUSY' || code === 'EAGAIN';
}
