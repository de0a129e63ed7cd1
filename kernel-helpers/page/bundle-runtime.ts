import { join } from 'node:path';
import { build, type Metafile } from 'esbuild';
import { packageFolder } from '../crate/case-layout';
import { libraryNotices } from './library-notices';

/** The script that makes a page live, and what each part of it weighs. */
export interface Runtime {
  readonly code: string;
  /** Licences of the libraries in it. */
  readonly notices: string;
  readonly parts: Metafile['outputs'][string]['inputs'];
}

/** Transforms of Vega for which Vega-Lite has no words: 40 kB that no chart of a page can use. */
const UNASKED = ['vega-crossfilter', 'vega-force', 'vega-hierarchy', 'vega-wordcloud'] as const;

/**
 * Bundles the browser side of the kit into one classic script.
 * @param spreadsheets whether the page has to read spreadsheets, which takes another 0.4 MB
 */
export async function bundleRuntime(spreadsheets: boolean): Promise<Runtime> {
  const root = packageFolder();
  const result = await build({
    absWorkingDir: root,
    entryPoints: [join(root, 'kernel-helpers/page/browser/main.ts')],
    bundle: true,
    write: false,
    minify: true,
    metafile: true,
    format: 'iife',
    target: 'es2022',
    // They stand at the foot of the page, each wording once.
    legalComments: 'none',
    logLevel: 'silent',
    // A page may carry a loader of modules; the parts in here must not register there.
    define: { define: 'undefined', 'process.env.NODE_ENV': '"production"' },
    alias: {
      ...Object.fromEntries(UNASKED.map((part) => [part, join(root, 'kernel-helpers/page/browser/no-transforms.ts')])),
      ...(spreadsheets ? {} : { '@e965/xlsx': join(root, 'kernel-helpers/page/browser/no-spreadsheets.ts') }),
    },
  });
  const [output] = Object.values(result.metafile!.outputs);
  const notices = libraryNotices(root, output.inputs);
  return { code: result.outputFiles![0].text, notices, parts: output.inputs };
}
