import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const command = resolve(__dirname, '../../kernel-helpers/command/blankoff.js');
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'blankoff-answers-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const rows = (heads: string, row: (i: number) => string): string =>
  `${heads}\n${Array.from({ length: 60 }, (_, i) => row(i)).join('\n')}\n`;
const falling = (i: number): string => (29.9 - 0.4 * i).toFixed(3);

/** Logs that leave something open, invented; each is asked about until nothing is. */
const LOGS: Readonly<Record<string, string>> = {
  'inHg, absolute or below atmosphere': rows('t (s),P [inHg]', (i) => `${i},${falling(i)}`),
  'inHg below atmosphere, which needs the barometer': rows('t (s),P [inHg vac]', (i) => `${i},${i * 0.4}`),
  'psi, by numbers that do not tell': rows('t (s),P [psi]', (i) => `${i},${5 + i * 0.1}`),
  'no unit': rows('t (s),P', (i) => `${i},${5.5 + i * 0.1}`),
  'no unit of two gauges': rows('t (s),chamber pressure,foreline pressure', (i) => `${i},${5 + i},${900 - 9 * i}`),
  'no unit of one of two gauges': rows('t (s),oven (Torr),line pressure', (i) => `${i},${5 + i},${900 - 9 * i}`),
  'no unit of time': rows('t,P [mbar]', (i) => `${i},${5 + i}`),
  'day and month': rows('date,P [mbar]', (i) => `03/04/2024 10:00:${String(i).padStart(2, '0')},${5 + i}`),
  'no time at all': rows('P [mbar]', (i) => `${5 + i}`),
  'two gauges that do not follow each other': rows('t (s),a (Pa),b (Pa)', (i) => `${i},${(i % 9) + 1},${1000 - 9 * i}`),
};

/** What was asked, and the first way of answering of each question, as somebody would type it. */
function asked(stderr: string): { questions: string[]; answers: string[] } {
  const parts = stderr
    .replace(/\n {2,}/g, ' ')
    .split('\n')
    .filter((line) => line.startsWith('? '));
  const answers = parts.map((part) => / answer with (.*)$/.exec(part)?.[1] ?? '');
  return { questions: parts.map((part) => part.split(' answer with ')[0]), answers };
}

/** `--unit "P [inHg]=inHg abs", or …` as words of a command line; a NAME stands for the first choice. */
function typed(answer: string, question: string): string[] {
  const match = /^(--[a-z-]+) (?:"([^"]*)"|([^ ,;]+))/.exec(answer);
  if (!match) throw new Error(`no option in: ${answer}`);
  const value = match[2] ?? match[3];
  const choice = /choices: ([^,]+)/.exec(question)?.[1].trim();
  return [match[1], value === 'NAME' && choice ? choice : value];
}

describe('an answer that is typed as it is printed', () => {
  it.each(Object.keys(LOGS))('settles its question: %s', (name) => {
    const log = join(folder, `${name.replace(/\W+/g, '-')}.csv`);
    writeFileSync(log, LOGS[name]);
    const given: string[] = [];
    const before = new Set<string>();
    for (let round = 0; round < 5; round++) {
      const { status, stderr } = spawnSync(process.execPath, [command, 'analyse', log, ...given], { encoding: 'utf8' });
      if (status !== 2) {
        expect([status, stderr]).toEqual([0, '']);
        expect(before.size).toBeGreaterThan(0);
        return;
      }
      const { questions, answers } = asked(stderr);
      expect(questions.length).toBeGreaterThan(0);
      questions.forEach((question, i) => {
        expect(before.has(question), `asked again: ${question}`).toBe(false);
        before.add(question);
        given.push(...typed(answers[i], question));
      });
    }
    throw new Error(`still asked after five rounds: ${[...before].join('; ')}`);
  });
});
