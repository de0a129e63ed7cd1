import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';

const root = resolve(__dirname, '../..');
// Plain scripts, which also run before anything is compiled.
const steps = require(join(root, 'kernel-helpers/set-up/steps.js')) as {
  installPythonPackages(): void;
  installKernel(): void;
  quietLab(): void;
  inVenv(name: string): string;
  venv: string;
};

/** A code cell of a notebook: its id and its text. */
export type Cells = Record<string, string>;

/** Makes a notebook file of code cells. */
export function notebookOf(cells: Cells): string {
  const metadata = {
    kernelspec: { display_name: 'TypeScript', language: 'typescript', name: 'tslab' },
    language_info: { name: 'typescript' },
  };
  const list = Object.entries(cells).map(([id, source]) => ({
    cell_type: 'code',
    id,
    source,
    metadata: {},
    outputs: [],
    execution_count: null,
  }));
  return JSON.stringify({ cells: list, metadata, nbformat: 4, nbformat_minor: 5 }, null, 1);
}

/** A real JupyterLab in a real Chromium, with one notebook open in it. */
export interface OpenLab {
  readonly page: Page;
  /** Everything that the page said on its console as an error. */
  readonly complaints: string[];
  /** Where the notebook lies. */
  readonly path: string;
  /** Carries out a command of JupyterLab. */
  command(id: string, args?: object): Promise<unknown>;
  /** Gives a cell another text. */
  write(cell: string, source: string): Promise<void>;
  /** Runs a cell, as Shift-Enter does, and waits until the kernel is idle. */
  run(cell: string): Promise<void>;
  runAll(): Promise<void>;
  /** The text that stands below a cell on the page. */
  sees(cell: string): Promise<string>;
  /** Waits until the text below a cell fits. */
  waitFor(cell: string, pattern: RegExp): Promise<void>;
  /** Waits until the kernel has nothing to do. */
  idle(): Promise<void>;
  /** Loads the page anew. */
  reload(): Promise<void>;
  /** The file as saved now. */
  saved(): Promise<{ cells: { id: string; outputs: Record<string, unknown>[] }[] }>;
  picture(name: string): Promise<void>;
  close(): Promise<void>;
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as { port: number };
  await new Promise((done) => server.close(done));
  return port;
}

function startServer(port: number, home: string): ChildProcess {
  const options = [
    '--allow-root',
    '--no-browser',
    `--port=${port}`,
    '--IdentityProvider.token=',
    `--ServerApp.root_dir=${root}`,
    '--LabApp.expose_app_in_browser=True',
    '--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate',
    '--LabApp.news_url=',
  ];
  return spawn(steps.inVenv('jupyter-lab'), options, {
    cwd: root,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: {
      ...process.env,
      JUPYTER_PATH: `${steps.venv}/share/jupyter`,
      JUPYTER_CONFIG_DIR: join(home, 'config'),
      JUPYTER_DATA_DIR: join(home, 'data'),
      JUPYTER_RUNTIME_DIR: join(home, 'runtime'),
    },
  });
}

async function untilAnswers(port: number, server: ChildProcess): Promise<void> {
  let words = '';
  server.stderr?.on('data', (chunk: Buffer) => {
    words = (words + chunk).slice(-4000);
  });
  server.stdout?.resume();
  for (let i = 0; i < 300; i++) {
    if (server.exitCode !== null) throw new Error(`JupyterLab ended: ${words}`);
    const answer = await fetch(`http://127.0.0.1:${port}/api/status`).catch(() => null);
    if (answer?.ok) return;
    await new Promise((done) => setTimeout(done, 100));
  }
  throw new Error(`JupyterLab did not answer within 30 s: ${words}`);
}

const chromiumFlags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Opens a Chromium: the one that the tests were told of, else Debian's. */
export function openChromium(): Promise<Browser> {
  const executablePath = process.env.BLANKOFF_CHROMIUM || '/usr/bin/chromium';
  if (!existsSync(executablePath)) throw new Error(`no Chromium at ${executablePath}: npm test installs one`);
  return chromium.launch({ executablePath, args: chromiumFlags });
}

/**
 * Starts JupyterLab and opens a notebook in it.
 * @param name of the notebook and of the folder in `out/` in which it lies
 * @param text of the notebook file
 */
