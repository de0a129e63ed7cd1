import { type Kernel, type KernelEvent, startKernel } from '../../kernel-helpers/command/headless/kernel-process';

/** An output of a cell as a notebook would save it, in short: `text`, `error: …`, or the bundle's plain text. */
export type Shown = string;

export interface Reply {
  readonly status: string;
  readonly content: Readonly<Record<string, unknown>>;
}

interface Raw {
  readonly type: string;
  readonly content: Readonly<Record<string, unknown>>;
  readonly parentId: string;
}

/** A front end with a notebook in it, as small as can be: it runs cells and keeps their outputs as JupyterLab does. */
export interface FrontEnd {
  readonly kernel: Kernel;
  /** All messages on iopub, in order of arrival. */
  readonly messages: Raw[];
  /** Runs a cell and waits for its reply and its `idle`. */
  run(cell: string, source: string, metadata?: Record<string, unknown>): Promise<Reply>;
  /** Sends cells all at once, as Run All does. */
  runAll(cells: Record<string, string>): Promise<Reply[]>;
  /** What a cell shows now; `cell [7]`, as errors call a cell, is given back as `cell <its id>`. */
  shows(cell: string): Shown[];
  /** Ids of the cells that have been run. */
  cells(): string[];
  /** The errors that a cell shows now. */
  errors(cell: string): Readonly<Record<string, unknown>>[];
  /** Any other request; resolves with its reply. */
  ask(type: string, content: Record<string, unknown>): Promise<Reply>;
  /** Sends a message that has no reply; resolves with its `idle`. */
  tell(type: string, content: Record<string, unknown>): Promise<void>;
  /** Waits until something is so, at most for 10 s. */
  until(is: () => boolean, what: string): Promise<void>;
  /** Loads the page anew: another session, which knows the outputs as saved and no running request. */
  reload(): void;
  stop(): Promise<void>;
}

interface Output {
  readonly id?: string;
  text: string;
  readonly stream?: string;
  readonly error?: Readonly<Record<string, unknown>>;
}

/** Starts stock tslab in the repository with a front end. */
export async function openNotebook(environment: NodeJS.ProcessEnv = {}, folder = process.cwd()): Promise<FrontEnd> {
  const kernel = await startKernel(folder, { ...process.env, ...environment });
  const messages: Raw[] = [];
  const cells = new Map<string, { outputs: Output[]; clearNext: boolean }>();
  const owners = new Map<string, string>();
  const waiting = new Map<string, { reply?: Reply; idle: boolean; done: (reply: Reply) => void }>();

  const output = (cellId: string, { type, content }: Raw): void => {
    const cell = cells.get(cellId)!;
    const add = (item: Output): void => {
      if (cell.clearNext) cell.outputs = [];
      cell.clearNext = false;
      const last = cell.outputs[cell.outputs.length - 1];
      if (item.stream && last?.stream === item.stream) last.text += item.text;
      else cell.outputs.push(item);
    };
    const plain = (content.data as Record<string, unknown> | undefined)?.['text/plain'];
    const id = (content.transient as { display_id?: string } | undefined)?.display_id;
    if (type === 'stream') add({ stream: String(content.name), text: String(content.text) });
    else if (type === 'display_data' || type === 'execute_result') add({ id, text: String(plain) });
    else if (type === 'error') add({ text: `${content.ename}: ${content.evalue}`, error: content });
    else if (type === 'clear_output' && content.wait === true) cell.clearNext = true;
    else if (type === 'clear_output') cell.outputs = [];
    else if (type === 'update_display_data') {
      for (const shown of [...cells.values()].flatMap(({ outputs }) => outputs)) {
        if (id !== undefined && shown.id === id) shown.text = String(plain);
      }
    }
  };
  // Messages may arrive before the id of their request is known here.
  const early = new Map<string, KernelEvent[]>();
  const counts = new Map<string, string>();
  const named = (text: string): string =>
    text.replace(/cell \[(\d+)\]/g, (words, count) => (counts.has(count) ? `cell ${counts.get(count)}` : words));
  const settle = (id: string): void => {
    const open = waiting.get(id);
    if (!open?.reply || !open.idle) return;
    waiting.delete(id);
    open.done(open.reply);
  };
  const hear = (event: KernelEvent): void => {
    if (event.from === 'process') throw new Error(event.ended);
    const { type, parentId, content } = event.message;
    const open = waiting.get(parentId);
    if (!open && !owners.has(parentId)) early.set(parentId, [...(early.get(parentId) ?? []), event]);
    if (event.from === 'shell') {
      if (open) open.reply = { status: String(content.status), content };
    } else {
      const cell = owners.get(parentId);
      if (cell !== undefined) output(cell, event.message);
      if (cell !== undefined && type === 'execute_input') counts.set(String(content.execution_count), cell);
      if (open && type === 'status' && content.execution_state === 'idle') open.idle = true;
    }
    settle(parentId);
  };
  kernel.listen((event) => {
    if (event.from === 'iopub') messages.push(event.message);
    hear(event);
  });

  const send = async (
    type: string,
    content: Record<string, unknown>,
    metadata: Record<string, unknown> = {},
    reply?: Reply,
    cell?: string,
  ): Promise<Reply> => {
    const id = await kernel.request(type, content, metadata);
    if (cell !== undefined) {
      // A new request takes the outputs of the cell away from the last one.
      for (const [request, owner] of owners) if (owner === cell) owners.delete(request);
      owners.set(id, cell);
      cells.set(cell, { outputs: [], clearNext: false });
    }
    const replied = new Promise<Reply>((done) => waiting.set(id, { reply, idle: false, done }));
    for (const event of early.get(id) ?? []) hear(event);
    early.delete(id);
    return replied;
  };
  const runCell = (cell: string, source: string, metadata: Record<string, unknown> = {}): Promise<Reply> =>
    send(
      'execute_request',
      { code: source, silent: false, store_history: true, stop_on_error: true, user_expressions: {} },
      { cellId: cell, deletedCells: [], ...metadata },
      undefined,
      cell,
    );
  return {
    kernel,
    messages,
    run: runCell,
    runAll: (all) => Promise.all(Object.entries(all).map(([cell, source]) => runCell(cell, source))),
    shows: (cell) => (cells.get(cell)?.outputs ?? []).map(({ text }) => named(text)),
    cells: () => [...cells.keys()],
    errors: (cell) => (cells.get(cell)?.outputs ?? []).flatMap(({ error }) => (error ? [error] : [])),
    ask: (type, content) => send(type, content),
    tell: async (type, content) => {
      await send(type, content, {}, { status: 'none', content: {} });
    },
    until: async (is, what) => {
      const limit = Date.now() + 10_000;
      while (!is()) {
        if (Date.now() > limit) throw new Error(`waited 10 s in vain: ${what}`);
        await new Promise((resume) => setTimeout(resume, 10));
      }
    },
    reload: () => {
      owners.clear();
      kernel.renewSession();
    },
    stop: () => kernel.stop(),
  };
}
