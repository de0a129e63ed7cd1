import { unzipSync, zipSync } from 'fflate';
import { BlankoffError } from '../../src/errors';

/** What an archive from a stranger may hold at most. */
export const ARCHIVE_LIMITS = { entries: 2000, bytes: 1024 ** 3, nameLength: 300, ratio: 2000 } as const;

/** Time stamp of all entries, so that the same files give the same bytes: the earliest a zip can say. */
const SAME_TIME = '1980-01-01T00:00:00';

/**
 * Puts files into a zip; the same files give the same bytes.
 * @param files content by path, with `/`
 */
export function writeArchive(files: ReadonlyMap<string, Uint8Array>): Uint8Array {
  const entries = [...files].sort(([a], [b]) => (a < b ? -1 : 1));
  return zipSync(Object.fromEntries(entries), { mtime: SAME_TIME, level: 6 });
}

/**
 * Takes the files out of a zip, wherever it comes from: names that leave the folder or mean different things on
 * different machines are refused, and so is an archive that is larger inside than {@link ARCHIVE_LIMITS}.
 * @param bytes the archive
 * @param name its name, for messages
 * @returns content by path
 * @throws BlankoffError (`archive`) where it is no zip, damaged, too large inside, or has a name that is refused
 */
export function readArchive(bytes: Uint8Array, name: string): Map<string, Uint8Array> {
  const refuse = (problem: string): BlankoffError =>
    new BlankoffError('archive', `${name}: ${problem}; nothing was unpacked`);
  const seen = new Set<string>();
  let total = 0;
  const vet = (entry: { name: string; size: number; originalSize: number }): boolean => {
    const problem = nameProblem(entry.name);
    if (problem) throw refuse(`entry "${entry.name.slice(0, 80)}" ${problem}`);
    const key = entry.name.normalize('NFC').toLowerCase();
    if (seen.has(key)) throw refuse(`entry "${entry.name}" is there twice`);
    seen.add(key);
    if (seen.size > ARCHIVE_LIMITS.entries) throw refuse(`more than ${ARCHIVE_LIMITS.entries} entries`);
    total += entry.originalSize;
    const blown = entry.originalSize > 1024 ** 2 && entry.originalSize > ARCHIVE_LIMITS.ratio * Math.max(entry.size, 1);
    if (total > ARCHIVE_LIMITS.bytes || blown) {
      throw refuse(
        `entry "${entry.name}" would unpack to ${entry.originalSize} bytes, more than is taken from strangers`,
      );
    }
    return !entry.name.endsWith('/');
  };
  try {
    const files = new Map(Object.entries(unzipSync(bytes, { filter: vet })));
    for (const path of files.keys()) {
      for (let at = path.indexOf('/'); at > 0; at = path.indexOf('/', at + 1)) {
        if (seen.has(path.slice(0, at).normalize('NFC').toLowerCase()))
          throw refuse(`entry "${path.slice(0, at)}" is a file and a folder`);
      }
    }
    return files;
  } catch (error) {
    if (error instanceof BlankoffError) throw error;
    const met = `met bytes that are no whole zip archive (${(error as Error).message})`;
    throw refuse(`${met}, expected a packed investigation, as blankoff pack writes it`);
  }
}

/** Why an entry's name is refused, or null. */
function nameProblem(name: string): string | null {
  if (name === '' || name.length > ARCHIVE_LIMITS.nameLength) return 'has no usable name';
  if (hasControl(name)) return 'has a control character in its name';
  if (name.includes('\\') || name.includes(':')) return 'has a name that means another place on some machines';
  if (name.startsWith('/')) return 'has an absolute name';
  const parts = name.replace(/\/$/, '').split('/');
  if (parts.some((part) => part === '..' || part === '.' || part === '')) return 'leaves its folder';
  if (parts.some((part) => part === '__proto__')) return 'has a name that is refused';
  if (parts.some((part) => /[. ]$/.test(part) || /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i.test(part))) {
    return 'has a name that some machines cannot store';
  }
  return null;
}

function hasControl(name: string): boolean {
  for (const letter of name) {
    const code = letter.codePointAt(0) ?? 0;
    // Control characters, and the marks that turn the direction of writing and so hide an ending.
    if (code < 32 || (code >= 127 && code < 160) || (code >= 0x202a && code <= 0x202e)) return true;
    if (code >= 0x2066 && code <= 0x2069) return true;
  }
  return false;
}
