import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Metafile } from 'esbuild';

/** What a package says of itself. */
interface Notice {
  readonly name: string;
  readonly repository: string;
  /** Empty where the package has no file of its own: it shares that of its repository. */
  readonly licence: string;
}

/**
 * The licences of the libraries that a bundle holds, as they ask to stand beside it, each wording once.
 * @param root folder of the kit
 * @param inputs what the bundle holds, by path
 * @returns plain text
 */
export function libraryNotices(root: string, inputs: Metafile['outputs'][string]['inputs']): string {
  const used = Object.entries(inputs).filter(([, { bytesInOutput }]) => bytesInOutput > 0);
  const folders = [...new Set(used.flatMap(([path]) => /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)/.exec(path)?.[1] ?? []))];
  const notices = folders.sort().map((folder) => noticeOf(join(root, folder)));
  const wordings = new Map<string, Map<string, string[]>>();
  for (const { name, repository, licence } of notices) {
    const shared = licence || notices.find((one) => one.repository === repository && one.licence !== '')?.licence;
    if (shared === undefined) throw new Error(`licence of ${name}: no file in its package, expected one to show`);
    const { holder, wording } = parted(shared);
    const holders = wordings.get(wording) ?? new Map<string, string[]>();
    holders.set(holder, [...(holders.get(holder) ?? []), name]);
    wordings.set(wording, holders);
  }
  return [...wordings]
    .map(([wording, holders]) => {
      const heads = [...holders].map(([holder, names]) => `${[...new Set(names)].join(', ')}: ${holder}`);
      return `${heads.join('\n')}\n\n${wording}`;
    })
    .join('\n\n\n');
}

function noticeOf(folder: string): Notice {
  const about = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as {
    readonly name: string;
    readonly repository?: string | { readonly url?: string };
  };
  const { repository } = about;
  const file = readdirSync(folder).find((one) => /^licen[cs]e/i.test(one));
  return {
    name: about.name,
    repository: (typeof repository === 'string' ? repository : repository?.url) ?? about.name,
    licence: file === undefined ? '' : readFileSync(join(folder, file), 'utf8'),
  };
}

/** Who holds the rights, and the wording that many share, in which lines may be broken anywhere. */
function parted(licence: string): { holder: string; wording: string } {
  const paragraphs = licence.trim().split(/\r?\n\s*\r?\n/);
  const oneLine = (text: string): string => text.replace(/\s+/g, ' ').trim();
  const holds = (text: string): boolean => /^(the )?.{0,30}licen[cs]e( \(.*\))?$|^copyright/i.test(oneLine(text));
  const from = paragraphs.findIndex((one) => !holds(one));
  return {
    holder: paragraphs.slice(0, from).map(oneLine).join(', '),
    wording: paragraphs.slice(from).map(oneLine).join('\n\n'),
  };
}
