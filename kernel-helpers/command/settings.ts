import { ArgumentError } from '../../src/errors';

/**
 * Reads the `--set NAME=VALUE` of a command line.
 * @param texts what was given, one text each
 * @returns texts by name
 * @throws ArgumentError where one has no name or no `=`
 */
export function settings(texts: readonly string[]): Map<string, string> {
  return new Map(
    texts.map((text) => {
      const at = text.indexOf('=');
      if (at < 1) throw new ArgumentError('--set', text, 'NAME=VALUE, such as volume="8 L"');
      return [text.slice(0, at).trim(), text.slice(at + 1)];
    }),
  );
}
