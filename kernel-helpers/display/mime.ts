/** What a front end gets of a result: one value in several forms, of which it shows the richest that it knows. */
export interface MimeBundle {
  readonly data: Readonly<Record<string, unknown>>;
  readonly metadata: Readonly<Record<string, unknown>>;
}

/** The form in which every front end that draws Vega-Lite knows it. */
export const VEGA_LITE_MIME = 'application/vnd.vegalite.v5+json';

/** The form in which a report stands in a notebook, for `blankoff report` to find it; front ends pass over it. */
export const REPORT_MIME = 'application/vnd.blankoff.report+json';
