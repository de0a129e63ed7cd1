/** Elements that a table needs, and the only attributes that are kept, with the form of their values. */
const allowed = new Set(
  'table caption thead tbody tfoot tr th td p ul ol li strong em b i br code sub sup details summary'.split(' '),
);
const attributes: Readonly<Record<string, RegExp>> = {
  colspan: /^\d{1,3}$/,
  rowspan: /^\d{1,3}$/,
  scope: /^(?:row|col|rowgroup|colgroup)$/,
  // Where words start and may be broken, and the large figures of a run that is watched, letter by letter.
  style:
    /^(?:text-align:left(?:;overflow-wrap:anywhere)?|font-size:\d{1,3}px;line-height:1\.2(?:;margin:0)?|color:#000000;background-color:#f0e442)$/,
};

const tag = /<(\/?)([a-zA-Z][a-zA-Z0-9]*)((?:\s+[a-zA-Z-]+(?:\s*=\s*(?:"[^"<>]*"|'[^'<>]*'|[^\s"'<>=`]+))?)*)\s*\/?>/y;

function keptAttributes(text: string): string {
  const found = text.matchAll(/([a-zA-Z-]+)\s*=\s*(?:"([^"]*)"|'([^']*)'|(\S+))/g);
  return [...found]
    .map(([, name, ...values]) => [name.toLowerCase(), values.find((value) => value !== undefined) ?? ''])
    .filter(([name, value]) => Object.hasOwn(attributes, name) && attributes[name].test(value))
    .map(([name, value]) => ` ${name}="${value}"`)
    .join('');
}

/**
 * Keeps of a piece of HTML what tables are made of, and shows the rest as text: what comes out holds no script, no link
 * and no reference to anything, and no style but a place of words, a size of type and one colour, whoever wrote it. Elements left open are closed.
 */
export function safeTableHtml(html: string): string {
  const out: string[] = [];
  const open: string[] = [];
  let at = 0;
  while (at < html.length) {
    const next = html.indexOf('<', at);
    const end = next < 0 ? html.length : next;
    // Entities that the writer escaped stay as they are; a bare & is escaped.
    out.push(
      html
        .slice(at, end)
        .replace(/&(?!#?\w{1,12};)/g, '&amp;')
        .replace(/>/g, '&gt;'),
    );
    if (next < 0) break;
    tag.lastIndex = next;
    const match = tag.exec(html);
    const name = match?.[2].toLowerCase() ?? '';
    if (!match || !allowed.has(name)) {
      out.push('&lt;');
      at = next + 1;
      continue;
    }
    at = tag.lastIndex;
    if (name === 'br') out.push('<br>');
    else if (match[1] === '') {
      open.push(name);
      out.push(`<${name}${keptAttributes(match[3])}>`);
    } else if (open.includes(name)) {
      let closed: string | undefined;
      do {
        closed = open.pop();
        out.push(`</${closed}>`);
      } while (closed !== name);
    }
  }
  out.push(...open.reverse().map((name) => `</${name}>`));
  return out.join('');
}
