/** What a file system says of a file that cannot be read, in words. */
const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'no such file',
  ENOTDIR: 'no such file',
  EISDIR: 'a folder',
  EACCES: 'no permission to read it',
};

/**
 * Why a file cannot be read, in words.
 * @param error what the file system threw
 * @returns such as `no such file`; undefined where it is something else, which is to be thrown on
 */
export function whyUnreadable(error: unknown): string | undefined {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return Object.hasOwn(WORDS, code) ? WORDS[code] : undefined;
}
