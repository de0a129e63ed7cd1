#!/usr/bin/env node
const { existsSync } = require('node:fs');
const { join } = require('node:path');

const main = join(__dirname, '../../dist/kernel-helpers/command/main.js');
if (existsSync(main)) require(main);
else {
  // A fresh clone: nothing is compiled yet.
  process.stderr.write('blankoff: not built yet: run npm start first, in the folder of blankoff\n');
  process.exitCode = 1;
}
