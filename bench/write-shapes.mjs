// @ts-check
/**
 * Writes the shape builders of the tests as JavaScript, beside the installed packages, where their own imports still resolve;
 * prints the folder. Run by the harness.
 */
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const from = join(root, 'test', 'helpers');
const to = join(root, 'node_modules', '.cache', 'oddside-shapes');
mkdirSync(to, { recursive: true });
writeFileSync(join(to, 'package.json'), '{ "type": "module" }\n');
for (const file of readdirSync(from).filter((name) => name.endsWith('.ts') && !name.endsWith('.test.ts'))) {
  const compilerOptions = {
    target: ts.ScriptTarget.ES2022,
    module: ts.ModuleKind.ESNext,
    verbatimModuleSyntax: true,
  };
  const { outputText } = ts.transpileModule(readFileSync(join(from, file), 'utf8'), { compilerOptions });
  writeFileSync(join(to, file.replace(/\.ts$/, '.js')), outputText);
}
process.stdout.write(to);
