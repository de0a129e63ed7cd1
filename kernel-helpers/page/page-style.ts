/** Style of a live page: reads on a phone and on paper, in grey and at any size of letters, by day and by night. */
export const livePageStyle = `
:root {
  color-scheme: light; --ink: #1a1a1a; --paper: #fff; --faint: #595959; --line: #c8c8c8; --panel: #f4f4f4; --field: #fff;
  --control: #eef4f9; --accent: #0072b2; --link: #00558c; --wrong: #a40000; --waits: #5c4100; --waits-line: #8a6100;
  --edge: #6b6b6b; --focus: #d55e00;
}
@media screen and (prefers-color-scheme: dark) {
  :root {
    color-scheme: dark; --ink: #e8e8e8; --paper: #16181b; --faint: #b0b5ba; --line: #4a4e54; --panel: #24272b; --field: #101214;
    --control: #1c2934; --accent: #56b4e9; --link: #7cc4f2; --wrong: #ffa3a3; --waits: #f0c674; --waits-line: #c99a2e;
    --edge: #9aa0a6; --focus: #ff9a4d;
  }
  /* Charts are drawn on white. */
  .chart, figure img { background: #fff; border-radius: 4px; }
}
* { box-sizing: border-box; }
body { margin: 0; font: 16px/1.5 system-ui, sans-serif; color: var(--ink); background: var(--paper); }
main, footer { max-width: 50rem; margin: 0 auto; padding: 0.5rem 1rem; }
h1, h2, h3 { line-height: 1.25; margin: 1.2em 0 0.4em; }
a { color: var(--link); }
.cell { margin: 0.75rem 0 1.25rem; }
details.code > summary { color: var(--faint); font-size: 0.8rem; cursor: pointer; }
details.code pre { background: var(--panel); border: 1px solid var(--line); padding: 0.6rem; overflow-x: auto; font-size: 0.8rem; }
.controls { display: grid; grid-template-columns: minmax(0, 1fr); gap: 0.6rem; }
.control { background: var(--control); border-left: 4px solid var(--accent); padding: 0.5rem 0.75rem; }
.control label, .control legend { font-weight: 600; display: block; padding: 0; }
.control fieldset { border: 0; margin: 0; padding: 0; }
.control input[type='text'], .control input[type='number'], .control select { font: inherit; padding: 0.3rem 0.4rem; min-width: 10rem; max-width: 100%; border: 1px solid var(--edge); border-radius: 3px; background: var(--field); color: inherit; }
.control input[type='range'] { width: min(24rem, 100%); vertical-align: middle; accent-color: var(--accent); }
.control input[type='checkbox'] { width: 1.2rem; height: 1.2rem; vertical-align: middle; accent-color: var(--accent); }
.control .row { display: flex; flex-wrap: wrap; gap: 0.4rem 0.8rem; align-items: center; }
.control .hint { font-size: 0.85rem; color: var(--faint); margin: 0.15rem 0.5rem 0; }
.control fieldset + .hint { margin-left: 0; }
.control .wrong { color: var(--wrong); font-size: 0.9rem; margin: 0.2rem 0 0; }
button { font: inherit; padding: 0.35rem 0.8rem; border: 1px solid var(--edge); border-radius: 3px; background: var(--panel); color: inherit; cursor: pointer; }
:focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; }
.output { margin: 0.5rem 0; }
.wide, .chart { overflow-x: auto; }
figure { margin: 0; }
figure details > summary { font-size: 0.85rem; color: var(--faint); cursor: pointer; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; margin: 0.3rem 0; font: 0.85rem/1.45 ui-monospace, monospace; }
pre.error { border-left: 4px solid var(--wrong); padding-left: 0.6rem; color: var(--wrong); }
pre.waits { border-left: 4px solid var(--waits-line); padding-left: 0.6rem; color: var(--waits); }
.still { font-size: 0.85rem; color: var(--waits); margin: 0.2rem 0; }
table { border-collapse: collapse; font-size: 0.9rem; margin: 0.4rem 0; }
caption { text-align: left; font-weight: 600; padding: 0.2rem 0; }
th, td { border: 1px solid var(--line); padding: 0.2rem 0.55rem; text-align: left; vertical-align: top; }
th { background: var(--panel); }
img { max-width: 100%; height: auto; }
/* What stands there may be of former values: said where it takes longer than a blink. */
main[aria-busy='true']::after { content: 'computing …'; position: fixed; right: 0; bottom: 0; padding: 0.3rem 0.75rem; background: var(--control); border-left: 4px solid var(--accent); visibility: hidden; animation: late 0s 0.4s forwards; }
@keyframes late { to { visibility: visible; } }
footer { border-top: 1px solid var(--line); margin-top: 2rem; font-size: 0.85rem; }
footer h2 { font-size: 1rem; }
dl > div { display: flex; flex-wrap: wrap; gap: 0 0.6rem; }
dt { font-weight: 600; }
dd { margin: 0; overflow-wrap: anywhere; }
.licences pre { white-space: pre-wrap; font-size: 0.8rem; }
.buttons { display: flex; flex-wrap: wrap; gap: 0.5rem; }
@media screen and (max-width: 40rem) {
  /* A table of many columns is moved sideways rather than pressed into columns of single words; its rows keep their names. */
  .wide table:has(thead) { width: max-content; max-width: none; }
  .wide thead ~ tbody td { max-width: 13rem; }
  .wide caption { position: sticky; left: 0; max-width: calc(100vw - 2rem); overflow-wrap: anywhere; }
  .wide thead th:first-child, .wide thead td:first-child, .wide thead ~ tbody tr > :first-child { position: sticky; left: 0; max-width: 7.5rem; overflow-wrap: anywhere; background: var(--paper); }
  .control .hint { display: block; margin-left: 0; }
  details.code > summary span { display: none; }
}
@page { margin: 12mm 10mm; }
@media print {
  main[aria-busy]::after, .buttons, .licences, details.code, figure details:not([open]), .control output:empty, .only-imports, .prose:has(+ .only-imports) > :only-child { display: none; }
  /* Of a cell that shows nothing there is nothing to see but a gap. */
  .cell:has(> .controls:empty):has(> .outputs:empty) { display: none; }
  body { font-size: 10.5pt; }
  /* The outer half of a table's border would lie beside the sheet. */
  main, footer { max-width: none; padding: 0 1px; }
  main > :first-child > h1:first-child { margin-top: 0; }
  .controls { grid-template-columns: 1fr 1fr; gap: 0.3rem 0.6rem; }
  .control { padding: 0.1rem 0.5rem; font-size: 9pt; }
  .control:has(fieldset) { grid-column: 1 / -1; }
  /* A row of many lines may go over two sheets: kept together it would leave half of one empty. */
  .control, figure, thead, tr:not(:has(br:nth-of-type(6))), footer { break-inside: avoid; }
  h1, h2, h3, caption, thead, .prose:has(> :is(h1, h2, h3):last-child) { break-after: avoid; }
  caption + tbody > tr:first-child, thead ~ tbody > tr:first-child { break-before: avoid; }
  .wide, .chart { overflow: visible; }
  /* Charts are as wide as the window was. */
  .chart canvas { max-width: 100%; height: auto !important; }
}
`;
