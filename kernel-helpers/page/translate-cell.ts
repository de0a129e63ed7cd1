import ts from '@tslab/typescript-for-tslab';
import { lineInSource } from '../kernel/align-lines';
import { applyEdits, type Edit } from '../kernel/mistranslations';
import { type CellReading, notebookModule, readCell } from '../kernel/read-cell';

/** A cell as a page runs it. */
export interface TranslatedCell {
  readonly reading: CellReading;
  /** Names of other cells that the function takes, in order, after the kit, the taker of the last expression and the console. */
  readonly takes: readonly string[];
  /** JavaScript of a function `async (kit, last, console, ...takes) => names it defines`. */
  readonly code: string;
  /** For each line of `code` the line of the cell that it comes from, or null. */
  readonly lines: readonly (number | null)[];
  /** Why no browser can run it, or null. */
  readonly lacks: string | null;
}

/** Where the page's cells get what the kit exports; any of these stands for the same door. */
const KIT_MODULES = [notebookModule, 'blankoff'];

/**
 * Translates a cell for a page: types are taken out, imports of the kit become names of the kit's browser side, names of
 * other cells become arguments, and what the cell defines is returned.
 * @param source text of the cell, TypeScript
 * @param tags its tags
 * @param others whether a name is defined by some cell
 * @param lacking names of the kit that its browser side cannot offer
 * @returns the translation; `lacks` says why it cannot run in a browser
 */
export function translateCell(
  source: string,
  tags: readonly string[],
  others: (name: string) => boolean,
  lacking: ReadonlySet<string>,
): TranslatedCell {
  const reading = readCell(source, tags);
  const file = ts.createSourceFile('cell.ts', `${source}\nexport {};`, ts.ScriptTarget.ES2022, true);
  const takes = reading.names.uses.filter(others);
  const edits: Edit[] = [];
  const defined: string[] = [];
  const foreign: string[] = [];
  const statements = file.statements.slice(0, -1);
  for (const statement of statements) {
    if (ts.isImportDeclaration(statement)) {
      const module = (statement.moduleSpecifier as ts.StringLiteral).text;
      if (!KIT_MODULES.includes(module)) foreign.push(module);
      edits.push({ start: statement.getStart(), end: statement.getEnd(), text: importedNames(statement) });
      defined.push(...importLocals(statement));
    } else {
      defined.push(...valueNames(statement));
      edits.push(...namedInputs(statement, reading));
    }
  }
  const last = statements[statements.length - 1];
  if (last && ts.isExpressionStatement(last)) {
    edits.push({ start: last.expression.getStart(), end: last.expression.getStart(), text: 'last(' });
    edits.push({ start: last.expression.getEnd(), end: last.expression.getEnd(), text: ')' });
  }
  const body = applyEdits(source, edits);
  const given = defined.filter((name) => !foreign.includes(name));
  const wrapped = `(async function (${['kit', 'last', 'console', ...takes].join(', ')}) { "use strict";${body}\n;return { ${given.join(', ')} };})`;
  const code = transpile(wrapped);
  const lines = code.split('\n').map((_, i) => lineInSource(source, code, i + 1, 1));
  const imports = statements.filter(ts.isImportDeclaration);
  // Importing a name does no harm; a cell that does more than import needs what it imports.
  const imported = imports.length < statements.length ? imports.flatMap(importLocals) : [];
  const wants = [...reading.names.uses, ...imported].filter((name) => lacking.has(name));
  const lacks =
    foreign.length > 0
      ? `it imports ${foreign.map((name) => `'${name}'`).join(', ')}`
      : wants.length > 0
        ? `it uses ${[...new Set(wants)].join(', ')}`
        : null;
  return { reading, takes, code, lines, lacks };
}

function transpile(text: string): string {
  const { outputText } = ts.transpileModule(text, {
    compilerOptions: { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext, removeComments: true },
  });
  return outputText.trim().replace(/;$/, '');
}

/** An import of the kit as names taken out of `kit`; on one line as long as the import was, so that lines stay. */
function importedNames(statement: ts.ImportDeclaration): string {
  const clause = statement.importClause;
  const blankLines = '\n'.repeat(statement.getText().split('\n').length - 1);
  if (!clause || clause.isTypeOnly) return blankLines;
  const { namedBindings } = clause;
  if (namedBindings && ts.isNamespaceImport(namedBindings))
    return `const ${namedBindings.name.text} = kit;${blankLines}`;
  const names = (namedBindings?.elements ?? [])
    .filter((element) => !element.isTypeOnly)
    .map((element) =>
      element.propertyName ? `${element.propertyName.text}: ${element.name.text}` : element.name.text,
    );
  return `const { ${names.join(', ')} } = kit;${blankLines}`;
}

function importLocals(statement: ts.ImportDeclaration): string[] {
  const clause = statement.importClause;
  if (!clause || clause.isTypeOnly) return [];
  const { namedBindings } = clause;
  if (namedBindings && ts.isNamespaceImport(namedBindings)) return [namedBindings.name.text];
  return (namedBindings?.elements ?? []).filter((element) => !element.isTypeOnly).map((element) => element.name.text);
}

/** The values that a statement defines at top level. */
function valueNames(statement: ts.Statement): string[] {
  if (ts.isVariableStatement(statement)) {
    return statement.declarationList.declarations.flatMap((declaration) => boundNames(declaration.name));
  }
  const named =
    ts.isFunctionDeclaration(statement) || ts.isClassDeclaration(statement) || ts.isEnumDeclaration(statement);
  return named && statement.name ? [statement.name.text] : [];
}

function boundNames(name: ts.BindingName): string[] {
  if (ts.isIdentifier(name)) return [name.text];
  return name.elements.flatMap((element) => (ts.isOmittedExpression(element) ? [] : boundNames(element.name)));
}

/** Tells each `input()` the name of its const, which is its key. */
function namedInputs(statement: ts.Statement, reading: CellReading): Edit[] {
  if (!ts.isVariableStatement(statement)) return [];
  return statement.declarationList.declarations.flatMap((declaration) => {
    const { name, initializer } = declaration;
    if (!ts.isIdentifier(name) || !initializer || !ts.isCallExpression(initializer)) return [];
    if (!reading.inputs.some((input) => input.name === name.text)) return [];
    const end = initializer.expression.getEnd();
    return [{ start: end, end, text: `.named(${JSON.stringify(name.text)})` }];
  });
}
