import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { bundleRuntime } from '../../kernel-helpers/page/bundle-runtime';

describe('the licences at the foot of a page', () => {
  it('name every library of its script with who holds the rights, each wording once', async () => {
    const { notices, parts } = await bundleRuntime(false);
    const used = Object.entries(parts).filter(([, { bytesInOutput }]) => bytesInOutput > 0);
    const names = new Set(used.flatMap(([path]) => /.*node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? []));
    expect(names.size).toBeGreaterThan(30);
    for (const name of names) expect(notices).toMatch(new RegExp(`(^|, )${name}(, .*)?: .*Copyright`, 'mi'));
    // BSD asks for its three conditions, ISC and MIT for their permission.
    expect(notices).toContain('Redistributions in binary form must reproduce the above copyright notice');
    expect(
      notices.match(/The above copyright notice and this permission notice shall be included/g)?.length,
    ).toBeLessThan(5);
    const whole = readFileSync(join(__dirname, '../../node_modules/vega/LICENSE'), 'utf8').replace(/\s+/g, ' ');
    expect(notices.replace(/\s+/g, ' ')).toContain(whole.slice(whole.indexOf('Redistribution and use')).trim());
    expect(notices.length).toBeLessThan(16_000);
  });
});
