/** The steps that the set-up scripts share: each does its work once, is quick the next time, and fails in one line. */
const { spawnSync } = require('node:child_process');
const { createHash } = require('node:crypto');
const { existsSync, mkdirSync, readFileSync, writeFileSync } = require('node:fs');
const { basename, join, resolve } = require('node:path');

const root = resolve(__dirname, '../..');
const windows = process.platform === 'win32';
const venv = join(root, '.venv');
const validators = join(root, '.venv-validators');
const oldestNode = [20, 19];

/** Something that is missing on this machine, said in one line with its remedy. */
class Missing extends Error {}

const say = (text) => console.log(`blankoff: ${text}`);

/** What was called, short enough for a line. */
function called(program, args) {
  const words = args.filter((word) => !word.includes(root)).slice(0, 2);
  return [basename(program), ...words.filter((word, k) => k === 0 || !word.startsWith('--'))].join(' ');
}

/** Runs a program with its output shown; a failure is told in one line. */
function run(program, args, { what = called(program, args), remedy, quiet = false, ...options } = {}) {
  const result = spawnSync(program, args, {
    cwd: root,
    stdio: quiet ? ['ignore', 'pipe', 'pipe'] : 'inherit',
    encoding: 'utf8',
    ...options,
  });
  if (result.status === 0) return result.stdout ?? '';
  if (quiet) process.stderr.write(`${result.stdout ?? ''}${result.stderr ?? ''}`);
  const how = result.error ? result.error.message : `exit code ${result.status ?? result.signal}`;
  throw new Missing(`${what} failed (${how})${remedy ? `: ${remedy}` : ''}`);
}

/** Answers whether a program runs at all. */
function works(program, args) {
  return spawnSync(program, args, { stdio: 'ignore' }).status === 0;
}

function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  const enough = major > oldestNode[0] || (major === oldestNode[0] && minor >= oldestNode[1]);
  if (!enough || (major === 22 && minor < 12) || major === 21) {
    throw new Missing(`Node ${process.versions.node} is too old: install Node 20.19 or later (22.12 or later)`);
  }
}

/** Answers whether node_modules holds what the lock file says, by npm's own record of what it installed. */
function packagesAreInstalled() {
  const record = join(root, 'node_modules/.package-lock.json');
  if (!existsSync(record) || !existsSync(join(root, 'node_modules/@tensorflow/tfjs-node/index.js'))) return false;
  const wanted = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8')).packages;
  const installed = JSON.parse(readFileSync(record, 'utf8')).packages;
  return Object.entries(wanted).every(
    ([path, { version, link, optional }]) =>
      !path.startsWith('node_modules/') ||
      link ||
      installed[path]?.version === version ||
      (optional && installed[path] === undefined),
  );
}

function installPackages() {
  checkNode();
  if (packagesAreInstalled()) return;
  say('installing packages (npm ci) …');
  const args = ['ci', '--no-audit', '--no-fund', '--ignore-scripts', '--loglevel=error'];
  const remedy = 'check the connection to the package registry (npm ping), then run this again';
  // Started by npm, its own program is known; on Windows `npm` is a script that needs a shell.
  if (process.env.npm_execpath?.endsWith('.js')) run(process.execPath, [process.env.npm_execpath, ...args], { remedy });
  else run('npm', args, { remedy, shell: windows });
}

function build() {
  run(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-b', 'src', 'kernel-helpers'], {
    what: 'building',
    remedy: 'the lines above say where; on a fresh clone this is a defect, please report it',
  });
}

/** A program of the Python environment. */
const inVenv = (name, folder = venv) => join(folder, windows ? 'Scripts' : 'bin', windows ? `${name}.exe` : name);

function findPython() {
  const recent = ['-c', 'import sys; sys.exit(sys.version_info < (3, 11))'];
  const found = ['python3', 'python'].find((name) => works(name, recent));
  if (!found)
    throw new Missing('no Python 3.11 or later: install python3 (Debian: apt-get install python3 python3-venv)');
  return found;
}

/** Makes a Python environment with the pinned packages of a list, unless it is there and up to date. */
function installEnvironment(folder, list, what) {
  const requirements = join(__dirname, list);
  const stamp = join(folder, 'installed.txt');
  const wanted = createHash('sha256').update(readFileSync(requirements)).digest('hex');
  const python = inVenv('python', folder);
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted && works(python, ['-c', ''])) return;
  say(`installing ${what} into ${basename(folder)} …`);
  run(findPython(), ['-m', 'venv', '--clear', folder], {
    quiet: true,
    remedy: 'the venv module is missing (Debian: apt-get install python3-venv)',
  });
  run(python, ['-m', 'pip', 'install', '--quiet', '--disable-pip-version-check', '-r', requirements], {
    quiet: true,
    remedy: 'check the connection to the package index, then run this again',
  });
  writeFileSync(stamp, wanted);
}

const installPythonPackages = () => installEnvironment(venv, 'requirements.txt', 'JupyterLab');

/** Validators of packed investigations, which need other versions of packages than JupyterLab does. */
const installValidators = () => installEnvironment(validators, 'requirements-validators.txt', 'validators');

/** Tells the Jupyter of a Python environment of the kernel: this Node and this folder's tslab, by absolute paths. */
function installKernel(environment = venv) {
  const folder = join(environment, 'share/jupyter/kernels/tslab');
  mkdirSync(folder, { recursive: true });
  const spec = {
    argv: [
      process.execPath,
      join(root, 'kernel-helpers/kernel/start-tslab.js'),
      'kernel',
      '--config-path={connection_file}',
    ],
    display_name: 'TypeScript',
    language: 'typescript',
  };
  writeFileSync(join(folder, 'kernel.json'), `${JSON.stringify(spec, null, 1)}\n`);
}

/** JupyterLab's own defaults that would call out or ask a question at the first opening. */
function quietLab() {
  const folder = join(venv, 'share/jupyter/lab/settings');
  mkdirSync(folder, { recursive: true });
  const settings = {
    '@jupyterlab/apputils-extension:notification': { checkForUpdates: false, fetchNews: 'false' },
  };
  writeFileSync(join(folder, 'overrides.json'), `${JSON.stringify(settings, null, 1)}\n`);
}

/** Runs a script's steps; what is missing is told in one line, not as a trace. */
async function main(steps) {
  try {
    process.exitCode = (await steps()) ?? 0;
  } catch (error) {
    if (!(error instanceof Missing)) throw error;
    console.error(`blankoff: ${error.message}`);
    process.exitCode = 1;
  }
}

module.exports = {
  Missing,
  build,
  inVenv,
  installKernel,
  installPackages,
  installPythonPackages,
  installValidators,
  main,
  quietLab,
  root,
  run,
  say,
  validators,
  venv,
  works,
};
