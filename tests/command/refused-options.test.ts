import { spawnSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const demo = join(root, 'datasets/failed-pump-down.csv');

function analyse(...args: string[]): { status: number | null; stdout: string; stderr: string } {
  const command = join(root, 'kernel-helpers/command/blankoff.js');
  return spawnSync(process.execPath, [command, 'analyse', ...args], { encoding: 'utf8' });
}

describe('an option that names what is not there is refused, with what there is', () => {
  it.each([
    [['--gas', 'unobtainium'], 'gas: met "unobtainium", expected one of air, N2'],
    [['--temperature', 'NOSUCH'], 'temperature: met "NOSUCH", expected none: the log holds no temperature'],
    [['--channel', 'nope'], 'channel: met "nope", expected one of chamber [mbar]'],
    [['--remarks', 'no-such-file.txt'], '--remarks: met "no-such-file.txt", expected a text file that can be read'],
    [['--remarks', join(root, 'node_modules/typescript/package.json')], 'remark in line 2: met ""name'],
    [
      ['--remarks', join(root, 'docs/figures/repeated-isolations.png')],
      'expected a text file that can be read, one remark a line',
    ],
    [['--second-gauge', 'nope=thermal'], 'channel: met "nope", expected the name of one pressure channel'],
    [['--volume=-5 L'], '--volume: met "-5 L", expected a volume above 0'],
    [[demo], 'failed-pump-down.csv with the same content as failed-pump-down.csv'],
  ])('%s', (options, message) => {
    const { status, stdout, stderr } = analyse(demo, ...options);
    expect(stderr).toContain(message);
    expect([status, stdout]).toEqual([1, '']);
  });

  it('a dwell longer than every isolation passes nothing', () => {
    const given = ['--volume', '12.4 L', '--limit', '100 mbar L/s', '--json'];
    expect(JSON.parse(analyse(demo, ...given).stdout).finding.conforms).toBe('yes');
    expect(JSON.parse(analyse(demo, ...given, '--dwell', '2 h').stdout).finding.conforms).toBe('inconclusive');
    const { stdout } = analyse(demo, ...given.slice(0, -1), '--dwell', '2 h');
    expect(stdout.replace(/\s+/g, ' ')).toContain('no isolation is as long as the dwell and window asked for');
  });
});
