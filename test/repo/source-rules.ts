/** What a source file of a library package may not contain. Each rule takes one file and gives a line for each breach. */
import ts from 'typescript';
import { importsOf, packageOf, parse, type Source } from './sources.js';

export const LONGEST_FILE = 400;

const at = ({ file, tree }: Source, node: ts.Node): string =>
  `${file}:${tree.getLineAndCharacterOfPosition(node.getStart()).line + 1}`;

const isExported = (node: ts.Statement): boolean =>
  ts.canHaveModifiers(node) &&
  (ts.getModifiers(node)?.some((modifier) => modifier.kind === ts.SyntaxKind.ExportKeyword) ?? false);

/** `src/index.ts` holds nothing but `export … from`. */
export function notReExports(source: Source): string[] {
  return source.tree.statements
    .filter((node) => {
      const empty = ts.isExportDeclaration(node) && node.exportClause && ts.isNamedExports(node.exportClause);
      const nothing = empty && (node.exportClause as ts.NamedExports).elements.length === 0;
      return !(ts.isExportDeclaration(node) && (node.moduleSpecifier || nothing));
    })
    .map((node) => `${at(source, node)} an index only re-exports: ${node.getText().slice(0, 60)}`);
}

export function defaultExports(source: Source): string[] {
  return source.tree.statements
    .filter(
      (node) =>
        ts.isExportAssignment(node) ||
        (ts.canHaveModifiers(node) &&
          ts.getModifiers(node)?.some((modifier) => modifier.kind === ts.SyntaxKind.DefaultKeyword)) ||
        (ts.isExportDeclaration(node) &&
          node.exportClause &&
          ts.isNamedExports(node.exportClause) &&
          node.exportClause.elements.some((element) => element.name.text === 'default')),
    )
    .map((node) => `${at(source, node)} has a default export`);
}

/** A library says nothing by itself and never ends the process. */
export function consoleAndExit(source: Source): string[] {
  const wrong: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAccessExpression(node) && ts.isIdentifier(node.expression)) {
      const name = `${node.expression.text}.${node.name.text}`;
      if (/^console\.|^process\.(exit|exitCode|abort|stdout|stderr)$/.test(name))
        wrong.push(`${at(source, node)} uses ${name}`);
    }
    ts.forEachChild(node, visit);
  };
  visit(source.tree);
  return wrong;
}

/** Module state that could change: `let`, `var`, and constants that hold something anyone can write into. */
export function mutableState(source: Source): string[] {
  const wrong: string[] = [];
  for (const node of source.tree.statements) {
    if (!ts.isVariableStatement(node)) continue;
    const list = node.declarationList;
    if (!(list.flags & ts.NodeFlags.Const)) wrong.push(`${at(source, node)} has a top-level let or var`);
    for (const declared of list.declarations) {
      const type = declared.type?.getText() ?? '';
      if (/^(Readonly|readonly |ReadonlyMap|ReadonlySet|ArrayLike)/.test(type) || !declared.initializer) continue;
      const kind = writable(declared.initializer);
      // What is not exported and not made by `new` cannot be reached, let alone changed, from elsewhere by accident.
      if (kind === 'new' || (kind === 'literal' && isExported(node))) {
        wrong.push(`${at(source, node)} "${declared.name.getText()}" can be changed: freeze it or type it Readonly`);
      }
    }
  }
  return wrong;
}

function writable(value: ts.Expression): 'new' | 'literal' | 'no' {
  if (ts.isAsExpression(value)) return value.type.getText() === 'const' ? 'no' : writable(value.expression);
  if (ts.isParenthesizedExpression(value) || ts.isSatisfiesExpression(value)) return writable(value.expression);
  if (ts.isObjectLiteralExpression(value) || ts.isArrayLiteralExpression(value)) return 'literal';
  if (ts.isNewExpression(value))
    return /^(TextEncoder|TextDecoder|RegExp)$/.test(value.expression.getText()) ? 'no' : 'new';
  return 'no';
}

export function tooLong({ file, text }: Source): string[] {
  const lines = text.replace(/\n$/, '').split('\n').length;
  return lines > LONGEST_FILE ? [`${file} has ${lines} lines; split it at ${LONGEST_FILE}`] : [];
}

/** Work left undone, and checks switched off. */
export function leftOvers({ file, text }: Source): string[] {
  return text
    .split('\n')
    .flatMap((line, i) =>
      /\b(TODO|FIXME|XXX)\b|@ts-(ignore|nocheck|expect-error)|\bnot implemented\b/i.test(line)
        ? [`${file}:${i + 1} ${line.trim().slice(0, 80)}`]
        : [],
    );
}

/** The declaration file that is made from this source alone: what a user's compiler sees of it. */
export function declarationOf({ file, text }: Source): Source {
  const made = ts.transpileDeclaration(text, {
    fileName: file,
    compilerOptions: { isolatedDeclarations: true, declaration: true, target: ts.ScriptTarget.ES2022 },
  });
  return parse(file, made.outputText);
}

/** Engines named in the types a file shows to the outside. */
export function engineTypes(source: Source): string[] {
  return importsOf(declarationOf(source))
    .map(({ from }) => packageOf(from))
    .filter((name) => ['three', 'three-mesh-bvh', 'manifold-3d'].includes(name))
    .map((name) => `${source.file} shows types of ${name}`);
}

/**
 * Words for quantities with a dimension other than length; a numeric field that ends in one, as a word of its own, must go
 * on with its unit.
 */
const WORDS =
  'mass volume area temperature time duration force pressure density speed velocity energy heat inertia angle'.split(
    ' ',
  );
const BARE = new RegExp(
  `^(${WORDS.join('|')})$|[a-z0-9](${WORDS.map((word) => word[0].toUpperCase() + word.slice(1)).join('|')})$`,
);

/** A name that ends in a unit, such as `partsKjKg`; what lies inside is in that unit too. */
const HAS_UNIT = /[a-z](Mm[2-5]?|Kg|KgM3|C|K|S|N|Kn|Kj|KjKg|Kw|Pa|Kpa|Deg|MmS|M[Ss]?|J|W)$/;

/** Ratios by definition, whatever their name: the standard atomic mass is relative to a twelfth of carbon-12. */
const RATIOS: ReadonlySet<string> = new Set(['atomicMass']);

/**
 * Numeric fields of exported interfaces and object types whose name lacks its unit. Interfaces of weights and shares
 * hold ratios under the names of what they weigh.
 */
export function bareDimensions(source: Source, isPublic: (name: string) => boolean = () => true): string[] {
  const wrong: string[] = [];
  const fields = (node: ts.Node): void => {
    if (ts.isPropertySignature(node) && node.type) {
      if (HAS_UNIT.test(node.name.getText())) return;
      const name = node.name.getText();
      if (
        BARE.test(name) &&
        !RATIOS.has(name) &&
        /\b(number|Ranged|Float(32|64)Array)\b/.test(node.type.getText()) &&
        !/[{(]/.test(node.type.getText())
      ) {
        wrong.push(`${at(source, node)} "${name}" does not say its unit`);
      }
    }
    ts.forEachChild(node, fields);
  };
  for (const node of source.tree.statements) {
    if ((ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) && isExported(node)) {
      if (isPublic(node.name.text) && !/(Weights|Shares)$/.test(node.name.text)) fields(node);
    }
  }
  return wrong;
}
