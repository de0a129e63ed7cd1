/** Values as notebooks show them. */
export type { ShowOptions } from './bundle';
export { type MimeBundle, VEGA_LITE_MIME } from './mime';
export { type DisplayMessage, type DisplaySink, findRunningTslab, sendDisplay, setDisplaySink } from './send';
export { displayBundle, show } from './show';
