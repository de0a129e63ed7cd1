import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const tracked = execFileSync('git', ['ls-files', '-z'], { cwd: root, encoding: 'utf8' })
  .split('\0')
  .filter((path) => path !== '' && existsSync(join(root, path)));

describe('the top level', () => {
  it('holds only what belongs there', () => {
    const allowed = [
      '.binder',
      '.ci',
      '.gitattributes',
      '.gitignore',
      '.npmrc',
      'CITATION.cff',
      'DEVELOPERS.md',
      'LICENSE',
      'README.md',
      'biome.json',
      'datasets',
      'docs',
      'kernel-helpers',
      'notebooks',
      'package-lock.json',
      'package.json',
      'src',
      'tests',
      'tsconfig.json',
      'vitest.config.mts',
    ];
    const there = [...new Set(tracked.map((path) => path.split('/')[0]))];
    expect(there.filter((name) => !allowed.includes(name))).toEqual([]);
  });
});

/** Files that are text and ours; what was measured or published elsewhere stays as it came. */
const texts = tracked
  .filter((path) => !/\.(?:png|ttf|xlsx?|gz|zip|ico)$/.test(path))
  .filter((path) => !/^tests\/(?:logs\/files|published\/data)\//.test(path))
  .map((path) => [path, readFileSync(join(root, path), 'utf8')] as const);

function mentions(pattern: RegExp): string[] {
  return texts.flatMap(([path, text]) => {
    const lines = text
      .split('\n')
      .flatMap((line, k) => (pattern.test(line) ? [`${path}:${k + 1}: ${line.trim().slice(0, 90)}`] : []));
    return path === 'tests/rules/house.test.ts' ? [] : lines;
  });
}

describe('no tracked file', () => {
  it('knows a path of some machine', () => {
    expect(texts.length).toBeGreaterThan(50);
    expect(mentions(/(?:^|[\s"'`(=:])\/(?:work|root|home|Users)\/\w|[A-Z]:\\Users\\|\/tmp\/\w/)).toEqual([]);
  });

  it('knows a package registry by its address', () => {
    expect(mentions(/registry\.(?:npmjs|yarnpkg|npm)\b|pypi\.org\/simple|pythonhosted\.org|deb\.debian\.org/)).toEqual(
      [],
    );
  });

  it('is cut short by a merge', () => {
    expect(mentions(/^(?:<{7}|>{7}) /)).toEqual([]);
  });
});
