import { describe, expect, it } from 'vitest';
import { type CellNames, Worksheet } from '../../src/worksheet';

/** What a reader would find: `'a b = c d'` defines a and b, uses c and d; `!` marks a cell that is run by hand. */
function names(text: string, assigns: readonly string[] = []): CellNames {
  const [left, right = ''] = text.replace('!', '').split('=');
  const words = (part: string): string[] => part.split(' ').filter(Boolean);
  const defines = words(left).map((word): [string, string | null] => {
    const [name, origin = null] = word.split(':');
    return [name, origin];
  });
  return { defines: new Map(defines), uses: words(right), assigns, byHand: text.includes('!') };
}

/** A worksheet whose cells have all been put and run, in this order: `{ A: 'a =', B: 'b = a' }`. */
function ran(cells: Record<string, string>): Worksheet {
  const sheet = new Worksheet();
  for (const [id, text] of Object.entries(cells)) {
    sheet.put(id, names(text));
    sheet.end(id, sheet.begin(id), true);
  }
  settle(sheet);
  return sheet;
}

/** Does all that is to be done; returns it as a list of `A`, or of `A: problem`. */
function settle(sheet: Worksheet, fails: readonly string[] = [], wanted?: string): string[] {
  const done: string[] = [];
  for (let step = sheet.next(wanted); step; step = sheet.next(wanted)) {
    const { cell, problem } = step;
    if (problem === undefined) sheet.end(cell, sheet.begin(cell), !fails.includes(cell));
    else sheet.said(cell, problem);
    done.push(problem === undefined ? cell : `${cell}: ${problem}`);
    if (problem !== undefined && cell === wanted) break;
  }
  return done;
}

/** A person edits a cell and runs it. */
function run(sheet: Worksheet, id: string, text: string, fails: readonly string[] = []): string[] {
  sheet.put(id, names(text));
  return [...settle(sheet, fails, id), ...settle(sheet, fails)];
}

describe('running a cell', () => {
  it('runs the cells that use its names, wherever they stand', () => {
    const sheet = ran({ Chart: '= rate', Rate: 'rate = volume', Volume: 'volume =', Other: 'x =' });
    expect(run(sheet, 'Volume', 'volume =')).toEqual(['Volume', 'Rate', 'Chart']);
  });

  it('runs each dependent once, after everything that it depends on', () => {
    const sheet = ran({ A: 'a =', D: '= b c', B: 'b = a', C: 'c = b a' });
    expect(run(sheet, 'A', 'a =')).toEqual(['A', 'B', 'C', 'D']);
  });

  it('leaves alone what uses none of its names', () => {
    const sheet = ran({ A: 'a =', B: 'b =', C: '= b' });
    expect(run(sheet, 'A', 'a =')).toEqual(['A']);
  });

  it('first runs what it depends on, where that is stale', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: 'c = b' });
    sheet.put('A', names('a ='));
    sheet.put('C', names('c = b'));
    expect(settle(sheet, [], 'C')).toEqual(['A', 'B', 'C']);
  });

  it('follows only the names that changed, where the caller knows them', () => {
    const sheet = ran({ A: 'a b =', B: '= a', C: '= b' });
    sheet.put('A', names('a b ='));
    sheet.end('A', sheet.begin('A'), true, ['b']);
    expect(settle(sheet)).toEqual(['C']);
  });

  it('follows a new dependence as soon as a cell is edited', () => {
    const sheet = ran({ A: 'a =', B: 'b =' });
    run(sheet, 'B', 'b = a');
    expect(run(sheet, 'A', 'a =')).toEqual(['A', 'B']);
    run(sheet, 'B', 'b =');
    expect(run(sheet, 'A', 'a =')).toEqual(['A']);
  });

  it('goes through a chain of 200 and a fan of 200 once each', () => {
    const chain: Record<string, string> = { c0: 'n0 =' };
    for (let i = 1; i < 200; i++) chain[`c${i}`] = `n${i} = n${i - 1}`;
    expect(run(ran(chain), 'c0', 'n0 =')).toEqual(Object.keys(chain));
    const fan: Record<string, string> = { hub: 'h =' };
    for (let i = 1; i < 200; i++) fan[`f${i}`] = `= h`;
    expect(run(ran(fan), 'hub', 'h =')).toEqual(Object.keys(fan));
  });
});

describe('an input that is moved', () => {
  it('runs what uses its name, and not its own cell', () => {
    const sheet = ran({ In: 'volume =', Rate: 'rate = volume', Chart: '= rate' });
    sheet.touch(['volume']);
    expect(settle(sheet)).toEqual(['Rate', 'Chart']);
  });
});

describe('a file that grows', () => {
  it('runs the cell that reads it and what depends on that', () => {
    const sheet = ran({ Log: 'log =', Chart: '= log' });
    sheet.invalidate('Log');
    expect(settle(sheet)).toEqual(['Log', 'Chart']);
  });
});

