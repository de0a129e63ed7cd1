// biome-ignore-all lint/suspicious/noTemplateCurlyInString: cells hold templates
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type FrontEnd, openNotebook } from './front-end';

let lab: FrontEnd;

beforeAll(async () => {
  lab = await openNotebook();
  await lab.run('kit', `import { show } from 'blankoff/notebook'; import * as tslab from 'tslab';`);
});
afterAll(() => lab.stop());

const errorOf = (cell: string): Record<string, unknown> | undefined => lab.errors(cell)[0];

describe('output', () => {
  it('of 5000 displays and 3000 prints in one cell arrives whole and in order', async () => {
    const reply = await lab.run(
      'burst',
      'for (let i = 0; i < 5000; i++) tslab.display.text(`d${i}`); for (let i = 0; i < 3000; i++) console.log(i);',
    );
    expect(reply.status).toBe('ok');
    const shown = lab.shows('burst');
    expect(shown.slice(0, 5000)).toEqual(Array.from({ length: 5000 }, (_, i) => `d${i}`));
    expect(shown[5000]).toBe(Array.from({ length: 3000 }, (_, i) => `${i}\n`).join(''));
  });

  it('of timers and promises goes to the cell that they come from, not to the last one', async () => {
    await lab.run('timer', 'const timer = setTimeout(() => { console.log("tick"); show("shown late"); }, 60);');
    await lab.run('other', 'console.log("other");');
    await lab.until(() => lab.shows('timer').length === 2, 'the timer has printed');
    expect([lab.shows('timer'), lab.shows('other')]).toEqual([['tick\n', 'shown late'], ['other\n']]);
  });

  it('of timers of an earlier run of a cell is dropped', async () => {
    await lab.run('again', 'setTimeout(() => console.log("first run"), 80); console.log("one");');
    await lab.run('again', 'console.log("two");');
    await new Promise((resume) => setTimeout(resume, 150));
    expect(lab.shows('again')).toEqual(['two\n']);
  });

  it('of the last expression is rich where we have a form for it, and else its text', async () => {
    await lab.run('rows', '[{ a: 1, b: 2 }]');
    expect(lab.shows('rows')[0]).toMatch(/a\s+b\n/);
    await lab.run('plain', '({ x: 1 })');
    await lab.run('text', '"a" + "b"');
    await lab.run('nothing', 'undefined');
    expect([lab.shows('plain'), lab.shows('text'), lab.shows('nothing')]).toEqual([['{ x: 1 }'], ['ab'], []]);
  });
});

describe('an error', () => {
  it('is a message with name, text and the line of the cell, without frames of tslab or Node', async () => {
    const reply = await lab.run(
      'thrower',
      'interface Row { p: number }\n\nfunction judge(row: Row): number {\n  throw new RangeError(`p is ${row.p}`);\n}\njudge({ p: 3 });',
    );
    const traceback = [
      'RangeError: p is 3',
      expect.stringMatching(/^ {4}in judge, cell \[\d+\], line 4: throw new RangeError/),
      expect.stringMatching(/^ {4}cell \[\d+\], line 6: judge\(\{ p: 3 \}\);$/),
    ];
    expect(reply.content).toMatchObject({ status: 'error', ename: 'RangeError', evalue: 'p is 3', traceback });
    expect(errorOf('thrower')).toEqual({ ename: 'RangeError', evalue: 'p is 3', traceback });
  });

  it('names the cell of a function that another cell called', async () => {
    await lab.run(
      'helper',
      'type N = number;\nconst divide = (a: N, b: N): N => {\n  if (b === 0) throw new Error("by zero");\n  return a / b;\n};',
    );
    await lab.run('caller', 'const ok = 1;\ndivide(ok, 0);');
    const { traceback } = errorOf('caller') as { traceback: string[] };
    expect(traceback, JSON.stringify(traceback)).toHaveLength(3);
    expect(traceback[1]).toMatch(/in divide, cell \[\d+\], line 3: if \(b === 0\)/);
    expect(traceback[2]).toMatch(/cell \[\d+\], line 2: divide\(ok, 0\)/);
  });

  it('of types says line and reason', async () => {
    await lab.run('typed', 'const fine = 1;\nconst wrong: string = 4;');
    expect(errorOf('typed')).toMatchObject({
      ename: 'TypeScript',
      evalue: "line 2: Type 'number' is not assignable to type 'string'.",
    });
  });

  it('of syntax says line and reason', async () => {
    await lab.run('syntax', 'const a1 = 1;\nconst b1 = (1 + ;');
    expect(errorOf('syntax')?.evalue).toMatch(/^line 2: Expression expected/);
  });

  it('after an await is one too', async () => {
    await lab.run('later', 'await new Promise((r) => setTimeout(r, 5));\nthrow new TypeError("late");');
    expect(errorOf('later')).toMatchObject({ ename: 'TypeError', evalue: 'late' });
    expect(JSON.stringify(errorOf('later'))).toMatch(/cell \[\d+\], line 2/);
  });

  it('may be anything that is thrown', async () => {
    await lab.run('odd', 'throw { code: 7 };');
    expect(errorOf('odd')).toMatchObject({ ename: 'thrown', evalue: '{ code: 7 }' });
  });

  it('of a timer or a forgotten promise is shown in the cell that it comes from', async () => {
    await lab.run('timed', 'setTimeout(() => { throw new Error("in a timer"); }, 40);');
    await lab.run('promised', 'void (async () => { await null; throw new Error("in a promise"); })();');
    await lab.run('bystander', 'console.log("here");');
    await lab.until(() => lab.errors('timed').length > 0, 'the error of the timer has come');
    expect(errorOf('timed')).toMatchObject({ evalue: 'in a timer' });
    expect(errorOf('promised')).toMatchObject({ evalue: 'in a promise' });
    expect(lab.shows('bystander')).toEqual(['here\n']);
  });
});

