import ts from '@tslab/typescript-for-tslab';

/** Text to put into a cell instead of what stands from `start` to `end`. */
export interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/**
 * Finds what stock tslab (1.0.22) translates wrongly, and what to write instead; the meaning and the types stay.
 *
 * - A shorthand property of another cell's name, `({ Q })`, becomes `({ Q: Q })`.
 * - A renaming destructuring, `const { a: b } = r`, becomes `const { ["a"]: b } = r`.
 * - `await (f)(x)` at top level, taken for a call of a function named await, becomes `await Promise.resolve((f)(x))`.
 * @param file a parsed cell, with parents
 * @param isForeign whether an identifier is a name of another cell
 */
export function stockMistranslations(file: ts.SourceFile, isForeign: (node: ts.Identifier) => boolean): Edit[] {
  const edits: Edit[] = [];
  const visit = (node: ts.Node, inFunction: boolean): void => {
    if (ts.isShorthandPropertyAssignment(node) && isForeign(node.name)) {
      edits.push(insert(node.name.getEnd(), `: ${node.name.text}`));
    }
    const renamed = renamedProperty(node);
    if (renamed) edits.push({ start: renamed.getStart(), end: renamed.getEnd(), text: `["${renamed.text}"]` });
    if (ts.isAwaitExpression(node) && !inFunction && /^[([+\-/`<!~{]/.test(node.expression.getText())) {
      edits.push(insert(node.expression.getStart(), 'Promise.resolve('), insert(node.expression.getEnd(), ')'));
    }
    const inside = inFunction || ts.isFunctionLike(node) || ts.isClassLike(node);
    ts.forEachChild(node, (child) => visit(child, inside));
  };
  visit(file, false);
  return edits;
}

/** Carries out edits that do not overlap. */
export function applyEdits(source: string, edits: readonly Edit[]): string {
  let text = source;
  for (const edit of [...edits].sort((a, b) => b.start - a.start)) {
    text = text.slice(0, edit.start) + edit.text + text.slice(edit.end);
  }
  return text;
}

function insert(at: number, text: string): Edit {
  return { start: at, end: at, text };
}

/** The name of a property that a destructuring gives another name. */
function renamedProperty(node: ts.Node): ts.Identifier | null {
  if (ts.isBindingElement(node)) {
    return node.propertyName && ts.isIdentifier(node.propertyName) ? node.propertyName : null;
  }
  if (!ts.isPropertyAssignment(node) || !ts.isIdentifier(node.name)) return null;
  return isDestructuringTarget(node.parent) ? node.name : null;
}

function isDestructuringTarget(node: ts.Node): boolean {
  const { isAssignmentTarget } = ts as unknown as { isAssignmentTarget(of: ts.Node): boolean };
  return isAssignmentTarget(node);
}