describe('a name', () => {
  it('belongs to one cell: defined in two, it is an error in both, and their users wait', () => {
    const sheet = ran({ A: 'a =', B: '= a' });
    expect(run(sheet, 'C', 'a =')).toEqual([
      'C: a is defined here and in A: keep one, or rename it',
      'A: a is defined here and in C: keep one, or rename it',
      'B: waits for a: A cannot be run',
    ]);
  });

  it('defined in two cells is mended by renaming one: both run, and their users', () => {
    const sheet = ran({ A: 'a =', B: '= a' });
    run(sheet, 'C', 'a =');
    expect(run(sheet, 'C', 'c =')).toEqual(['C', 'A', 'B']);
  });

  it('defined in two cells is mended by deleting one', () => {
    const sheet = ran({ A: 'a =', B: '= a' });
    run(sheet, 'C', 'a =');
    sheet.remove('A');
    expect(settle(sheet)).toEqual(['C', 'B']);
  });

  it('may be imported in two cells from the same place, not from two places', () => {
    const sheet = ran({ A: 'read:fs#read =', B: 'read:fs#read =', C: '= read' });
    expect([sheet.state('B'), sheet.state('C')]).toEqual(['fresh', 'fresh']);
    expect(run(sheet, 'B', 'read:other#read =')[0]).toContain('read is defined here and in A');
  });

  it('whose cell was deleted is an error in the cells that use it', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    sheet.remove('A');
    expect(settle(sheet)).toEqual(['B: a is gone: its cell (A) was deleted', 'C: waits for b: B cannot be run']);
  });

  it('that its cell does not define any more is an error too', () => {
    const sheet = ran({ A: 'a =', B: '= a' });
    expect(run(sheet, 'A', 'other =')).toEqual(['A', 'B: a is gone: A does not define it any more']);
  });

  it('that comes back, in any cell, mends them', () => {
    const sheet = ran({ A: 'a =', B: '= a' });
    sheet.remove('A');
    settle(sheet);
    expect(run(sheet, 'New', 'a =')).toEqual(['New', 'B']);
  });

  it('of another cell must not be assigned: the cell that does is told whose it is', () => {
    const sheet = ran({ A: 'a =' });
    sheet.put('B', names('= a', ['a']));
    expect(settle(sheet)).toEqual(['B: a is assigned here and belongs to A: assign it only there']);
  });

  it('of no cell is a global one', () => {
    expect(run(ran({}), 'A', '= console Math')).toEqual(['A']);
  });
});

describe('a circle', () => {
  it('is an error in each of its cells, with the names; what uses them waits', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    const said = run(sheet, 'A', 'a = b');
    expect(said).toEqual([
      'A: these cells need each other, in a circle: this cell needs b, B needs a',
      'B: these cells need each other, in a circle: this cell needs a, A needs b',
      'C: waits for b: B cannot be run',
    ]);
  });

  it('is mended by breaking it anywhere', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    run(sheet, 'A', 'a = b');
    expect(run(sheet, 'B', 'b =')).toEqual(['B', 'A', 'C']);
  });
});

describe('a cell that fails', () => {
  it('makes its dependents say what they wait for, without running', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    expect(run(sheet, 'A', 'a =', ['A'])).toEqual(['A', 'B: waits for a: A failed', 'C: waits for b: B waits itself']);
  });

  it('says so once, however often it fails', () => {
    const sheet = ran({ A: 'a =', B: 'b = a' });
    run(sheet, 'A', 'a =', ['A']);
    expect(run(sheet, 'A', 'a =', ['A'])).toEqual(['A']);
  });

  it('is told again to a person who runs a dependent', () => {
    const sheet = ran({ A: 'a =', B: 'b = a' });
    run(sheet, 'A', 'a =', ['A']);
    expect(run(sheet, 'B', 'b = a')).toEqual(['B: waits for a: A failed']);
  });

  it('when mended, brings back everything that waited', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    run(sheet, 'A', 'a =', ['A']);
    expect(run(sheet, 'A', 'a =')).toEqual(['A', 'B', 'C']);
  });

  it('for want of a name runs again when a cell defines it', () => {
    const sheet = ran({});
    run(sheet, 'B', '= a', ['B']);
    expect(run(sheet, 'A', 'a =')).toEqual(['A', 'B']);
  });
});

describe('a run that is overtaken', () => {
  it('is not accepted, and the cell runs again', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    const old = sheet.begin('B');
    sheet.touch(['a']);
    expect(sheet.isCurrent('B', old)).toBe(false);
    expect(sheet.end('B', old, true)).toBe(false);
    expect(settle(sheet)).toEqual(['B', 'C']);
  });

  it('goes on where what changed does not concern it', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', X: 'x =', Y: '= x' });
    const run = sheet.begin('B');
    sheet.touch(['x']);
    expect(sheet.end('B', run, true)).toBe(true);
  });
});

describe('a cell that is run by hand', () => {
  it('is not run by others; it is stale, and what uses it keeps its value', () => {
    const sheet = ran({ A: 'a =', B: '! b = a', C: '= b' });
    expect(run(sheet, 'A', 'a =')).toEqual(['A']);
    expect(sheet.staleByHand()).toEqual(['B']);
    expect(sheet.state('C')).toBe('fresh');
  });

  it('is run by a person, and then others follow it', () => {
    const sheet = ran({ A: 'a =', B: '! b = a', C: '= b' });
    run(sheet, 'A', 'a =');
    expect(run(sheet, 'B', '! b = a')).toEqual(['B', 'C']);
    expect(sheet.staleByHand()).toEqual([]);
  });

  it('is still told of a rule that it breaks', () => {
    const sheet = ran({ A: '! a =' });
    expect(run(sheet, 'B', 'a =')).toHaveLength(2);
  });
});

describe('finding one’s way', () => {
  it('tells who defines a name and who uses it', () => {
    const sheet = ran({ A: 'a =', B: 'b = a', C: '= b' });
    expect([sheet.definer('a'), sheet.definer('b'), sheet.definer('x')]).toEqual(['A', 'B', undefined]);
    expect(sheet.usersOf(['a', 'b'])).toEqual(['B', 'C']);
    expect([sheet.dependsOn('C', 'A'), sheet.dependsOn('A', 'C')]).toEqual([true, false]);
  });

  it('refuses a cell that it does not know', () => {
    expect(() => ran({ A: 'a =' }).state('Z')).toThrow('worksheet: met "Z", expected one of its 1 cells');
  });
});