describe('an interrupt', () => {
  it('stops a loop that never pauses', async () => {
    const running = lab.run('loop', 'for (;;);');
    await new Promise((resume) => setTimeout(resume, 300));
    lab.kernel.signal('SIGINT');
    expect((await running).content).toMatchObject({ status: 'error', ename: 'interrupted' });
  });

  it('releases a cell that waits, and drops what it does after', async () => {
    const running = lab.run(
      'waits',
      'await new Promise((r) => setTimeout(r, 1000)); const never = 1; console.log("never");',
    );
    await new Promise((resume) => setTimeout(resume, 200));
    lab.kernel.signal('SIGINT');
    expect((await running).content).toMatchObject({ status: 'error', ename: 'interrupted' });
    expect((await lab.run('after', 'console.log("well");')).status).toBe('ok');
    await new Promise((resume) => setTimeout(resume, 900));
    expect(lab.shows('waits')).toEqual([expect.stringMatching(/^interrupted/)]);
  });
});

describe('progress', () => {
  it('is one line that is replaced, and gone when it is done', async () => {
    await lab.run(
      'long',
      `import { progress } from 'blankoff/notebook';
      for (let i = 0; i <= 100; i++) await progress(i, 100, 'fitting');
      console.log('done');`,
    );
    expect(lab.shows('long')).toEqual(['fitting: done', 'done\n']);
  });

  it('lets an interrupt through, since it pauses', async () => {
    await lab.run('busy', 'const spin = (ms: number) => { const t = Date.now() + ms; while (Date.now() < t); };');
    const running = lab.run(
      'steps',
      `for (let i = 0; i < 1000; i++) { spin(5); await progress(i, 1000, 'spinning'); }`,
    );
    await new Promise((resume) => setTimeout(resume, 400));
    lab.kernel.signal('SIGINT');
    expect((await running).content).toMatchObject({ status: 'error', ename: 'interrupted' });
  });
});

describe('other requests', () => {
  it('are answered as the protocol says', async () => {
    expect((await lab.ask('kernel_info_request', {})).content).toMatchObject({ status: 'ok', implementation: 'tslab' });
    expect((await lab.ask('comm_info_request', {})).content).toMatchObject({ status: 'ok', comms: {} });
    expect((await lab.ask('history_request', { hist_access_type: 'tail', n: 1 })).content).toMatchObject({
      history: [],
    });
  });

  it('that are silent leave no trace', async () => {
    const before = lab.messages.length;
    await lab.ask('execute_request', { code: 'const quiet = 1;', silent: true });
    const types = lab.messages.slice(before).map(({ type }) => type);
    expect(types.filter((type) => type !== 'status')).toEqual([]);
  });
});

describe('with the extension off', () => {
  it('the kernel is stock tslab, and the kit still works', async () => {
    const plain = await openNotebook({ BLANKOFF_PLAIN: '1' });
    await plain.run('kit', `import { show, reactive } from 'blankoff/notebook';`);
    await plain.run('a', 'const a = 1;');
    await plain.run('b', 'console.log(a, reactive());');
    await plain.run('a', 'const a = 2;');
    expect(plain.shows('b')).toEqual(['1 false\n']);
    await plain.stop();
  });
});

describe('a tslab that is not the one that is known', () => {
  it('is left alone, which is said in one line', async () => {
    const odd = await openNotebook();
    await odd.run(
      'spoil',
      `import Module from 'node:module';
      for (const [path, m] of Object.entries((Module as any)._cache)) if (/tslab.dist.jupyter\\.js$/.test(path)) (m as any).exports.JupyterHandlerImpl.prototype.handleKernel = 3;`,
    );
    await odd.run('kit', `import { reactive } from 'blankoff/notebook';`);
    expect(odd.shows('kit')).toEqual([
      'blankoff: plain mode, cells do not follow each other: this tslab is not one that is known (its request handler has other methods than expected)\n',
    ]);
    await odd.run('a', 'const a = 1; console.log(a, reactive());');
    expect(odd.shows('a')).toEqual(['1 false\n']);
    await odd.stop();
  });
});
