import ts from '@tslab/typescript-for-tslab';
import type { ReadOptions } from '../../../src/log';

/** Functions whose second argument says how a log is read. */
const READERS: readonly string[] = ['readLogFile', 'follow'];

/** Writes a value as an expression, as a person would. */
function written(value: unknown): string {
  if (typeof value === 'string')
    return `'${value.replace(/[\\']/g, '\\$&').replace(/\n/g, '\\n').replace(/\r/g, '\\r')}'`;
  if (Array.isArray(value)) return `[${value.map(written).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return String(value);
  const fields = Object.entries(value).map(([name, field]) => {
    const key = /^[A-Za-z_]\w*$/.test(name) ? name : written(name);
    return `${key}: ${written(field)}`;
  });
  return `{ ${fields.join(', ')} }`;
}

/** Answers as properties; fixed texts, so that one of a few words stays one of them. */
function properties(answers: ReadOptions): string {
  return Object.entries(answers)
    .map(([name, value]) => `${name}: ${written(value)}${typeof value === 'number' ? '' : ' as const'}`)
    .join(', ');
}

/**
 * Writes answers about a log into the calls of a cell that read it: beside the options that stand there, or in the const
 * of the same cell that holds them.
 * @param source text of a cell
 * @param answers what was answered; nothing that is undefined
 * @returns the cell with the answers; unchanged where it reads no log or there are none
 */
export function writeAnswers(source: string, answers: ReadOptions): string {
  if (Object.keys(answers).length === 0) return source;
  const file = ts.createSourceFile('cell.ts', source, ts.ScriptTarget.ES2022, true);
  const edits = new Map<number, string>();
  const visit = (node: ts.Node): void => {
    if (ts.isCallExpression(node) && ts.isIdentifier(node.expression) && READERS.includes(node.expression.text)) {
      const [path, options] = node.arguments;
      const object = options && ts.isIdentifier(options) ? constNamed(file, options.text) : options;
      if (object && ts.isObjectLiteralExpression(object)) edits.set(object.getStart() + 1, ` ${properties(answers)},`);
      else if (path && !options) edits.set(path.getEnd(), `, { ${properties(answers)} }`);
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return [...edits]
    .sort(([a], [b]) => b - a)
    .reduce((text, [at, added]) => text.slice(0, at) + added + text.slice(at), source);
}

function constNamed(file: ts.SourceFile, name: string): ts.Expression | undefined {
  return file.statements
    .filter(ts.isVariableStatement)
    .flatMap(({ declarationList }) => [...declarationList.declarations])
    .find((declaration) => ts.isIdentifier(declaration.name) && declaration.name.text === name)?.initializer;
}
