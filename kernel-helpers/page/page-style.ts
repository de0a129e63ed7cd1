/** Style of a live page: reads on a phone and on paper, in grey and at any size of letters. */
export const livePageStyle = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; font: 16px/1.5 system-ui, sans-serif; color: #1a1a1a; background: #fff; }
main, footer { max-width: 50rem; margin: 0 auto; padding: 0.5rem 1rem; }
h1, h2, h3 { line-height: 1.25; margin: 1.2em 0 0.4em; }
a { color: #00558c; }
.cell { margin: 0.75rem 0 1.25rem; }
details.code > summary { color: #595959; font-size: 0.8rem; cursor: pointer; }
details.code pre { background: #f6f6f6; border: 1px solid #d0d0d0; padding: 0.6rem; overflow-x: auto; font-size: 0.8rem; }
.controls { display: grid; grid-template-columns: minmax(0, 1fr); gap: 0.6rem; }
.control { background: #eef4f9; border-left: 4px solid #0072b2; padding: 0.5rem 0.75rem; }
.control label, .control legend { font-weight: 600; display: block; padding: 0; }
.control fieldset { border: 0; margin: 0; padding: 0; }
.control input[type='text'], .control input[type='number'], .control select { font: inherit; padding: 0.3rem 0.4rem; min-width: 10rem; max-width: 100%; border: 1px solid #6b6b6b; border-radius: 3px; background: #fff; color: inherit; }
.control input[type='range'] { width: min(24rem, 100%); vertical-align: middle; }
.control input[type='checkbox'] { width: 1.2rem; height: 1.2rem; vertical-align: middle; }
.control .row { display: flex; flex-wrap: wrap; gap: 0.4rem 0.8rem; align-items: center; }
.control .hint { font-size: 0.85rem; color: #4a4a4a; margin: 0.15rem 0.5rem 0; }
.control fieldset + .hint { margin-left: 0; }
.control .wrong { color: #a40000; font-size: 0.9rem; margin: 0.2rem 0 0; }
button { font: inherit; padding: 0.35rem 0.8rem; border: 1px solid #6b6b6b; border-radius: 3px; background: #f2f2f2; color: inherit; cursor: pointer; }
:focus-visible { outline: 3px solid #d55e00; outline-offset: 2px; }
.output { margin: 0.5rem 0; }
.wide, .chart { overflow-x: auto; }
figure { margin: 0; }
figure details > summary { font-size: 0.85rem; color: #595959; cursor: pointer; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; margin: 0.3rem 0; font: 0.85rem/1.45 ui-monospace, monospace; }
pre.error { border-left: 4px solid #a40000; padding-left: 0.6rem; color: #a40000; }
pre.waits { border-left: 4px solid #8a6100; padding-left: 0.6rem; color: #5c4100; }
.still { font-size: 0.85rem; color: #5c4100; margin: 0.2rem 0; }
table { border-collapse: collapse; font-size: 0.9rem; margin: 0.4rem 0; }
caption { text-align: left; font-weight: 600; padding: 0.2rem 0; }
th, td { border: 1px solid #c8c8c8; padding: 0.2rem 0.55rem; text-align: left; vertical-align: top; }
th { background: #f2f2f2; }
img { max-width: 100%; height: auto; }
footer { border-top: 1px solid #c8c8c8; margin-top: 2rem; font-size: 0.85rem; }
footer h2 { font-size: 1rem; }
dl > div { display: flex; flex-wrap: wrap; gap: 0 0.6rem; }
dt { font-weight: 600; }
dd { margin: 0; overflow-wrap: anywhere; }
.buttons { display: flex; flex-wrap: wrap; gap: 0.5rem; }
@media (max-width: 40rem) {
  .wide thead ~ tbody td { min-width: 6rem; }
  .wide thead ~ tbody td:last-child { min-width: 12rem; }
  .control .hint { display: block; margin-left: 0; }
}
@media print {
  .buttons, details.code, figure details:not([open]) { display: none; }
  body { font-size: 10.5pt; }
  .control, figure, tr { break-inside: avoid; }
  h1, h2, h3, caption { break-after: avoid; }
  .wide { overflow: visible; }
}
`;
