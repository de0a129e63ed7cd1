import { commonDigits, fitSet, readSet, SET_NAMES } from './nist-strd';

/** The table of digits in common with the certified values, as `docs/nist-strd.md` prints it. */
export function nistDigitsPage(): string {
  const rows = SET_NAMES.flatMap((name) => {
    const set = readSet(name);
    return ([0, 1] as const).map((start) => {
      const fit = fitSet(set, start);
      const digits = commonDigits(set, fit);
      const cells = [digits.parameters, digits.standardDeviations, digits.residualSumOfSquares].map((d) =>
        (Math.floor(d * 10) / 10).toFixed(1),
      );
      return `| ${name} | ${set.level} | ${start + 1} | ${cells.join(' | ')} | ${fit.stop} | ${fit.iterations} |`;
    });
  });
  return `# Least squares on the NIST Statistical Reference Datasets

\`fitLeastSquares\` on ten nonlinear sets of the National Institute of Standards and Technology (public domain; the files
and their origin are in \`tests/published/data/nist-strd/\`), from both published starting points, with derivatives by
differences and all options at their defaults. The figures are digits in common with the certified values, the worst of
a set (-log10 of the relative error; NIST certifies eleven). Start 1 is the one far away.

Made by \`UPDATE_DOCS=1 npx vitest run tests/published/nist-digits.test.ts\`; the same test fails when the figures here
are no longer what the code gives.

| set | level | start | parameters | standard deviations | residual sum of squares | stopped by | iterations |
| --- | --- | --- | --- | --- | --- | --- | --- |
${rows.join('\n')}

BoxBOD from start 1 is found in a second descent: the first one, with damping by the columns of the Jacobian, runs to
where the second parameter has no effect, which shows in a singular Jacobian, and the descent is repeated with damping
by the size of the parameters.
`;
}
