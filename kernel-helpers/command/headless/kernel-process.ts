import { type ChildProcess, spawn } from 'node:child_process';
import { randomBytes, randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Dealer, Subscriber } from 'zeromq';
import { BlankoffError } from '../../../src/errors';
import { type KernelMessage, packRequest, unpackMessage } from './messages';

/** What arrives from a kernel: a message of one of its two channels, or the end of its process. */
export type KernelEvent =
  | { readonly from: 'iopub' | 'shell'; readonly message: KernelMessage }
  | { readonly from: 'process'; readonly ended: string };

/** A running tslab kernel. */
export interface Kernel {
  /** Sends a request on the shell channel; answers come to the listener under the returned id. */
  request(
    type: string,
    content: Readonly<Record<string, unknown>>,
    metadata?: Readonly<Record<string, unknown>>,
  ): Promise<string>;
  /** The listener is called with each event, in order of arrival; there is one at a time. */
  listen(listener: (event: KernelEvent) => void): void;
  /** Speaks as a new client from now on, as a page does that was loaded anew. */
  renewSession(): void;
  /** Sends the process a signal, such as `SIGINT` to interrupt a cell. */
  signal(name: NodeJS.Signals): void;
  /** Ends the process, politely first. */
  stop(): Promise<void>;
}

const host = '127.0.0.1';
const startLimitMs = 30_000;

/** Five ports that were free a moment ago. */
async function freePorts(count: number): Promise<number[]> {
  const servers = await Promise.all(
    Array.from({ length: count }, async () => {
      const server = createServer();
      await new Promise<void>((done, fail) => server.once('error', fail).listen(0, host, done));
      return server;
    }),
  );
  const ports = servers.map((server) => (server.address() as { port: number }).port);
  await Promise.all(servers.map((server) => new Promise((done) => server.close(done))));
  return ports;
}

function kernelProgram(): string {
  try {
    require.resolve('tslab/bin/tslab');
    return join(dirname(require.resolve('blankoff/package.json')), 'kernel-helpers/kernel/start-tslab.js');
  } catch {
    throw new BlankoffError('kernel', 'tslab: not found beside blankoff, expected it installed; run npm ci');
  }
}

interface Launched {
  readonly child: ChildProcess;
  readonly ports: readonly number[];
  readonly key: string;
  readonly folder: string;
  /** The last of what the process wrote outside any cell, for the message when it dies. */
  readonly lastWords: () => string;
}

async function launch(workingFolder: string, environment: NodeJS.ProcessEnv): Promise<Launched> {
  const ports = await freePorts(5);
  const key = randomBytes(16).toString('hex');
  const folder = mkdtempSync(join(tmpdir(), 'blankoff-kernel-'));
  const [shell_port, iopub_port, stdin_port, control_port, hb_port] = ports;
  const connection = { shell_port, iopub_port, stdin_port, control_port, hb_port };
  const path = join(folder, 'connection.json');
  writeFileSync(
    path,
    JSON.stringify({ ip: host, transport: 'tcp', key, signature_scheme: 'hmac-sha256', ...connection }),
    { mode: 0o600 },
  );
  const child = spawn(process.execPath, [kernelProgram(), 'kernel', `--config-path=${path}`], {
    cwd: workingFolder,
    env: environment,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let words = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream?.on('data', (chunk: Buffer) => {
      words = (words + chunk.toString('utf8')).slice(-4000);
    });
  }
  return { child, ports, key, folder, lastWords: () => words.trim() };
}

/**
 * Starts stock tslab as a child process and waits until it answers.
 * @param workingFolder where its cells run: the folder of the notebook
 * @throws BlankoffError (`kernel`) where it does not answer within 30 s or ends at once
 */
export async function startKernel(
  workingFolder: string,
  environment: NodeJS.ProcessEnv = process.env,
): Promise<Kernel> {
  const { Dealer, Subscriber } = await import('zeromq');
  const { child, ports, key, folder, lastWords } = await launch(workingFolder, environment);
  let session = randomUUID();
  const shell: Dealer = new Dealer({ linger: 0, receiveHighWaterMark: 0 });
  const iopub: Subscriber = new Subscriber({ linger: 0, receiveHighWaterMark: 0 });
  shell.connect(`tcp://${host}:${ports[0]}`);
  iopub.connect(`tcp://${host}:${ports[1]}`);
  iopub.subscribe();

  let listener: (event: KernelEvent) => void = () => {};
  const pump = async (from: 'iopub' | 'shell', socket: Dealer | Subscriber): Promise<void> => {
    for await (const frames of socket) {
      const message = unpackMessage(key, frames as Buffer[]);
      if (message) listener({ from, message });
    }
  };
  // A closed socket ends its loop with an error, which says nothing new.
  pump('iopub', iopub).catch(() => {});
  pump('shell', shell).catch(() => {});

  let ended: string | null = null;
  const gone = new Promise<void>((done) => {
    const end = (how: string): void => {
      if (ended !== null) return;
      const words = lastWords();
      ended = `the kernel ended (${how})${words ? `; its last words: ${words}` : ''}`;
      listener({ from: 'process', ended });
      done();
    };
    child.once('error', (error) => end(error.message));
    // `close`, not `exit`: by then what it wrote has been read.
    child.once('close', (code, signal) => end(signal ? `signal ${signal}` : `exit code ${code}`));
  });

  const request: Kernel['request'] = async (type, content, metadata) => {
    const { frames, id } = packRequest(key, session, type, content, metadata);
    await shell.send(frames);
    return id;
  };
  const stop = async (): Promise<void> => {
    listener = () => {};
    if (ended === null) {
      await request('shutdown_request', { restart: false }).catch(() => '');
      const timers = [setTimeout(() => child.kill('SIGTERM'), 1500), setTimeout(() => child.kill('SIGKILL'), 3000)];
      await gone;
      for (const timer of timers) clearTimeout(timer);
    }
    shell.close();
    iopub.close();
    rmSync(folder, { recursive: true, force: true });
  };

  const kernel: Kernel = {
    request,
    stop,
    renewSession: () => {
      session = randomUUID();
    },
    signal: (name) => void child.kill(name),
    listen: (next) => {
      listener = next;
      if (ended !== null) next({ from: 'process', ended });
    },
  };
  try {
    await untilReady(kernel);
  } catch (error) {
    await stop();
    throw error;
  }
  return kernel;
}

/** Asks until both channels answer: only then is the subscription known to be through and no output can be lost. */
function untilReady(kernel: Kernel): Promise<void> {
  return new Promise((ready, fail) => {
    let [heardShell, heardIopub] = [false, false];
    const ask = (): void => void kernel.request('kernel_info_request', {}).catch(fail);
    const asking = setInterval(ask, 300);
    const limit = setTimeout(
      () => finish(() => fail(new BlankoffError('kernel', `the kernel: no answer within ${startLimitMs / 1000} s`))),
      startLimitMs,
    );
    const finish = (then: () => void): void => {
      clearInterval(asking);
      clearTimeout(limit);
      kernel.listen(() => {});
      then();
    };
    kernel.listen((event) => {
      if (event.from === 'process') finish(() => fail(new BlankoffError('kernel', event.ended)));
      else if (event.from === 'shell') heardShell = true;
      else heardIopub = true;
      if (heardShell && heardIopub) finish(ready);
    });
    ask();
  });
}
