/** The look of the readable page: plain, wide enough for charts, without the code when printed. */
export const pageStyle = `
:root { color-scheme: light; }
body { margin: 2rem auto; max-width: 56rem; padding: 0 1rem; background: #fff; color: #1a1a1a;
  font: 16px/1.5 system-ui, "DejaVu Sans", "Liberation Sans", sans-serif; }
h1, h2, h3 { line-height: 1.25; margin: 1.6em 0 0.5em; }
h1 { margin-top: 0; }
img { max-width: 100%; height: auto; }
table { border-collapse: collapse; margin: 0.8rem 0; font-variant-numeric: tabular-nums; font-size: 0.92em; }
caption { text-align: left; font-weight: 600; padding-bottom: 0.3rem; }
th, td { border-bottom: 1px solid #ccc; padding: 0.25rem 0.8rem 0.25rem 0; text-align: left; vertical-align: top; }
thead th { border-bottom: 2px solid #555; }
.wide { overflow-x: auto; }
pre { overflow-x: auto; white-space: pre-wrap; overflow-wrap: anywhere; background: #f5f5f5; padding: 0.6rem 0.8rem;
  font: 0.86em/1.45 "DejaVu Sans Mono", "Liberation Mono", monospace; }
details.code > summary { color: #595959; font-size: 0.82em; cursor: pointer; }
.stderr { border-left: 4px solid #b35900; }
.error { border-left: 4px solid #a00000; }
figure { margin: 0.8rem 0; }
figcaption { font-size: 0.86em; color: #444; white-space: pre-line; }
footer { margin-top: 3rem; border-top: 1px solid #ccc; font-size: 0.82em; color: #595959; }
@media print { body { margin: 0; max-width: none; font-size: 11pt; } details.code { display: none; }
  figure, table, pre { break-inside: avoid; } h1, h2, h3 { break-after: avoid; } }
`;
