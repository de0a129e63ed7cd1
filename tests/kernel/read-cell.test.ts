import { describe, expect, it } from 'vitest';
import { applyEdits } from '../../kernel-helpers/kernel/mistranslations';
import { readCell } from '../../kernel-helpers/kernel/read-cell';

const uses = (source: string): string[] => [...readCell(source).names.uses].sort();
const defines = (source: string): string[] => [...readCell(source).names.defines.keys()].sort();
const rewritten = (source: string): string => applyEdits(source, readCell(source).edits);

describe('what a cell defines', () => {
  it('is each variable, function, class, enum, type and import at top level', () => {
    const source = `import fs, { readFileSync as read } from 'node:fs';
      const a = 1, b = 2; let c; var d; function e() {} class F {} enum G { x } type H = number; interface I {}`;
    expect(defines(source)).toEqual(['F', 'G', 'H', 'I', 'a', 'b', 'c', 'd', 'e', 'fs', 'read']);
  });

  it('is each name of a destructuring, with its new name where it is renamed', () => {
    expect(defines('const { a, b: { c: [d, ...e] }, ...f } = r;')).toEqual(['a', 'd', 'e', 'f']);
  });

  it('is nothing that stands in a block or a function, but a var in a block', () => {
    expect(defines('{ const a = 1; } if (x) { var b = 2; } function f() { var c = 3; }')).toEqual(['b', 'f']);
  });

  it('tells an import by what it imports, whatever it is called', () => {
    const { defines: names } = readCell(`import a, { b as c } from 'm'; import * as d from 'n'; const e = 1;`).names;
    expect([...names]).toEqual([
      ['a', 'm#default'],
      ['c', 'm#b'],
      ['d', 'n#*'],
      ['e', null],
    ]);
  });
});

describe('what a cell uses', () => {
  it('is each name that it does not define, in any depth', () => {
    expect(uses('const f = (x: number) => { return () => x * volume; };')).toEqual(['volume']);
  });

  it('is not a name shadowed by a parameter, a local, a catch or a loop', () => {
    expect(uses('function f(a) { let b; try {} catch (c) { c; } for (const d of a) d; return b; }')).toEqual([]);
    expect(uses('{ const volume = 1; volume; } volume;')).toEqual(['volume']);
  });

  it('is not the name of a member, a label or a property', () => {
    expect(
      uses(
        'o.volume; ({ volume: 1 }); class A { volume = 1; m() { return this.volume; } } volume: for (;;) break volume;',
      ),
    ).toEqual(['o']);
  });

  it('is a shorthand property, a default value, a computed key and a template', () => {
    // biome-ignore lint/suspicious/noTemplateCurlyInString: the cell holds a template
    expect(uses('({ Q }); function f({ x = d } = e) {} ({ [k]: 1 }); `${t}`;')).toEqual(['Q', 'd', 'e', 'k', 't']);
  });

  it('is a type and the type of a value', () => {
    expect(uses('const a: Row = null; type B = typeof volume; function f<T extends Base>(x: T) {}')).toEqual([
      'Base',
      'Row',
      'volume',
    ]);
  });

  it('is not `const` of `as const`', () => {
    expect(uses('const a = [1] as const;')).toEqual([]);
  });

  it('tells which names of others it assigns to', () => {
    const { assigns } = readCell('a = 1; b++; --c; [d] = [1]; ({ e } = f); let g = 1; g = 2; for (h of []) {}').names;
    expect([...assigns].sort()).toEqual(['a', 'b', 'c', 'd', 'e', 'h']);
  });

  it('is read from a cell that does not parse as far as it goes', () => {
    expect(uses('const a = volume +')).toEqual(['volume']);
  });
});

describe('inputs of a cell', () => {
  const names = (source: string): string[] => readCell(source).inputs.map(({ name }) => name);

  it('are the top-level consts that input() initialises, in their order', () => {
    expect(names(`const a = input(1), b = input('x'); const c = 3; const d = input(true);`)).toEqual(['a', 'b', 'd']);
  });

  it('go by the name under which input was imported', () => {
    expect(names(`import { input as ask } from 'blankoff/notebook'; const a = ask(1);`)).toEqual(['a']);
  });

  it('are none where input is a function of the cell itself', () => {
    const reading = readCell('function input(x) { return x; } const a = input(1); [1].map(input);');
    expect([reading.inputs, reading.misplacedInput]).toEqual([[], null]);
  });

  it.each([
    'const a = input(1) + 1;',
    'let a = input(1);',
    'const a = [input(1)];',
    'const f = () => { const a = input(1); };',
    'const { a } = input(1);',
    '[1].map(input);',
    '{ const a = input(1); }',
  ])('are misplaced anywhere else: %s', (source) => {
    expect(readCell(`\n${source}`).misplacedInput).toBe(2);
  });

  it('tell whether their own cell uses them again', () => {
    expect(readCell('const a = input(1); const b = input(2); const c = () => a;').inputs).toEqual([
      { name: 'a', usedInCell: true },
      { name: 'b', usedInCell: false },
    ]);
  });
});

describe('a cell that is run by hand', () => {
  it('says so in a comment on top, or by its tag', () => {
    expect(readCell('// by hand\nslow();').names.byHand).toBe(true);
    expect(readCell('slow();', ['by-hand']).names.byHand).toBe(true);
    expect(readCell('slow(); // by hand').names.byHand).toBe(false);
  });
});

describe('what stock tslab mistranslates', () => {
  it('is a shorthand property of another cell, written out', () => {
    expect(rewritten('const own = 1; f({ Q, own });')).toBe('const own = 1; f({ Q: Q, own });');
  });

  it('is a renaming destructuring, written with a computed name', () => {
    expect(rewritten('const { a: b, c: { d: e } } = r;')).toBe('const { ["a"]: b, ["c"]: { ["d"]: e } } = r;');
    expect(rewritten('let b; ({ a: b } = r);')).toBe('let b; ({ ["a"]: b } = r);');
    expect(rewritten('const x = { a: b };')).toBe('const x = { a: b };');
  });

  it('is an await before a bracket, but not inside a function', () => {
    expect(rewritten('const x = await (f)(1);')).toBe('const x = await Promise.resolve((f)(1));');
    expect(rewritten('async function g() { await (f)(1); }')).toBe('async function g() { await (f)(1); }');
  });
});