export async function openInLab(name: string, text: string): Promise<OpenLab> {
  // Run alone, a test sets up its own JupyterLab, as npm test does before.
  steps.installPythonPackages();
  steps.installKernel();
  steps.quietLab();
  const folder = join(root, 'out', 'browser', name);
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `${name}.ipynb`);
  writeFileSync(path, text);
  const port = await freePort();
  const home = mkdtempSync(join(tmpdir(), 'blankoff-lab-'));
  const server = startServer(port, home);
  const browser = await openChromium();
  try {
    await untilAnswers(port, server);
    const page = await browser.newPage({ viewport: { width: 1280, height: 1000 } });
    const complaints: string[] = [];
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    // A page with unsaved changes asks before it is left.
    page.on('dialog', (dialog) => void dialog.accept());
    page.on('pageerror', (error) => complaints.push(String(error)));
    await page.goto(`http://127.0.0.1:${port}/lab/tree/out/browser/${name}/${name}.ipynb`);
    const lab = handle(page, path, complaints, async () => {
      await browser.close();
      // Asked by SIGINT it would first want an answer, and its kernels would outlive it.
      server.kill('SIGTERM');
      const killed = setTimeout(() => server.kill('SIGKILL'), 5000);
      await new Promise((done) => server.once('exit', done));
      clearTimeout(killed);
      rmSync(home, { recursive: true, force: true });
    });
    await ready(page);
    return lab;
  } catch (error) {
    await browser.close();
    server.kill('SIGKILL');
    throw error;
  }
}

/** What is used of JupyterLab inside the page. */
interface LabWindow {
  readonly jupyterapp: {
    readonly commands: { execute(id: string, args?: object): Promise<unknown> };
    readonly shell: { readonly currentWidget: Panel | null };
  };
}

interface Panel {
  readonly sessionContext: { readonly session?: { readonly kernel?: { readonly status: string } | null } | null };
  readonly content: {
    activeCellIndex: number;
    readonly widgets: readonly {
      readonly model: { readonly id: string; readonly sharedModel: { setSource(text: string): void } };
      readonly node: { querySelector(selector: string): { innerText: string } | null };
    }[];
  };
}

async function ready(page: Page): Promise<void> {
  await page.waitForFunction(
    () => {
      const app = (globalThis as unknown as LabWindow).jupyterapp;
      return app?.shell.currentWidget?.sessionContext?.session?.kernel?.status === 'idle';
    },
    undefined,
    { timeout: 60_000 },
  );
}

function handle(page: Page, path: string, complaints: string[], close: () => Promise<void>): OpenLab {
  const command = (id: string, args: object = {}): Promise<unknown> =>
    page.evaluate(
      ([name, given]) =>
        (globalThis as unknown as LabWindow).jupyterapp.commands
          .execute(name as string, given as object)
          .then(() => null),
      [id, args] as const,
    );
  const select = (cell: string): Promise<void> =>
    page.evaluate((id) => {
      const { content } = (globalThis as unknown as LabWindow).jupyterapp.shell.currentWidget!;
      const place = content.widgets.findIndex(({ model }) => model.id === id);
      if (place < 0) throw new Error(`no cell ${id}`);
      content.activeCellIndex = place;
    }, cell);
  const sees = (cell: string): Promise<string> =>
    page.evaluate((id) => {
      const { content } = (globalThis as unknown as LabWindow).jupyterapp.shell.currentWidget!;
      const found = content.widgets.find(({ model }) => model.id === id);
      return found?.node.querySelector('.jp-OutputArea-output, .jp-Cell-outputWrapper .jp-OutputArea')
        ? (found.node.querySelector('.jp-Cell-outputArea')?.innerText ?? '')
        : '';
    }, cell);
  const idle = (): Promise<void> => ready(page);
  return {
    page,
    complaints,
    path,
    command,
    idle,
    sees,
    write: (cell, source) =>
      page.evaluate(
        ([id, text]) => {
          const { content } = (globalThis as unknown as LabWindow).jupyterapp.shell.currentWidget!;
          content.widgets.find(({ model }) => model.id === id)!.model.sharedModel.setSource(text);
        },
        [cell, source] as const,
      ),
    run: async (cell) => {
      await select(cell);
      await command('notebook:run-cell');
      await idle();
    },
    runAll: async () => {
      await command('notebook:run-all-cells');
      await idle();
    },
    waitFor: async (cell, pattern) => {
      for (let i = 0; i < 200; i++) {
        if (pattern.test(await sees(cell))) return;
        await page.waitForTimeout(50);
      }
      throw new Error(`cell ${cell}: waited 10 s for ${pattern}, sees: ${await sees(cell)}`);
    },
    reload: async () => {
      await page.reload();
      await ready(page).catch(async (error) => {
        await page.screenshot({ path: join(path, '..', 'reload failed.png') });
        throw error;
      });
    },
    saved: async () => {
      await command('docmanager:save');
      return JSON.parse(readFileSync(path, 'utf8'));
    },
    picture: async (name) => {
      await page.screenshot({ path: join(path, '..', `${name}.png`) });
    },
    close,
  };
}
