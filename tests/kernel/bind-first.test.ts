import { spawnSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');

/** Answers while the socket is being bound, as tslab does to a client that is early. */
const early = `
  const { Dealer, Router } = require('zeromq');
  (async () => {
    const router = new Router({ linger: 0 });
    const binding = router.bind('tcp://127.0.0.1:*');
    const answer = Promise.resolve().then(() => router.send(['nobody', 'early']));
    const asked = router.receive();
    await binding;
    const dealer = new Dealer({ linger: 0 });
    dealer.connect(router.lastEndpoint);
    await dealer.send('a');
    await dealer.send('b');
    const words = [await asked, await router.receive()].map((frames) => String(frames[1]));
    // Nobody of that name is there: the socket says so, or drops the words.
    await answer.catch((error) => { if (error.code === 'EBUSY') throw error; });
    console.log(words.join(' '));
    process.exit(0);
  })().catch((error) => { console.log(error.code ?? error.message); process.exit(1); });
`;

const answers = (before: string): string => {
  const result = spawnSync(process.execPath, ['-e', before + early], { cwd: root, encoding: 'utf8', timeout: 20_000 });
  return result.stdout.trim();
};

describe('a socket that is being bound', () => {
  it('refuses to send or receive as it comes, which ended kernels that were asked early', () => {
    expect(answers('')).toBe('EBUSY');
  });

  it('waits instead once the kernel is started by our script', () => {
    expect(answers(`require(${JSON.stringify(join(root, 'kernel-helpers/kernel/bind-first.js'))});`)).toBe('a b');
  });
});
