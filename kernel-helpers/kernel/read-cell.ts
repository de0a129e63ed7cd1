import ts from '@tslab/typescript-for-tslab';
import type { CellNames } from '../../src/worksheet';
import { type Edit, stockMistranslations } from './mistranslations';

/** Where an input stands in a cell: `const volume = input(…)`. */
export interface CellInput {
  readonly name: string;
  /** Whether the same cell uses the name again, so that a move of the control has to run this cell too. */
  readonly usedInCell: boolean;
}

/** All that is known of a cell before it runs. */
export interface CellReading {
  readonly names: CellNames;
  /** Its inputs, in the order in which they stand. */
  readonly inputs: readonly CellInput[];
  /** The line, from 1, of an `input()` that is not the whole initialiser of a top-level `const`, or null. */
  readonly misplacedInput: number | null;
  /** Changes that make stock tslab translate the cell as TypeScript means it; they keep lines. */
  readonly edits: readonly Edit[];
}

/** What the import of the kit is called, and the function in it that makes an input. */
export const notebookModule = 'blankoff/notebook';
const inputOrigin = `${notebookModule}#input`;

const fileName = '/cell.ts';
const moduleTag = /^\s*\/\*\*[\s\S]*?@module\s+(\w+)[\s\S]*?\*\//;
const byHandMark = /^\s*\/\/\s*by hand\b/im;

/** TypeScript's own name resolution, which its public types leave out. */
interface Resolver {
  resolveName(name: string, at: ts.Node, meaning: ts.SymbolFlags, excludeGlobals: boolean): ts.Symbol | undefined;
}

interface Internals {
  isAssignmentTarget(node: ts.Node): boolean;
}

/**
 * Reads a cell with tslab's own TypeScript: what it defines at top level, what it uses from elsewhere, its inputs.
 * Shadowing, destructuring, types and closures are TypeScript's own; nothing is checked and no file is opened.
 * @param source text of the cell
 * @param tags tags of the cell; `by-hand` marks one that only a person runs, as the comment `// by hand` on top does
 */
export function readCell(source: string, tags: readonly string[] = []): CellReading {
  const module = moduleTag.exec(source)?.[1];
  const byHand = tags.includes('by-hand') || byHandMark.test(leadingComments(source));
  if (module) {
    const names = { defines: new Map([[`./${module}`, null]]), uses: [], assigns: [], byHand };
    return { names, inputs: [], misplacedInput: null, edits: [] };
  }
  const { file, resolver } = bind(source);
  const own = topLevelNames(file);
  const uses = new Set<string>();
  const assigns = new Set<string>();
  const mentions = new Map<string, number>();
  const isForeign = (node: ts.Identifier): boolean => !resolver.resolveName(node.text, node, anyMeaning, false);
  const visit = (node: ts.Node): void => {
    if (ts.isIdentifier(node) && node.text !== '' && isReference(node)) {
      if (isForeign(node)) {
        uses.add(node.text);
        if ((ts as unknown as Internals).isAssignmentTarget(node) || isStepped(node)) assigns.add(node.text);
      } else if (own.has(node.text)) {
        mentions.set(node.text, (mentions.get(node.text) ?? 0) + 1);
      }
    } else if (isModulePath(node)) {
      uses.add(node.text);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  const inputName = [...own].find(([, origin]) => origin === inputOrigin)?.[0] ?? (own.has('input') ? null : 'input');
  const { placed, misplacedInput } = findInputs(file, inputName, resolver);
  return {
    names: { defines: own, uses: [...uses], assigns: [...assigns], byHand },
    // One mention is the definition itself.
    inputs: placed.map((name) => ({ name, usedInCell: (mentions.get(name) ?? 0) > 1 })),
    misplacedInput,
    edits: stockMistranslations(file, isForeign),
  };
}

const anyMeaning = ts.SymbolFlags.Value | ts.SymbolFlags.Type | ts.SymbolFlags.Namespace | ts.SymbolFlags.Alias;

/** Parses and binds a cell by itself: a program without a library, in which names of other cells stay unknown. */
function bind(source: string): { file: ts.SourceFile; resolver: Resolver } {
  // As a module, so that `await` at top level is one.
  const file = ts.createSourceFile(fileName, `${source}\nexport {};`, ts.ScriptTarget.ES2022, true);
  const host: ts.CompilerHost = {
    getSourceFile: (name) => (name === fileName ? file : undefined),
    getDefaultLibFileName: () => '',
    writeFile: () => {},
    getCurrentDirectory: () => '/',
    getCanonicalFileName: (name) => name,
    useCaseSensitiveFileNames: () => true,
    getNewLine: () => '\n',
    fileExists: (name) => name === fileName,
    readFile: () => undefined,
  };
  const options = { noLib: true, noResolve: true, types: [], target: ts.ScriptTarget.ES2022 };
  const program = ts.createProgram([fileName], options, host);
  return { file, resolver: program.getTypeChecker() as unknown as Resolver };
}

function topLevelNames(file: ts.SourceFile): Map<string, string | null> {
  const { locals } = file as unknown as { locals?: ReadonlyMap<string, ts.Symbol> };
  const names = new Map<string, string | null>();
  locals?.forEach((symbol, name) => {
    names.set(name, importOrigin(symbol.declarations?.[0]));
  });
  return names;
}

/** What an import names, as `module#export`; null for every other declaration. */
function importOrigin(declaration: ts.Declaration | undefined): string | null {
  if (!declaration) return null;
  if (ts.isImportSpecifier(declaration)) {
    return `${moduleOf(declaration.parent.parent.parent)}#${(declaration.propertyName ?? declaration.name).text}`;
  }
  if (ts.isImportClause(declaration)) return `${moduleOf(declaration.parent)}#default`;
  if (ts.isNamespaceImport(declaration)) return `${moduleOf(declaration.parent.parent)}#*`;
  if (ts.isImportEqualsDeclaration(declaration)) return `${declaration.moduleReference.getText()}#=`;
  return null;
}

function moduleOf(statement: ts.ImportDeclaration): string {
  return (statement.moduleSpecifier as ts.StringLiteral).text;
}

/** A relative module that is imported may be one that another cell made with `@module`. */
function isModulePath(node: ts.Node): node is ts.StringLiteral {
  return ts.isStringLiteral(node) && ts.isImportDeclaration(node.parent) && node.text.startsWith('./');
}

/** Whether an identifier stands for a value or type, rather than naming a member, a label or what is imported. */
function isReference(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent)) return parent.name !== node;
  if (ts.isQualifiedName(parent)) return parent.right !== node;
  if (ts.isBindingElement(parent)) return parent.propertyName !== node;
  if (ts.isImportSpecifier(parent) || ts.isExportSpecifier(parent) || ts.isMetaProperty(parent)) return false;
  if (ts.isLabeledStatement(parent) || ts.isBreakOrContinueStatement(parent)) return false;
  if (ts.isJsxAttribute(parent) || ts.isNamedTupleMember(parent)) return parent.name !== node;
  if (ts.isImportTypeNode(parent)) return false;
  if (ts.isPropertyAssignment(parent) || ts.isEnumMember(parent)) return parent.name !== node;
  if (ts.isClassElement(parent) || ts.isTypeElement(parent) || ts.isMethodDeclaration(parent)) {
    return parent.name !== node;
  }
  // `as const` is written like a type of that name.
  return !(ts.isTypeReferenceNode(parent) && node.text === 'const');
}

