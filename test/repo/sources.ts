/** The packages' sources as syntax trees, for the tests that hold the rules of the repository. */
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

export const root: string = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

/** One source file, parsed. `file` is relative to the root with forward slashes. */
export interface Source {
  readonly file: string;
  readonly text: string;
  readonly tree: ts.SourceFile;
}

/** What a package's manifest says, as far as the tests look. */
export interface Manifest {
  readonly name: string;
  readonly version: string;
  readonly [key: string]: unknown;
}

export interface PackageSources {
  /** The folder's name under `packages/`. */
  readonly folder: string;
  readonly manifest: Manifest;
  readonly sources: readonly Source[];
}

export function parse(file: string, text: string): Source {
  return { file, text, tree: ts.createSourceFile(file, text, ts.ScriptTarget.ESNext, true) };
}

/** Every file under a folder, relative to the root, without what is installed, built or made by a run. */
export function filesUnder(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (['node_modules', 'dist', '.git', 'coverage', 'api-docs', 'out'].includes(entry.name)) return [];
    return entry.isDirectory() ? filesUnder(path) : [relative('.', path).split(sep).join('/')];
  });
}

export function readJson(file: string): Manifest {
  return JSON.parse(readFileSync(join(root, file), 'utf8')) as Manifest;
}

/** All packages with their sources. */
export function readPackages(): PackageSources[] {
  return readdirSync(join(root, 'packages'))
    .filter((folder) => existsSync(join(root, 'packages', folder, 'package.json')))
    .map((folder) => ({
      folder,
      manifest: readJson(`packages/${folder}/package.json`),
      sources: filesUnder(`packages/${folder}/src`)
        .filter((file) => file.endsWith('.ts'))
        .map((file) => parse(file, readFileSync(join(root, file), 'utf8'))),
    }));
}

/** One `import … from` or `export … from`. `typeOnly`: nothing of it is left at run time. */
export interface Import {
  readonly from: string;
  readonly typeOnly: boolean;
  readonly line: number;
}

/** Every import of a file: statements, re-exports and dynamic imports; `import('x')` in a type counts as type-only. */
export function importsOf({ tree }: Source): Import[] {
  const found: Import[] = [];
  const keep = (at: ts.Node, from: string, typeOnly: boolean): void => {
    found.push({ from, typeOnly, line: tree.getLineAndCharacterOfPosition(at.getStart()).line + 1 });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
      const clause = node.importClause;
      const named = clause?.namedBindings;
      const onlyTypes =
        clause !== undefined &&
        (clause.isTypeOnly ||
          (clause.name === undefined &&
            named !== undefined &&
            ts.isNamedImports(named) &&
            named.elements.length > 0 &&
            named.elements.every((element) => element.isTypeOnly)));
      keep(node, node.moduleSpecifier.text, onlyTypes);
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier && ts.isStringLiteral(node.moduleSpecifier)) {
      keep(node, node.moduleSpecifier.text, node.isTypeOnly);
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const [target] = node.arguments;
      if (target && ts.isStringLiteralLike(target)) keep(node, target.text, false);
    } else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) {
      if (ts.isStringLiteral(node.argument.literal)) keep(node, node.argument.literal.text, true);
    }
    ts.forEachChild(node, visit);
  };
  visit(tree);
  return found;
}

/** The package a bare specifier belongs to: `@oddside/core/x` → `@oddside/core`, `three/src/y` → `three`. */
export function packageOf(specifier: string): string {
  return specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');
}

/** The source file a relative import of a file means. */
export function resolveRelative(file: string, specifier: string): string {
  return join(dirname(file), specifier).split(sep).join('/').replace(/\.js$/, '.ts');
}
