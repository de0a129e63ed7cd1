import { join } from 'node:path';
import type { Plugin } from 'esbuild';

/**
 * Pure functions whose result a page remembers: a volume or a limit that is moved asks them again with the same numbers,
 * and a move has to be followed within a picture or two. Paths from the folder of the package.
 */
const REMEMBERED: readonly (readonly [string, string])[] = [
  ['src/causes/weigh-hypotheses', 'weighHypotheses'],
  ['src/causes/main-cause', 'mainCauseWeights'],
  ['src/causes/next-test', 'nextTests'],
];

const NAMESPACE = 'remembered';

/**
 * For esbuild: lets the functions of {@link REMEMBERED} remember their last calls.
 * @param root folder of the package
 */
export function rememberedOnPages(root: string): Plugin {
  return {
    name: 'remembered on pages',
    setup: (build) => {
      for (const [path, name] of REMEMBERED) {
        const file = join(root, `${path}.ts`);
        const last = path.split('/').at(-1) as string;
        build.onResolve({ filter: new RegExp(`^\\./${last}$`) }, ({ namespace }) =>
          namespace === NAMESPACE ? { path: file } : { path: file, namespace: NAMESPACE, pluginData: name },
        );
      }
      build.onLoad({ filter: /.*/, namespace: NAMESPACE }, ({ path, pluginData }) => ({
        resolveDir: join(path, '..'),
        loader: 'ts',
        contents: [
          `import { ${pluginData} as anew } from './${path.split(/[\\/]/).at(-1)?.replace(/\.ts$/, '')}';`,
          `import { remembering } from '../numerics/remembering';`,
          `export * from '${path.replace(/\\/g, '/').replace(/\.ts$/, '')}';`,
          `export const ${pluginData} = remembering(anew, 4);`,
        ].join('\n'),
      }));
    },
  };
}
