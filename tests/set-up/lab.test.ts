import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createServer } from 'node:net';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const token = 'token-of-the-test';

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as { port: number };
  await new Promise((done) => server.close(done));
  return port;
}

/** The real thing: the set-up, then a JupyterLab that answers. */
describe('npm run lab', () => {
  let lab: ChildProcess;
  let words = '';
  let address: string;
  const ask = async (path: string): Promise<unknown> =>
    (await fetch(`${address}${path}`, { headers: { Authorization: `token ${token}` } })).json();

  beforeAll(async () => {
    const port = await freePort();
    address = `http://127.0.0.1:${port}`;
    const options = ['--no-open', '--port', String(port), '--ip', '127.0.0.1', `--IdentityProvider.token=${token}`];
    lab = spawn(process.execPath, [join(root, 'kernel-helpers/set-up/lab.js'), ...options], { stdio: 'pipe' });
    for (const stream of [lab.stdout, lab.stderr]) {
      stream?.on('data', (chunk) => {
        words += String(chunk);
      });
    }
    for (let tries = 0; tries < 200; tries++) {
      const answers = await ask('/api/status').catch(() => null);
      if (answers) return;
      if (lab.exitCode !== null) break;
      await new Promise((wait) => setTimeout(wait, 200));
    }
    throw new Error(`JupyterLab did not answer:\n${words}`);
  }, 60_000);

  afterAll(async () => {
    const ended = new Promise((done) => lab.once('close', done));
    if (lab.exitCode === null && lab.kill('SIGTERM')) await ended;
  });

  it('offers the kernel by the absolute paths of this Node and this tslab', async () => {
    const { kernelspecs } = (await ask('/api/kernelspecs')) as {
      kernelspecs: Record<string, { spec: { argv: string[] } }>;
    };
    const [node, script] = kernelspecs.tslab.spec.argv;
    expect([node, script].filter((path) => !existsSync(path))).toEqual([]);
    expect(node).toBe(process.execPath);
    expect(script).toBe(join(root, 'kernel-helpers/kernel/start-tslab.js'));
  });

  it('opens on the notebooks, in a JupyterLab 4.6 with the widgets', async () => {
    const page = await (await fetch(`${address}/lab/tree/notebooks?token=${token}`)).text();
    const config = JSON.parse(
      /<script id="jupyter-config-data" type="application\/json">\s*([\s\S]*?)<\/script>/.exec(page)?.[1] ?? '{}',
    );
    expect(config.appVersion).toMatch(/^4\.6\./);
    const extensions = (config.federated_extensions as { name: string }[]).map(({ name }) => name);
    expect(extensions).toContain('@jupyter-widgets/jupyterlab-manager');
    const { content } = (await ask('/api/contents/notebooks')) as { content: { name: string }[] };
    expect(content.map(({ name }) => name)).toContain('failed-pump-down.ipynb');
  });

  it('asks no question and calls nowhere when it is opened', async () => {
    const { schema } = (await ask('/lab/api/settings/@jupyterlab/apputils-extension:notification')) as {
      schema: { properties: Record<string, { default: unknown }> };
    };
    expect([schema.properties.checkForUpdates.default, schema.properties.fetchNews.default]).toEqual([false, 'false']);
  });
});
