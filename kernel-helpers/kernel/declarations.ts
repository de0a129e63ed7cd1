import ts from '@tslab/typescript-for-tslab';
import type { TslabExecutor, TslabParts } from './tslab-parts';

/**
 * The types of all names that cells have defined, as tslab keeps them: the text of a declaration file. It tells whether
 * the type of a name has changed, and so whether cells that use it have to be checked again.
 */
export class Declarations {
  readonly #read: () => string | null;
  #text: string | null = null;
  #byName = new Map<string, string>();
  /** Counts the changes. */
  version = 0;

  constructor(executor: TslabExecutor, converter: TslabParts['converter']) {
    this.#read = declarationReader(executor, converter);
    this.refresh();
  }

  /** Reads them anew, after a cell was compiled. */
  refresh(): void {
    const text = this.#read();
    if (text !== null && text === this.#text) return;
    this.version++;
    this.#text = text;
    this.#byName = byName(text ?? '');
  }

  /** Whether a name is declared. */
  has(name: string): boolean {
    return this.#byName.has(name);
  }

  /** The declarations on which some names rest: as long as this text is the same, so are their types. */
  signature(names: Iterable<string>): string {
    // Where tslab does not tell, each change may be one of these names.
    if (this.#text === null) return String(this.version);
    const seen = new Set<string>();
    const open = [...names];
    for (let name = open.pop(); name !== undefined; name = open.pop()) {
      const text = this.#byName.get(name);
      if (text === undefined || seen.has(name)) continue;
      seen.add(name);
      for (const [word] of text.matchAll(/[\p{L}_$][\p{L}\p{N}_$]*/gu)) open.push(word);
    }
    return [...seen]
      .sort()
      .map((name) => this.#byName.get(name))
      .join('\n');
  }
}

function byName(text: string): Map<string, string> {
  const names = new Map<string, string>();
  const add = (name: string, statement: ts.Node): void => {
    names.set(name, `${names.get(name) ?? ''}${statement.getText()}`);
  };
  const file = ts.createSourceFile('declarations.d.ts', text, ts.ScriptTarget.ES2022, true);
  for (const statement of file.statements) {
    if (ts.isVariableStatement(statement)) {
      for (const declaration of statement.declarationList.declarations) add(declaration.name.getText(), declaration);
    } else if (ts.isImportDeclaration(statement)) {
      const { name, namedBindings } = statement.importClause ?? {};
      if (name) add(name.text, statement.moduleSpecifier);
      if (namedBindings && ts.isNamespaceImport(namedBindings)) add(namedBindings.name.text, statement);
      else for (const element of namedBindings?.elements ?? []) add(element.name.text, element);
    } else {
      const { name } = statement as unknown as { name?: ts.Node };
      if (name) add(name.getText(), statement);
    }
  }
  return names;
}

/**
 * tslab keeps the declarations to itself, and hands them to the converter for browser cells when such a cell is
 * inspected. That converter is made when first asked for: ours looks at them, and makes the real one if it is needed.
 */
function declarationReader(executor: TslabExecutor, converter: TslabParts['converter']): () => string | null {
  type BrowserConverter = Record<string, (...args: unknown[]) => unknown>;
  let declarations: string | null = null;
  let looking = false;
  let real: BrowserConverter | null = null;
  const original = converter.createConverter;
  const forward =
    (method: string) =>
    (...args: unknown[]): unknown => {
      if (looking && method === 'inspect') {
        declarations = String(args[0]);
        return undefined;
      }
      if (!real && method === 'close') return undefined;
      real ??= original({ isBrowser: true }) as BrowserConverter;
      return real[method](...args);
    };
  const spy = Object.fromEntries(['convert', 'inspect', 'complete', 'addModule', 'close'].map((m) => [m, forward(m)]));
  return () => {
    declarations = null;
    looking = true;
    converter.createConverter = (options) => ((options as { isBrowser?: boolean }).isBrowser ? spy : original(options));
    try {
      executor.inspect('/** @browser */ ', 0);
    } finally {
      converter.createConverter = original;
      looking = false;
    }
    return declarations;
  };
}
