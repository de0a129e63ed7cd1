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

/** Folders whose functions are physics: each has its source, and each number its unit. */
const PHYSICS = /src\/(?:units|gases|flow|gauges|gas-loads)\//;
/** Calls what can throw, but only with a constant for which it does not. */
const NEVER_THROWS = ['waterInOil'];
const isPhysics = (declaration: ts.Declaration): boolean => PHYSICS.test(declaration.getSourceFile().fileName);

function ownDeclaration(call: ts.CallExpression): ts.Declaration | undefined {
  const symbol = checker.getSymbolAtLocation(call.expression);
  const target = symbol && symbol.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(symbol) : symbol;
  return target?.declarations?.find((declaration) => functionOf(declaration));
}

/** Whether a function can throw: it does so itself, or calls one of ours that does. What a `try` holds does not count. */
function canThrow(declaration: ts.Declaration, seen = new Map<ts.Declaration, boolean>()): boolean {
  const known = seen.get(declaration);
  if (known !== undefined) return known;
  seen.set(declaration, false);
  const visit = (node: ts.Node): boolean => {
    if (ts.isThrowStatement(node)) return true;
    if (ts.isTryStatement(node)) return node.catchClause ? visit(node.catchClause) : visit(node.tryBlock);
    if (ts.isCallExpression(node)) {
      const called = ownDeclaration(node);
      if (called && canThrow(called, seen)) return true;
    }
    return ts.forEachChild(node, (child) => visit(child) || undefined) ?? false;
  };
  const body = (functionOf(declaration) as ts.FunctionLikeDeclaration).body;
  const result = body ? visit(body) : false;
  seen.set(declaration, result);
  return result;
}

/** Names of units, and the words for a number that has none. */
const UNIT =
  /\b(?:Pa|K|s|m|m2|m3|mol|kg|J|V|W|Hz|bits?)\b|1\/|no unit|any unit|same unit|in the unit|in `|its unit|ratio|factor|exponent|share|part|digits|SI\b|relative/;

const isNumber = (node: ts.Node): boolean => {
  const type = checker.getNonNullableType(checker.getTypeAtLocation(node));
  return (type.flags & ts.TypeFlags.NumberLike) !== 0;
};

/** What is missing in the docstring of a function that is physics: units, range, errors, source. */
function physicsFaults({ name, declaration, signature }: Exported & { signature: ts.SignatureDeclaration }): string[] {
  const missing: string[] = [];
  const tags = ts.getJSDocTags(signature);
  const textOf = (tag: ts.JSDocTag): string => ts.getTextOfJSDocComment(tag.comment) ?? '';
  const named = (name: string): ts.JSDocTag | undefined => tags.find((tag) => tag.tagName.text === name);
  const numbers = signature.parameters.filter(isNumber);
  for (const parameter of numbers) {
    if (!ts.getJSDocParameterTags(parameter).some((tag) => UNIT.test(textOf(tag)))) {
      missing.push(`unit of @param ${parameter.name.getText()}`);
    }
  }
  const result = checker.getReturnTypeOfSignature(checker.getSignatureFromDeclaration(signature)!);
  const returns = named('returns');
  if ((result.flags & ts.TypeFlags.NumberLike) !== 0 && !(returns && UNIT.test(textOf(returns)))) {
    missing.push('unit of @returns');
  }
  const throws = named('throws');
  if (canThrow(declaration) && !NEVER_THROWS.includes(name) && !(throws && textOf(throws).length > 10))
    missing.push('@throws');
  const all = [meaning(declaration), ...tags.map(textOf)].join(' ');
  if (numbers.length > 0 && !/>|<|above|below|at most|at least|\d to |within|outside|finite|any |positive/.test(all)) {
    missing.push('range');
  }
  const source = named('source');
  if (!source || textOf(source).length < 4) missing.push('@source');
  return missing;
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

  it('know which functions can throw, by themselves or by what they call', () => {
    const named = (name: string) => functions.find((entry) => entry.name === name)!;
    expect(canThrow(named('requirePositive').declaration)).toBe(true);
    expect(canThrow(named('atChamber').declaration)).toBe(true);
    expect(canThrow(named('temperatureDrift').declaration)).toBe(false);
    // A function of another folder has no source: the rule would find it missing.
    expect(physicsFaults(named('thin'))).toContain('@source');
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

  it('of physics give units, range, errors and source', () => {
    const physics = functions.filter((entry) => isPhysics(entry.declaration));
    expect(physics.length).toBeGreaterThan(90);
    const wrong = physics.flatMap((entry) => {
      const missing = physicsFaults(entry);
      return missing.length > 0 ? [`${place(entry)}: ${missing.join(', ')}`] : [];
    });
    expect(wrong).toEqual([]);
  });

  it('of functions that throw say so, also where only what they call does', () => {
    // What judges whole records calls nearly everything: there the errors of its own count.
    const ofItsOwn = /src\/(?:causes|investigation)\//;
    const silent = functions.filter(
      ({ name, declaration, signature }) =>
        (ofItsOwn.test(declaration.getSourceFile().fileName)
          ? /\bthrow new /.test(signature.getText())
          : canThrow(declaration)) &&
        !NEVER_THROWS.includes(name) &&
        !ts.getJSDocTags(signature).some((tag) => tag.tagName.text === 'throws'),
    );
    expect(silent.map(place)).toEqual([]);
  });

  it('name the unit of each number in the public records of physics', () => {
    const wrong = exported.flatMap((entry) => {
      if (!isPhysics(entry.declaration) || !ts.isInterfaceDeclaration(entry.declaration)) return [];
      return entry.declaration.members.flatMap((member) => {
        if (!ts.isPropertySignature(member) || !member.type || !isNumber(member)) return [];
        return UNIT.test(meaning(member)) ? [] : [`${place(entry)}.${member.name.getText()}`];
      });
    });
    expect(wrong).toEqual([]);
  });
});
