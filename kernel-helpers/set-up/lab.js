/** `npm run lab`: JupyterLab, pinned, in `.venv`, with the kernel; opened on the notebooks. What follows goes to it. */
const { spawn } = require('node:child_process');
const {
  build,
  inVenv,
  installKernel,
  installPackages,
  installPythonPackages,
  main,
  quietLab,
  root,
  say,
  venv,
} = require('./steps');

const usage = 'usage: npm run lab -- [--set-up-only] [--no-open] [--port NUMBER] [options of jupyter lab]';

main(() => {
  const options = process.argv.slice(2);
  if (options.includes('--help')) {
    console.log(usage);
    return 0;
  }
  installPackages();
  build();
  installPythonPackages();
  installKernel();
  quietLab();
  if (options.includes('--set-up-only')) return 0;
  say('opening JupyterLab; stop it with Ctrl-C');
  // As root, which containers are, Jupyter asks for a word that this is meant.
  const asRoot = process.getuid?.() === 0 ? ['--allow-root'] : [];
  const passed = options.map((option) => (option === '--no-open' ? '--no-browser' : option));
  const opened = [`--ServerApp.root_dir=${root}`, '--LabApp.default_url=/lab/tree/notebooks/failed-pump-down.ipynb'];
  const lab = spawn(inVenv('jupyter-lab'), [...asRoot, ...opened, ...passed], {
    cwd: root,
    stdio: 'inherit',
    // Only the kernel of this folder is offered, whatever else is installed for this user.
    env: { ...process.env, JUPYTER_PATH: `${venv}/share/jupyter`, JUPYTER_NO_CONFIG: '1' },
  });
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => lab.kill(signal));
  return new Promise((done) => lab.on('close', (code) => done(code ?? 0)));
});
