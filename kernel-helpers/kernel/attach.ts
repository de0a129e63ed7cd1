import { Comms } from './comms';
import { interruptRunningCell } from './compiled-cell';
import { asPartOf, currentRun, enterRun } from './current-run';
import type { CellMessage } from './outlet';
import { ReactiveKernel, type ShownValues } from './reactive-kernel';
import { sendInOrder } from './send-in-order';
import {
  findTslab,
  type JupyterMessage,
  probeMessage,
  type TslabHandler,
  type TslabParts,
  type TslabServer,
} from './tslab-parts';

/** What the extension offers to the other parts of the kit while it is attached. */
export interface AttachedKernel {
  readonly kernel: ReactiveKernel;
  readonly comms: Comms;
  /** Is told what concerns outputs where no cell can show it. */
  onTellControls(tell: (text: string) => void): void;
}

let attached: AttachedKernel | null = null;

/** The extension, where it is attached: in a tslab kernel that it knows, and not switched off. */
export function attachedKernel(): AttachedKernel | null {
  return attached;
}

/** How long a front end may be kept from sending the next move of a control while cells still follow the last, ms. */
const moveHoldMs = 150;

/**
 * Makes the tslab kernel in which this is loaded a reactive one; once, and only where all that it builds on is found.
 * @param values the forms in which values are shown
 */
export function attach(values: ShownValues): void {
  if (attached || process.env.BLANKOFF_PLAIN === '1') return;
  const parts = findTslab();
  if (parts === null) return;
  if (typeof parts === 'string') {
    console.error(
      `blankoff: plain mode, cells do not follow each other: this tslab is not one that is known (${parts})`,
    );
    return;
  }
  const { message, running } = parts;
  const publish = (parent: JupyterMessage, type: string, content: object, metadata: object = {}): void => {
    const out = parent.createReply();
    out.header.msg_type = type;
    out.content = content as Record<string, unknown>;
    out.metadata = metadata as Record<string, unknown>;
    out.signAndSend(running.key, running.iopub);
  };
  const last = { request: running.request };
  const comms = new Comms((type, content, metadata) => publish(last.request, type, content, metadata));
  let tell = (_text: string): void => {};
  const text = catchableText();
  const kernel = new ReactiveKernel(parts, {
    publish: (request, { type, content }: CellMessage) => publish(request, type, content),
    catchText: text.catchText,
    tellControls: (words) => tell(words),
    ...values,
  });
  loseNothing(message, kernel);
  const route = routeOutputs(parts, kernel, text);
  runByNames(parts, kernel, last, route);
  answerMore(parts, kernel, comms, last, publish);
  showLateErrors(kernel);
  const onTellControls = (teller: typeof tell): void => {
    tell = teller;
  };
  attached = { kernel, comms, onTellControls };
  enterRun(kernel.adopt(running.request, executionCount(running.request)));
  route();
}

/** The number of the importing cell is not to be seen from here; the kernel's first cell has number 1. */
function executionCount(request: JupyterMessage): number {
  return Number(request.metadata.executionCount ?? 1);
}

/** Text that tslab itself prints while it checks a cell can be caught. */
function catchableText(): { catchText(): () => string; take(text: string): boolean } {
  let caught: string[] | null = null;
  return {
    catchText: () => {
      const mine: string[] = [];
      caught = mine;
      return () => {
        if (caught === mine) caught = null;
        return mine.join('');
      };
    },
    take: (text) => {
      caught?.push(text);
      return caught !== null;
    },
  };
}

/**
 * Stock tslab loses what is sent beyond 512 messages in a burst, because it sends on while the socket is busy. Here each
 * message waits for its turn. Replies get what tslab leaves out.
 */
function loseNothing(message: TslabParts['message'], kernel: ReactiveKernel): void {
  const { signAndSend } = message;
  message.signAndSend = function (this: JupyterMessage, key, socket): void {
    if (this.header.msg_type === 'execute_reply') completeReply(this, kernel);
    signAndSend.call(this, key, { send: async (frames) => sendInOrder(socket, frames) });
  };
}

function completeReply(reply: JupyterMessage, kernel: ReactiveKernel): void {
  const id = reply.parent.msg_id ?? '';
  const failure = kernel.failures.get(id);
  kernel.failures.delete(id);
  if (failure) Object.assign(reply.content, failure);
  else if (reply.content.status === 'ok') Object.assign(reply.content, { payload: [], user_expressions: {} });
  else if (reply.content.status === 'abort') reply.content.status = 'aborted';
}

/** What is printed or shown belongs to the run in which it happens, also later from its timers and promises. */
function routeOutputs(parts: TslabParts, kernel: ReactiveKernel, text: { take(text: string): boolean }): () => void {
  const decoder = new TextDecoder();
  const writer =
    (name: string) =>
    (chunk: string | Uint8Array): boolean => {
      const words = typeof chunk === 'string' ? chunk : decoder.decode(chunk);
      if (!text.take(words)) (currentRun() ?? kernel.lastRun())?.outlet.stream(name, words);
      return true;
    };
  parts.handler.createWriteToIopub = writer;
  return () => {
    process.stdout.write = writer('stdout') as typeof process.stdout.write;
    process.stderr.write = writer('stderr') as typeof process.stderr.write;
    parts.jupyter.lastWriteDisplayData = (content, update) => {
      (currentRun() ?? kernel.lastRun())?.outlet.display(content, update);
    };
  };
}

