import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CAUSES } from '../../src/causes';
import { workedRecordsPage } from './worked-records';

const page = join(__dirname, '../../docs/worked-records.md');

describe('docs/worked-records.md', () => {
  it('holds what the kit says now, with a record for each cause', () => {
    const now = workedRecordsPage();
    if (process.env.UPDATE_DOCS === '1') writeFileSync(page, now);
    expect(readFileSync(page, 'utf8')).toBe(now);
    for (const cause of CAUSES) expect(now.toLowerCase(), cause).toContain(`\n## ${cause}`);
  }, 120_000);
});
