#!/usr/bin/env node
require('../../dist/kernel-helpers/command/main.js');
