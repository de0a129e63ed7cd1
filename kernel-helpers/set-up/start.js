/** `npm start`: from a bare clone to a finding, the executed notebook and its page in `out/`; needs Node alone. */
const { join } = require('node:path');
const { build, installPackages, main, root, run, say } = require('./steps');

const name = 'failed-pump-down';
const notebook = join('notebooks', `${name}.ipynb`);
const executed = join('out', `${name}.ipynb`);
const page = join('out', `${name}.html`);

main(() => {
  installPackages();
  build();
  say(`running ${notebook} …`);
  const command = join(root, 'kernel-helpers/command/blankoff.js');
  run(process.execPath, [command, 'run', notebook, '-o', executed, '--html', page], {
    what: `running ${notebook}`,
    remedy: `what it did so far is in ${page}`,
  });
  say(`read it in ${page}; the executed notebook is ${executed}`);
  say('to work in it, run: npm run lab (sets up JupyterLab in .venv and opens it)');
});
