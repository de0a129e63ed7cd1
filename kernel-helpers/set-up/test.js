/** `npm test`: installs what the tests need, builds, checks style and types, and runs every test. */
const { spawnSync } = require('node:child_process');
const { existsSync, mkdirSync, readFileSync, rmSync } = require('node:fs');
const { join } = require('node:path');
const steps = require('./steps');
const { installKernel, installPackages, installPythonPackages, installValidators, main } = steps;
const { Missing, root, run, say, works } = steps;

const chromiumNames = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];

/** A Chromium for the tests in a real browser: the one that is there, else Debian's. */
function findChromium() {
  if (process.env.BLANKOFF_CHROMIUM) return process.env.BLANKOFF_CHROMIUM;
  const paths = (process.env.PATH ?? '').split(process.platform === 'win32' ? ';' : ':');
  const found = paths.flatMap((path) => chromiumNames.map((name) => join(path, name))).find(existsSync);
  const others = ['/Applications/Google Chrome.app/Contents/MacOS/Google Chrome'];
  return found ?? others.find(existsSync);
}

function installChromium() {
  if (findChromium()) return;
  const remedy = 'install Chromium (Debian: apt-get install chromium) or give its path in BLANKOFF_CHROMIUM';
  if (process.getuid?.() !== 0 || !works('apt-get', ['--version'])) throw new Missing(`no Chromium found: ${remedy}`);
  say('installing Chromium …');
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  run('apt-get', ['update', '-qq'], { quiet: true, remedy, env });
  run('apt-get', ['install', '-y', '-qq', 'chromium', 'fonts-dejavu-core'], { quiet: true, remedy, env });
}

/** Runs a step of checking, whose failure counts but does not keep the others from running. */
function passes(what, script, args) {
  say(`${what} …`);
  const result = spawnSync(process.execPath, [join(root, 'node_modules', script), ...args], {
    cwd: root,
    stdio: 'inherit',
  });
  if (result.status !== 0) console.error(`blankoff: ${what} failed`);
  return result.status === 0;
}

/** The tests that compute go two at a time; those that watch a browser or a kernel come after them, alone. */
const groups = [
  ['side by side', 2],
  ['one by one', 1],
];

function runGroup([name, workers]) {
  const report = join(root, `out/test-report ${name}.json`);
  mkdirSync(join(root, 'out'), { recursive: true });
  rmSync(report, { force: true });
  const args = [
    'run',
    `--project=${name}`,
    '--minWorkers=1',
    `--maxWorkers=${workers}`,
    '--passWithNoTests',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
    ...process.argv.slice(2),
  ];
  const result = spawnSync(process.execPath, [join(root, 'node_modules/vitest/vitest.mjs'), ...args], {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, BLANKOFF_CHROMIUM: findChromium() ?? '' },
  });
  const counts = { passed: 0, failed: 1 };
  if (existsSync(report)) {
    const { numPassedTests, numFailedTests, numFailedTestSuites } = JSON.parse(readFileSync(report, 'utf8'));
    counts.passed = numPassedTests;
    // A file that could not even be read has no tests that failed, only a suite.
    counts.failed = Math.max(numFailedTests, numFailedTestSuites > 0 && numFailedTests === 0 ? numFailedTestSuites : 0);
    if (result.status !== 0 && counts.failed === 0) counts.failed = 1;
  }
  return counts;
}

function runTests() {
  const all = groups.map(runGroup);
  const sum = (key) => all.reduce((total, counts) => total + counts[key], 0);
  return { passed: sum('passed'), failed: sum('failed') };
}

main(() => {
  installPackages();
  installPythonPackages();
  installValidators();
  installKernel();
  installChromium();
  const checks = [
    passes('building', 'typescript/bin/tsc', ['-b', 'src', 'kernel-helpers']),
    passes('checking the types of live pages', 'typescript/bin/tsc', ['-p', 'kernel-helpers/page/browser']),
    passes('checking the types of the tests', 'typescript/bin/tsc', ['-p', 'tests']),
    passes('checking style', '@biomejs/biome/bin/biome', ['check', '.']),
  ];
  const { passed, failed } = runTests();
  const passedChecks = checks.filter(Boolean).length;
  const allFailed = failed + checks.length - passedChecks;
  console.log(`${passed + passedChecks} passed, ${allFailed} failed`);
  return allFailed === 0 ? 0 : 1;
});
