import { BlankoffError } from '../../../src/errors';
import { type FailurePlace, failureOf } from './failure';
import { type Kernel, type KernelEvent, startKernel } from './kernel-process';
import type { CellOutput, Notebook, NotebookCell } from './notebook-file';
import { collectOutputs, type OutputCollector } from './outputs';

/** How a run may be limited and watched. */
export interface RunOptions {
  /** Folder in which the cells run: that of the notebook. */
  readonly folder: string;
  /** Longest time for one cell, ms; 10 minutes without it. */
  readonly cellLimitMs?: number;
  /** Called before each code cell: its number among the code cells, and how many there are. */
  readonly onCell?: (number: number, of: number) => void;
  readonly environment?: NodeJS.ProcessEnv;
}

/** A notebook that has been run, as far as it went. */
export interface NotebookRun {
  readonly notebook: Notebook;
  /** The first failure, after which no cell was run, or null. */
  readonly failure: FailurePlace | null;
  /** Things that were odd but did not stop it, each in a sentence. */
  readonly warnings: readonly string[];
}

/** How long an `idle` that does not come after its reply is waited for; stock tslab can lose it in a burst of output. */
const idleGraceMs = 3000;

interface CellEnd {
  readonly status: 'ok' | 'error' | 'abort' | 'dead' | 'timeout';
  readonly count: number | null;
  readonly problem?: string;
  readonly sawIdle: boolean;
}

/** Runs one cell and waits for its reply and for its `idle`, by which its output is complete. */
function runCell(
  kernel: Kernel,
  collector: OutputCollector,
  cell: NotebookCell,
  outputs: CellOutput[],
  limitMs: number,
): Promise<CellEnd> {
  return new Promise((done) => {
    let id = '';
    let reply: { status: string; count: number | null } | null = null;
    let grace: NodeJS.Timeout | undefined;
    const early: KernelEvent[] = [];
    const finish = (end: CellEnd): void => {
      clearTimeout(limit);
      clearTimeout(grace);
      kernel.listen((event) => {
        if (event.from === 'iopub') collector.take(event.message);
      });
      done(end);
    };
    const finishWithReply = (sawIdle: boolean): void => {
      const status = reply?.status === 'ok' || reply?.status === 'error' ? reply.status : 'abort';
      finish({ status, count: reply?.count ?? null, sawIdle });
    };
    const limit = setTimeout(
      () => finish({ status: 'timeout', count: null, problem: `no end within ${limitMs / 1000} s`, sawIdle: false }),
      limitMs,
    );
    let idle = false;
    const hear = (event: KernelEvent): void => {
      if (event.from === 'process') {
        finish({ status: 'dead', count: null, problem: event.ended, sawIdle: false });
        return;
      }
      if (id === '') {
        early.push(event);
        return;
      }
      const { message } = event;
      if (event.from === 'iopub') collector.take(message);
      if (message.parentId !== id) return;
      if (message.type === 'execute_reply') {
        const count = message.content.execution_count;
        reply = { status: String(message.content.status), count: typeof count === 'number' ? count : null };
        if (idle) finishWithReply(true);
        else grace = setTimeout(() => finishWithReply(false), idleGraceMs);
      } else if (message.type === 'status' && message.content.execution_state === 'idle') {
        idle = true;
        if (reply) finishWithReply(true);
      }
    };
    kernel.listen(hear);
    const content = {
      code: cell.source,
      silent: false,
      store_history: true,
      user_expressions: {},
      allow_stdin: false,
      stop_on_error: true,
    };
    // JupyterLab sends the cell's id like this; the kernel extension tells cells apart by it.
    kernel
      .request('execute_request', content, cell.id ? { cellId: cell.id, deletedCells: [], controls: false } : {})
      .then(
        (requestId) => {
          id = requestId;
          collector.own(id, outputs);
          for (const event of early) hear(event);
        },
        (error: Error) => finish({ status: 'dead', count: null, problem: error.message, sawIdle: false }),
      );
  });
}

/**
 * Runs the code cells of a notebook one at a time on a fresh stock tslab kernel and stops at the first that fails.
 * @param notebook what to run; it is not changed
 * @returns a copy with the outputs, and the failure if there was one: it is not thrown
 * @throws BlankoffError (`kernel`) where the kernel does not start
 */
export async function runNotebook(notebook: Notebook, options: RunOptions): Promise<NotebookRun> {
  const cells: NotebookCell[] = notebook.cells.map((cell) =>
    cell.cell_type === 'code' ? { ...cell, outputs: [], execution_count: null } : { ...cell },
  );
  const code = cells.filter((cell) => cell.cell_type === 'code' && cell.source.trim() !== '');
  const warnings: string[] = [];
  let failure: FailurePlace | null = null;
  const kernel = await startKernel(options.folder, options.environment);
  const collector = collectOutputs();
  try {
    for (const [k, cell] of code.entries()) {
      options.onCell?.(k + 1, code.length);
      const outputs = cell.outputs ?? [];
      const end = await runCell(kernel, collector, cell, outputs, options.cellLimitMs ?? 600_000);
      cell.execution_count = end.count;
      if (!end.sawIdle && end.status === 'ok') {
        warnings.push(`cell ${k + 1}: the kernel did not say that it was done; some of its output may be lost`);
      }
      failure = failureOf(cell, k + 1, end.status, end.problem) ?? lateFailure(code.slice(0, k));
      if (failure) break;
    }
  } finally {
    await kernel.stop();
  }
  return { notebook: { ...notebook, cells }, failure, warnings };
}

/** An error of a timer or promise that came out in a cell after that cell had ended well. */
function lateFailure(cells: readonly NotebookCell[]): FailurePlace | null {
  const failures = cells.map((cell, k) => failureOf(cell, k + 1, 'ok'));
  return failures.find((failure) => failure !== null) ?? null;
}

/** Turns a failure into the error that a program can throw. */
export function failureError(file: string, failure: FailurePlace): BlankoffError {
  const line = failure.line === null ? '' : `, line ${failure.line}`;
  return new BlankoffError('cell', `${file}, cell ${failure.cell}${line}: ${failure.message}`);
}
