import { ArgumentError } from '../errors';
import { type ChartSpec, chart } from './chart';

/**
 * Charts beside each other as one picture, each with its own axes and legend.
 * @param charts what to put together, 2 to 6
 * @param title title of the whole
 * @param columns how many beside each other before the next row; 2 where absent
 * @returns a Vega-Lite specification with its text equivalent
 * @throws ArgumentError where there are not 2 to 6 charts, or the columns are no whole number from 1
 */
export function sideBySide(charts: readonly ChartSpec[], title: string, columns = 2): ChartSpec {
  if (charts.length < 2 || charts.length > 6) throw new ArgumentError('charts side by side', charts.length, '2 to 6');
  if (!(Number.isInteger(columns) && columns >= 1))
    throw new ArgumentError('columns', columns, 'a whole number from 1');
  const panels = charts.map(
    ({ $schema: _schema, usermeta: _words, config: _look, background: _paper, ...panel }) => panel,
  );
  return chart(
    {
      title,
      subtitle: [],
      description: `${charts.length} charts side by side: ${charts.map(({ description }) => description).join('; ')}`,
      text: [title, ...charts.map(({ usermeta }) => usermeta.text)].join('\n\n'),
    },
    {
      concat: panels,
      columns,
      spacing: 24,
      resolve: { scale: { color: 'independent', strokeDash: 'independent', shape: 'independent' } },
    },
  );
}