/** Requests to run a cell go to the reactive kernel, in tslab's own order. */
function runByNames(
  { handler, message }: TslabParts,
  kernel: ReactiveKernel,
  last: { request: JupyterMessage },
  route: () => void,
): void {
  const { handleExecute, handleExecuteImpl } = handler;
  const known = new WeakSet<TslabHandler>();
  const turn: { request: JupyterMessage | null } = { request: null };
  const meet = (met: TslabHandler): void => {
    if (known.has(met)) return;
    known.add(met);
    kernel.meet(met);
    const { executor, execQueue } = met;
    const execute = executor.execute.bind(executor);
    executor.execute = (source) => {
      const { request } = turn;
      turn.request = null;
      if (!request || request.content.silent === true) return execute(source);
      route();
      last.request = request;
      return kernel.runRequest(request, met.execCount);
    };
    executor.interrupt = interruptRunningCell;
    // After an error tslab throws away all that comes for 200 ms, also what a person asks for then; see below.
    execQueue.reset = () => {};
  };
  handler.handleExecute = async function (content, stream, display): Promise<{ status: string }> {
    meet(this);
    kernel.arrived(content, probeMessage(message, () => stream('stdout', ''))?.request ?? null);
    try {
      const reply = await handleExecute.call(this, content, stream, display);
      if (reply.status === 'error') await throwAwayWaiting(this, content);
      return reply;
    } finally {
      kernel.left(content);
    }
  };
  handler.handleExecuteImpl = function (content, stream, display): Promise<object> {
    meet(this);
    kernel.left(content);
    turn.request = probeMessage(message, () => stream('stdout', ''))?.request ?? null;
    return handleExecuteImpl.call(this, content, stream, display);
  };
}

/**
 * After an error what was asked for before is thrown away, as the protocol wants it; what is asked for after the reply is
 * not. So before the reply the socket is read, and then the queue begins anew.
 */
async function throwAwayWaiting({ execQueue }: TslabHandler, failed: { stop_on_error?: boolean }): Promise<void> {
  for (let turn = 0; turn < 3 && failed.stop_on_error !== false; turn++) {
    await new Promise((resume) => setImmediate(resume));
  }
  execQueue.prev = Promise.resolve();
}

/** Requests that stock tslab does not know are answered. */
function answerMore(
  { server, message, handler }: TslabParts,
  kernel: ReactiveKernel,
  comms: Comms,
  last: { request: JupyterMessage },
  publish: (parent: JupyterMessage, type: string, content: object) => void,
): void {
  const { handleShellMessage } = server;
  const { handleKernel } = handler;
  handler.handleKernel = function (): Record<string, unknown> {
    return { status: 'ok', ...handleKernel.call(this), help_links: [] };
  };
  const answers: Record<string, (request: JupyterMessage) => Record<string, unknown>> = {
    comm_info_request: ({ content }) => ({ status: 'ok', comms: comms.info(content.target_name) }),
    history_request: () => ({ status: 'ok', history: [] }),
    interrupt_request: () => {
      interruptRunningCell();
      return { status: 'ok' };
    },
  };
  server.handleShellMessage = async function (this: TslabServer, socket, ...frames): Promise<void> {
    const type = messageType(frames);
    const answer = answers[type];
    if (!answer && !type.startsWith('comm_')) return handleShellMessage.call(this, socket, ...frames);
    const request = message.constructor.fromRaw(this.connInfo.key, frames);
    this.publishStatus('busy', request);
    if (answer) {
      const reply = request.createReply();
      reply.header.msg_type = type.replace('_request', '_reply');
      reply.content = answer(request);
      reply.signAndSend(this.connInfo.key, socket);
    } else {
      last.request = request;
      kernel.fromSession(request.header.session);
      // A control sends its next move when it hears `idle`: so it goes no faster than what follows is drawn.
      await Promise.race([comms.take(request).catch((error) => showCommError(error)), hold()]);
    }
    this.publishStatus('idle', request);
  };
  const showCommError = (error: unknown): void => {
    publish(last.request, 'stream', { name: 'stderr', text: `${String(error)}\n` });
  };
}

function hold(): Promise<void> {
  return new Promise((resume) => setTimeout(resume, moveHoldMs).unref());
}

function messageType(frames: readonly Buffer[]): string {
  const start = frames.findIndex((frame) => frame.equals(delimiter));
  try {
    return String(JSON.parse(frames[start + 2].toString()).msg_type);
  } catch {
    return '';
  }
}

const delimiter = Buffer.from('<IDS|MSG>');

/** Errors of timers and promises are shown in the cell that they come from, not as text in the last one. */
function showLateErrors(kernel: ReactiveKernel): void {
  const events = ['uncaughtException', 'unhandledRejection'] as const;
  for (const event of events) {
    const before = process.listeners(event as 'uncaughtException');
    const stock = before.filter((listener) => /U(?:ncaughtException|nhandledPromiseRejection):/.test(String(listener)));
    for (const listener of stock) process.removeListener(event, listener);
    process.on(event as 'uncaughtException', (error: unknown) => {
      const run = currentRun() ?? kernel.lastRun();
      if (run) asPartOf(run, () => kernel.showLateError(error));
    });
  }
}
