import ts from '@tslab/typescript-for-tslab';
import { ArgumentError } from '../../../src/errors';
import { beginsAsQuantity } from '../../inputs/control';
import { type Notebook, type NotebookCell, tagsOf } from './notebook-file';

/** A name whose value may be given from outside, and where its value stands in the cell. */
interface Parameter {
  readonly name: string;
  readonly start: number;
  readonly end: number;
  /** How a given text is written there: as the first argument of `input()`, or as a literal of the same kind. */
  readonly kind: 'text' | 'number' | 'boolean';
  /** The quantity that stands there, where nothing but its text says that it is one. */
  readonly quantity?: string;
}

function isInputCall(node: ts.Expression): node is ts.CallExpression {
  return ts.isCallExpression(node) && ts.isIdentifier(node.expression) && node.expression.text === 'input';
}

function literalKind(node: ts.Expression): Parameter['kind'] | null {
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return 'text';
  if (ts.isNumericLiteral(node)) return 'number';
  if (ts.isPrefixUnaryExpression(node) && ts.isNumericLiteral(node.operand)) return 'number';
  if (node.kind === ts.SyntaxKind.TrueKeyword || node.kind === ts.SyntaxKind.FalseKeyword) return 'boolean';
  return null;
}

/** The parameters of a cell: `const NAME = input(default, …)`, and in the cell tagged `parameters` plain literals too. */
function parametersOf(cell: NotebookCell): Parameter[] {
  const tagged = tagsOf(cell).includes('parameters');
  const file = ts.createSourceFile('cell.ts', cell.source, ts.ScriptTarget.ES2022, true);
  return file.statements.filter(ts.isVariableStatement).flatMap((statement) =>
    statement.declarationList.declarations.flatMap((declaration) => {
      const { name, initializer } = declaration;
      if (!ts.isIdentifier(name) || !initializer) return [];
      const value = isInputCall(initializer) ? initializer.arguments[0] : tagged ? initializer : undefined;
      const kind = value ? literalKind(value) : null;
      if (!value || !kind) return [];
      const place = { name: name.text, start: value.getStart(), end: value.getEnd(), kind };
      return [isInputCall(initializer) ? { ...place, quantity: quantityByText(initializer) } : place];
    }),
  );
}

/** The default of an `input()` that is a quantity by its text alone; another text would make another kind of input of it. */
function quantityByText({ arguments: [value, options] }: ts.CallExpression): string | undefined {
  if (!ts.isStringLiteralLike(value) || !beginsAsQuantity(value.text)) return undefined;
  const names = options && ts.isObjectLiteralExpression(options) ? options.properties.map((one) => one.name) : [];
  const told = names.some((name) => name && /^(?:text|choices|dimension|unit)$/.test(name.getText()));
  return told ? undefined : value.text;
}

function literal(parameter: Parameter, text: string): string {
  if (parameter.quantity !== undefined && !beginsAsQuantity(text)) {
    throw new ArgumentError(`--set ${parameter.name}`, text, `a value with its unit, such as ${parameter.quantity}`);
  }
  if (parameter.kind === 'text')
    return `'${text.replace(/[\\']/g, '\\$&').replace(/\n/g, '\\n').replace(/\r/g, '\\r')}'`;
  const value = text.trim();
  if (parameter.kind === 'number' && (value === '' || !Number.isFinite(Number(value)))) {
    throw new ArgumentError(`--set ${parameter.name}`, text, 'a number, as in the notebook');
  }
  if (parameter.kind === 'boolean' && value !== 'true' && value !== 'false') {
    throw new ArgumentError(`--set ${parameter.name}`, text, 'true or false, as in the notebook');
  }
  return parameter.kind === 'number' ? String(Number(value)) : value;
}

/** The names that `--set` may give a value to, in order of the cells. */
export function parameterNames(notebook: Notebook): string[] {
  return notebook.cells
    .filter((cell) => cell.cell_type === 'code')
    .flatMap((cell) => parametersOf(cell).map((parameter) => parameter.name));
}

/** The values that the parameters of a notebook have, as they are written in it, by name. */
export function parameterValues(notebook: Notebook): Map<string, string> {
  return new Map(
    notebook.cells
      .filter((cell) => cell.cell_type === 'code')
      .flatMap((cell) => parametersOf(cell).map(({ name, start, end }) => [name, cell.source.slice(start, end)])),
  );
}

/**
 * Gives parameters of a notebook other values, in a copy: the default of its `input()` or its literal is replaced.
 * @param values texts by name; taken as a text, a number or a truth value, whichever stands in the notebook
 * @throws ArgumentError where a name is none of the notebook's parameters (with their list) or a value does not fit
 */
export function setParameters(notebook: Notebook, values: ReadonlyMap<string, string>): Notebook {
  const names = parameterNames(notebook);
  for (const name of values.keys()) {
    if (!names.includes(name)) {
      const known = names.length > 0 ? `one of ${names.join(', ')}` : 'nothing: this notebook has no parameters';
      throw new ArgumentError('--set', name, known);
    }
  }
  const cells = notebook.cells.map((cell) => {
    if (cell.cell_type !== 'code') return cell;
    const wanted = parametersOf(cell).filter((parameter) => values.has(parameter.name));
    const source = wanted.reduceRight(
      (text, parameter) =>
        text.slice(0, parameter.start) +
        literal(parameter, values.get(parameter.name) ?? '') +
        text.slice(parameter.end),
      cell.source,
    );
    return { ...cell, source };
  });
  return { ...notebook, cells };
}
