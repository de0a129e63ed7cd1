/** A file of a packed investigation. */
export interface CrateFile {
  /** Path inside the crate, with `/`. */
  readonly path: string;
  readonly bytes: number;
  /** SHA-256, lower-case hex. */
  readonly sha256: string;
  readonly mediaType: string;
  /** What it is, in a few words. */
  readonly name: string;
  readonly role: 'notebook' | 'executed notebook' | 'log' | 'readings' | 'page' | 'record';
}

/** What a crate says about itself. */
export interface CrateDescription {
  readonly title: string;
  readonly description: string;
  /** Day of packing, ISO 8601. */
  readonly date: string;
  /** Who packed it, or empty. */
  readonly who: string;
  /** Licence of the content: an address, or a sentence where none was given. */
  readonly licence: string;
  /** What runs the notebook: names and versions. */
  readonly runsOn: string;
  readonly files: readonly CrateFile[];
}

const SPECIFICATION = 'https://w3id.org/ro/crate/1.2';

/**
 * The metadata of an investigation as an RO-Crate 1.2 (`ro-crate-metadata.json`): its files with size and SHA-256, the
 * software, and the run that made the results from the inputs.
 * @param crate what is in it
 * @returns the JSON-LD document
 * @see https://www.researchobject.org/ro-crate/specification/1.2/
 */
export function crateMetadata(crate: CrateDescription): Record<string, unknown> {
  const id = (path: string): { '@id': string } => ({ '@id': encodeURI(path) });
  const of = (...roles: CrateFile['role'][]): { '@id': string }[] =>
    crate.files.filter((file) => roles.includes(file.role)).map((file) => id(file.path));
  const who = crate.who === '' ? [] : [{ '@id': '#who', '@type': 'Person', name: crate.who }];
  const isAddress = /^https?:\/\/\S+$/.test(crate.licence);
  const licence = isAddress ? { '@id': crate.licence } : { '@id': '#licence' };
  return {
    '@context': `${SPECIFICATION}/context`,
    '@graph': [
      {
        '@id': 'ro-crate-metadata.json',
        '@type': 'CreativeWork',
        conformsTo: { '@id': SPECIFICATION },
        about: { '@id': './' },
      },
      {
        '@id': './',
        '@type': 'Dataset',
        name: crate.title,
        description: crate.description,
        datePublished: crate.date,
        license: licence,
        ...(who.length > 0 ? { author: { '@id': '#who' } } : {}),
        hasPart: crate.files.map((file) => id(file.path)),
        mentions: { '@id': '#run' },
      },
      ...crate.files.map((file) => ({
        '@id': encodeURI(file.path),
        // The notebook is the program that was run.
        ...(file.role === 'notebook'
          ? {
              '@type': ['File', 'SoftwareSourceCode'],
              runtimePlatform: crate.runsOn,
              programmingLanguage: 'TypeScript',
            }
          : { '@type': 'File' }),
        name: file.name,
        contentSize: String(file.bytes),
        encodingFormat: file.mediaType,
        sha256: file.sha256,
      })),
      {
        '@id': '#run',
        '@type': 'CreateAction',
        name: 'run of the notebook on the logs',
        instrument: of('notebook')[0] ?? { '@id': './' },
        object: of('log'),
        result: of('executed notebook', 'page', 'record', 'readings'),
        ...(who.length > 0 ? { agent: { '@id': '#who' } } : {}),
      },
      {
        ...licence,
        '@type': 'CreativeWork',
        name: isAddress ? 'licence' : crate.licence,
        description: isAddress ? 'the licence under which the content may be used' : crate.licence,
      },
      ...who,
    ],
  };
}
