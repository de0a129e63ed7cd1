import { join, relative, resolve } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const root = resolve(__dirname, '../..');
const door = join(root, 'src/index.ts');

const program = ts.createProgram([door], {
  target: ts.ScriptTarget.ES2022,
  module: ts.ModuleKind.CommonJS,
  moduleResolution: ts.ModuleResolutionKind.Node10,
  lib: ['lib.es2022.d.ts'],
  types: [],
  strict: true,
  skipLibCheck: true,
});
const checker = program.getTypeChecker();

interface Exported {
  readonly name: string;
  readonly declaration: ts.Declaration;
}

/** Everything that the public door exports, with where it is declared. */
function exportsOfDoor(): Exported[] {
  const module = checker.getSymbolAtLocation(program.getSourceFile(door)!)!;
  return checker.getExportsOfModule(module).flatMap((symbol) => {
    const target = symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
    return (target.declarations ?? []).map((declaration) => ({ name: symbol.name, declaration }));
  });
}

/** The function behind an export, whether declared or held by a constant. */
function functionOf(declaration: ts.Declaration): ts.SignatureDeclaration | undefined {
  if (ts.isFunctionDeclaration(declaration)) return declaration;
  const held = ts.isVariableDeclaration(declaration) ? declaration.initializer : undefined;
  return held && (ts.isArrowFunction(held) || ts.isFunctionExpression(held)) ? held : undefined;
}

/** A function of TypeScript that its public types leave out. */
const docsOf = (node: ts.Node): readonly ts.Node[] =>
  (ts as unknown as { getJSDocCommentsAndTags(of: ts.Node): readonly ts.Node[] }).getJSDocCommentsAndTags(node);

/** Text of the comment before the tags. */
function meaning(node: ts.Node): string {
  const holder = ts.isVariableDeclaration(node) ? node.parent.parent : node;
  const comments = docsOf(holder).filter(ts.isJSDoc);
  return comments.map((comment) => ts.getTextOfJSDocComment(comment.comment) ?? '').join(' ');
}

function place({ name, declaration }: Exported): string {
  const file = declaration.getSourceFile();
  const { line } = file.getLineAndCharacterOfPosition(declaration.getStart());
  return `${relative(root, file.fileName)}:${line + 1} ${name}`;
}

/** What is missing in the docstring of a function. */
function faults(signature: ts.SignatureDeclaration, holder: ts.Node, givesNothing: boolean): string[] {
  const missing: string[] = [];
  if (meaning(holder).trim().length < 10) missing.push('meaning');
  const described = (tag: ts.JSDocTag): boolean => (ts.getTextOfJSDocComment(tag.comment) ?? '').trim() !== '';
  for (const parameter of signature.parameters) {
    const name = parameter.name.getText();
    if (!ts.getJSDocParameterTags(parameter).some(described)) missing.push(`@param ${name}`);
  }
  if (!givesNothing && !ts.getAllJSDocTags(signature, ts.isJSDocReturnTag).some(described)) missing.push('@returns');
  return missing;
}

function returnsNothing(signature: ts.SignatureDeclaration): boolean {
  const type = checker.getReturnTypeOfSignature(checker.getSignatureFromDeclaration(signature)!);
  return (type.flags & (ts.TypeFlags.Void | ts.TypeFlags.Never)) !== 0;
}

const exported = exportsOfDoor();
const functions = exported.flatMap((entry) => {
  const signature = functionOf(entry.declaration);
  return signature ? [{ ...entry, signature }] : [];
});

describe('docstrings', () => {
  it('sees the public functions', () => {
    expect(functions.length).toBeGreaterThan(100);
    expect(functions.map((f) => f.name)).toContain('vapourPressure');
  });

  it('find what is missing', () => {
    const text = `
      /**
       * Adds two numbers.
       * @param a one
       * @param b
       */
      export function add(a: number, b: number): number { return a + b; }
      export function bare(a: number): void {}`;
    const file = ts.createSourceFile('sample.ts', text, ts.ScriptTarget.ES2022, true);
    const [add, bare] = file.statements as unknown as ts.FunctionDeclaration[];
    expect(faults(add, add, false)).toEqual(['@param b', '@returns']);
    expect(faults(bare, bare, true)).toEqual(['meaning', '@param a']);
  });

  it('give meaning, every parameter and the result of each public function', () => {
    const wrong = functions.flatMap((entry) => {
      const missing = faults(entry.signature, entry.declaration, returnsNothing(entry.signature));
      return missing.length > 0 ? [`${place(entry)}: ${missing.join(', ')}`] : [];
    });
    expect(wrong).toEqual([]);
  });

  it('give the meaning of each public type and constant', () => {
    const wrong = exported.filter(
      (entry) => !functionOf(entry.declaration) && meaning(entry.declaration).trim().length < 5,
    );
    expect(wrong.map(place)).toEqual([]);
  });
});
