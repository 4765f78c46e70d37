#!/usr/bin/env node
import { runCommand } from '../dist/command/run-command.js';

process.exitCode = await runCommand(process.argv.slice(2));
