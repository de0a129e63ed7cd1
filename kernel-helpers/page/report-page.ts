import { NOT_GIVEN, type Report, type ReportSection } from '../../src/investigation';
import type { CellOutput, Notebook } from '../command/headless/notebook-file';
import { drawChart } from '../display/chart-picture';
import { isReport } from '../display/kinds';
import { REPORT_MIME } from '../display/mime';
import { escapeHtml, wordsHtml } from '../display/table';
import type { ProvenanceLine } from './page-html';

/**
 * The reports that a notebook has shown, in order.
 * @param notebook as it was executed
 */
export function reportsOf(notebook: Notebook): Report[] {
  return notebook.cells
    .flatMap((cell): readonly CellOutput[] => cell.outputs ?? [])
    .flatMap((output) => ('data' in output ? [output.data[REPORT_MIME]] : []))
    .filter(isReport);
}

/**
 * A report as one page for paper, needing nothing else and without script: a rate-of-rise test fits one sheet of A4 or
 * Letter, two of them beside each other fit two.
 * @param report the record
 * @param provenance lines of the foot
 * @throws ArgumentError where one of its charts is no valid specification
 */
export function reportPage(report: Report, provenance: readonly ProvenanceLine[]): string {
  const title = escapeHtml(report.title);
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${reportStyle}</style>
</head>
<body>
<main>
<h1>${title}</h1>
<div class="sections${report.columns.length > 1 ? ' wide' : ''}">
${report.sections.map((section, i) => sectionHtml(section, report.columns, i === 0)).join('\n')}
</div>
${report.charts.map(chartHtml).join('\n')}
</main>
<footer>
${provenance.map(([what, value]) => `<span><b>${escapeHtml(what)}</b> ${escapeHtml(value)}</span>`).join('\n')}
<p><span class="signed">Signature: <span class="line"></span></span> <span class="signed">Date: <span class="line"></span></span></p>
</footer>
</body>
</html>
`;
}

function sectionHtml({ title, rows }: ReportSection, columns: readonly string[], isFirst: boolean): string {
  const heads = columns.map((name) => `<th scope="col">${escapeHtml(name)}</th>`).join('');
  // The columns of all sections stand in line, so the first one names them.
  const head = isFirst && columns.length > 1 ? `<thead><tr><td></td>${heads}</tr></thead>` : '';
  const body = rows.map(
    ({ what, values }) => `<tr><th scope="row">${escapeHtml(what)}</th>${valuesHtml(values, columns.length)}</tr>`,
  );
  return `<table><caption>${escapeHtml(title)}</caption>${head}<tbody>${body.join('\n')}</tbody></table>`;
}

/** What is the same in both columns, or for both of them, is said once. */
function valuesHtml(values: readonly string[], columns: number): string {
  const alike = columns > 1 && values.every((value) => value === values[0]);
  if (!alike) return values.map((value) => valueHtml(value)).join('');
  const [value] = values;
  return valueHtml(values.length > 1 && value !== NOT_GIVEN ? `both: ${value}` : value, ` colspan="${columns}"`);
}

function valueHtml(value: string, span = ''): string {
  return value === NOT_GIVEN ? `<td class="absent"${span}>${NOT_GIVEN}</td>` : `<td${span}>${wordsHtml(value)}</td>`;
}

function chartHtml(spec: Report['charts'][number]): string {
  const { png, width, height } = drawChart(spec as unknown as Readonly<Record<string, unknown>>);
  const text = escapeHtml(String(spec.usermeta?.text ?? 'a chart').split('\n')[0]);
  return `<figure><img alt="${text}" width="${width}" height="${height}" src="data:image/png;base64,${Buffer.from(png).toString('base64')}"></figure>`;
}

const reportStyle = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 54rem; padding: 1rem; background: #fff; color: #1a1a1a;
  font: 14px/1.4 system-ui, "DejaVu Sans", "Liberation Sans", sans-serif; }
h1 { font-size: 1.4em; margin: 0 0 0.4em; }
.sections { columns: 2 20rem; column-gap: 1.4rem; }
.sections.wide { columns: 1; }
.wide table { table-layout: fixed; }
.wide tbody th, .wide thead td { width: 13em; }
table { width: 100%; border-collapse: collapse; margin: 0 0 0.7rem; break-inside: avoid; }
caption { text-align: left; font-weight: 700; border-bottom: 2px solid #1a1a1a; padding: 0.1rem 0; }
th, td { text-align: left; vertical-align: top; border-bottom: 1px solid #ccc; padding: 0.12rem 0.6rem 0.12rem 0;
  overflow-wrap: anywhere; }
tbody th { font-weight: 400; color: #444; width: 9.5em; }
.absent { color: #6a5200; font-style: italic; }
figure { margin: 0.6rem 0 0; text-align: center; break-inside: avoid; }
img { max-width: 100%; height: auto; }
footer { border-top: 1px solid #1a1a1a; margin-top: 0.5rem; padding-top: 0.3rem; font-size: 0.8em; color: #333; }
footer > span { display: inline-block; margin-right: 1.2em; overflow-wrap: anywhere; }
.signed { white-space: nowrap; }
.line { display: inline-block; width: 12em; border-bottom: 1px solid #1a1a1a; height: 1.6em; margin-right: 2em; }
@media screen and (max-width: 40rem) {
  .wide tbody th, .wide thead td { width: 7.4em; }
  .wide { font-size: 0.85em; }
}
@page { margin: 10mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 8pt; line-height: 1.22; }
  .sections { columns: 2; column-gap: 5mm; }
  table { margin-bottom: 1.6mm; }
  th, td { padding-top: 0.15mm; padding-bottom: 0.15mm; }
  figure { margin-top: 2mm; }
  img { max-height: 62mm; width: auto; }
  .sections.wide { columns: 1; font-size: 7.6pt; }
}
`;
