import { createHmac } from 'node:crypto';

/** A message of the Jupyter protocol as tslab holds it. */
export interface JupyterMessage {
  readonly header: { readonly msg_id: string; readonly session: string; msg_type: string };
  readonly parent: { readonly msg_id?: string; readonly msg_type?: string };
  metadata: Record<string, unknown>;
  content: Record<string, unknown>;
  extra: unknown[];
  createReply(): JupyterMessage;
  signAndSend(key: string, socket: Socket): void;
}

/** The sending side of a socket. */
export interface Socket {
  send(frames: readonly unknown[]): Promise<void>;
  /** Of a publishing socket: refuse what cannot be held, rather than drop it. */
  noDrop?: boolean;
}

/** Runs one cell after the other; what it adds cannot be reached otherwise. */
export interface TslabExecutor {
  execute(source: string): Promise<boolean>;
  inspect(source: string, position: number): unknown;
  interrupt(): void;
}

/** Takes the requests of the front end. */
export interface TslabHandler {
  readonly executor: TslabExecutor;
  readonly execCount: number;
  readonly execQueue: { prev: Promise<unknown>; add<T>(task: () => Promise<T>): Promise<T>; reset(): void };
}

/** What tslab calls to print or show something. */
export type WriteStream = (name: string, text: string) => void;
export type WriteDisplay = (content: Record<string, unknown>, update: boolean) => void;

/** The server that reads and answers messages. */
export interface TslabServer {
  readonly connInfo: { readonly key: string };
  readonly iopub: Socket;
  readonly shell: Socket;
  readonly handler: TslabHandler;
  publishStatus(status: string, parent: JupyterMessage): void;
}

interface HandlerPrototype {
  handleExecute(
    this: TslabHandler,
    request: { stop_on_error?: boolean },
    stream: WriteStream,
    display: WriteDisplay,
  ): Promise<{ status: string }>;
  handleExecuteImpl(this: TslabHandler, request: object, stream: WriteStream, display: WriteDisplay): Promise<object>;
  createWriteToIopub(name: string, stream: WriteStream): (chunk: string | Uint8Array) => boolean;
  handleKernel(this: TslabHandler): Record<string, unknown>;
}

interface ServerPrototype {
  handleShellMessage(this: TslabServer, socket: Socket, ...frames: Buffer[]): Promise<void>;
  publishStatus(this: TslabServer, status: string, parent: JupyterMessage): void;
}

/** The places in the running tslab that the extension builds on. */
export interface TslabParts {
  readonly jupyter: { lastWriteDisplayData: WriteDisplay };
  readonly handler: HandlerPrototype;
  readonly server: ServerPrototype;
  readonly message: JupyterMessage & { constructor: { fromRaw(key: string, frames: Buffer[]): JupyterMessage } };
  readonly converter: { createConverter(options: object): object };
  /** Where cells keep the names that other cells use, and their `require`. */
  readonly cells: { readonly exports: Record<string, unknown>; readonly require: NodeJS.Require };
  /** The request of the cell that is running, with the key and the socket by which its outputs leave. */
  readonly running: { readonly request: JupyterMessage; readonly key: string; readonly iopub: Socket };
}

type Loose = Record<string, unknown>;

/**
 * Finds the running tslab among the loaded modules: a fresh `require` might load a second copy that is not connected.
 * @returns its parts; `null` outside tslab; or a sentence that says what this tslab lacks
 */
export function findTslab(): TslabParts | string | null {
  const jupyter = loaded(
    /[\\/]tslab[\\/]dist[\\/]jupyter\.js$/,
    (found) => typeof found.lastWriteDisplayData === 'function',
  );
  if (!jupyter) return null;
  const converter = loaded(
    /[\\/]tslab[\\/]dist[\\/]converter\.js$/,
    (found) => typeof found.createConverter === 'function',
  );
  if (!converter) return 'its converter was not found';
  const server = prototypeWith(jupyter.ZmqServer, ['handleShellMessage', 'publishStatus']);
  if (!server) return 'its server has other methods than expected';
  const methods = ['handleExecute', 'handleExecuteImpl', 'createWriteToIopub', 'handleKernel'];
  const handler = prototypeWith(jupyter.JupyterHandlerImpl, methods);
  if (!handler) return 'its request handler has other methods than expected';
  const cells = (globalThis as Loose).__tslab__ as Partial<TslabParts['cells']> | undefined;
  if (!cells?.exports || typeof cells.require !== 'function') return 'the names of its cells were not found';
  const message = messagePrototype(server as unknown as ServerPrototype);
  if (!message) return 'its messages have other methods than expected';
  const running = probeMessage(message, () => (jupyter.lastWriteDisplayData as WriteDisplay)({}, false));
  if (running?.request.header.msg_type !== 'execute_request') return 'the running request was not found';
  return { jupyter, handler, server, message, converter, cells, running } as unknown as TslabParts;
}

/**
 * Learns which request a writer of tslab belongs to: it is made to write, and what it writes is caught.
 * @param message the prototype of tslab's messages
 * @param write calls the writer
 */
export function probeMessage(
  message: JupyterMessage,
  write: () => void,
): { request: JupyterMessage; key: string; iopub: Socket } | null {
  const { createReply, signAndSend } = message;
  const caught: { request?: JupyterMessage; key?: string; iopub?: Socket } = {};
  message.createReply = function (this: JupyterMessage): JupyterMessage {
    caught.request = this;
    return createReply.call(this);
  };
  message.signAndSend = (key, iopub) => {
    Object.assign(caught, { key, iopub });
  };
  try {
    write();
  } catch {
    return null;
  } finally {
    Object.assign(message, { createReply, signAndSend });
  }
  const { request, key, iopub } = caught;
  return request && key !== undefined && iopub ? { request, key, iopub } : null;
}

function loaded(path: RegExp, fits: (found: Loose) => boolean): Loose | null {
  for (const [file, module] of Object.entries(require.cache)) {
    const found = module?.exports as Loose | undefined;
    if (path.test(file) && found && fits(found)) return found;
  }
  return null;
}

function prototypeWith(type: unknown, methods: readonly string[]): Loose | null {
  const prototype = (type as { prototype?: Loose } | undefined)?.prototype;
  return prototype && methods.every((name) => typeof prototype[name] === 'function') ? prototype : null;
}

/** tslab does not export its class of messages; a made-up message that its server reads shows it. */
function messagePrototype(server: ServerPrototype): TslabParts['message'] | null {
  const seen: Loose[] = [];
  const listener = {
    connInfo: { key: '' },
    publishStatus: (_status: string, message: Loose): void => {
      seen.push(message);
    },
    handleKernelInfo: (): void => {},
  };
  const parts = [{ msg_type: 'kernel_info_request' }, {}, {}, {}].map((part) => Buffer.from(JSON.stringify(part)));
  const hmac = createHmac('sha256', '');
  for (const part of parts) hmac.update(part);
  const frames = [Buffer.from('<IDS|MSG>'), Buffer.from(hmac.digest('hex')), ...parts];
  server.handleShellMessage.call(listener as unknown as TslabServer, {} as Socket, ...frames).catch(() => {});
  const found: Loose | null = seen[0] ? (Object.getPrototypeOf(seen[0]) as Loose) : null;
  const complete = found && typeof found.createReply === 'function' && typeof found.signAndSend === 'function';
  const fromRaw = (found?.constructor as Loose | undefined)?.fromRaw;
  return complete && typeof fromRaw === 'function' ? (found as unknown as TslabParts['message']) : null;
}