function isStepped(node: ts.Identifier): boolean {
  const { parent } = node;
  if (!ts.isPrefixUnaryExpression(parent) && !ts.isPostfixUnaryExpression(parent)) return false;
  return parent.operator === ts.SyntaxKind.PlusPlusToken || parent.operator === ts.SyntaxKind.MinusMinusToken;
}

function findInputs(
  file: ts.SourceFile,
  inputName: string | null,
  resolver: Resolver,
): { placed: string[]; misplacedInput: number | null } {
  const placed: string[] = [];
  let misplacedInput: number | null = null;
  const isInput = (node: ts.Node): node is ts.Identifier => {
    if (!ts.isIdentifier(node) || node.text !== inputName || !isReference(node)) return false;
    const symbol = resolver.resolveName(node.text, node, anyMeaning, false);
    return !symbol || symbol.declarations?.some((declaration) => ts.isImportSpecifier(declaration)) === true;
  };
  const visit = (node: ts.Node): void => {
    if (isInput(node)) {
      const name = nameOfInput(node);
      if (name) placed.push(name);
      else misplacedInput ??= file.getLineAndCharacterOfPosition(node.getStart()).line + 1;
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return { placed, misplacedInput };
}

/** The name of the top-level `const` of which a call of `input` is the whole initialiser, or null. */
function nameOfInput(callee: ts.Identifier): string | null {
  const call = callee.parent;
  if (!ts.isCallExpression(call) || call.expression !== callee) return null;
  const declaration = call.parent;
  if (!ts.isVariableDeclaration(declaration) || declaration.initializer !== call) return null;
  if (!ts.isIdentifier(declaration.name)) return null;
  const list = declaration.parent;
  const isConst = ts.isVariableDeclarationList(list) && (list.flags & ts.NodeFlags.Const) !== 0;
  const atTop = ts.isVariableStatement(list.parent) && ts.isSourceFile(list.parent.parent);
  return isConst && atTop ? declaration.name.text : null;
}

/** The comments that stand before anything else in a cell. */
function leadingComments(source: string): string {
  return /^(?:\s|\/\/[^\n]*(?:\n|$)|\/\*[\s\S]*?\*\/)*/.exec(source)?.[0] ?? '';
}
