/** What has to be done to a template so that it is about somebody else's log. */
export interface Template {
  /** The consts that hold the paths of logs, in the order in which logs are given on the command line. */
  readonly logs: readonly string[];
  /** Inputs whose defaults belong to the demo, and what they hold where nothing is known. */
  readonly unknown: Readonly<Record<string, string>>;
  /** Cells with paragraphs about the demo: the beginning of each such paragraph. */
  readonly demo: Readonly<Record<string, readonly string[]>>;
}

/** The inputs of every template that hold the unit and the gauge of the log; other answers go to where the log is read. */
export const UNIT_INPUT = 'logUnit';
export const CHANNEL_INPUT = 'channel';
/** The input in whose unit pressures are shown, in templates that have one. */
export const SHOWN_IN_INPUT = 'pressureUnit';

/** The templates that take somebody's own log; the first is used where none is named. */
export const TEMPLATES: Readonly<Record<string, Template>> = {
  'failed-pump-down': {
    logs: ['file'],
    unknown: { volume: '', gauge: 'not known', target: '', limit: '' },
    demo: { title: ['The log that comes with it'], 'known-text': ['Here: a coating chamber'] },
  },
  'rate-of-rise': {
    logs: ['file'],
    unknown: { volume: '', gauge: 'not known', limit: '', target: '' },
    demo: { title: ['The log that comes with this notebook'] },
  },
  'find-the-section': {
    logs: ['files'],
    unknown: { sections: '', limit: '' },
    demo: { title: ['The log that comes with this notebook'] },
  },
  'before-and-after': {
    logs: ['fileBefore', 'fileAfter'],
    unknown: { volume: '', gauge: 'not known', limit: '', target: '' },
    demo: { title: ['The two logs that come with this notebook'] },
  },
  'service-call': {
    logs: [
      'chamberFile',
      'atmosphereFile',
      'zeroFile',
      'pumpShutFile',
      'pumpBallastFile',
      'pumpShutAgainFile',
      'lineFile',
      'tracerFile',
    ],
    unknown: {
      gauge: 'not known',
      barometer: '',
      target: '',
      ultimate: '',
      sections: '',
      chamberVolume: '',
      limit: '',
    },
    demo: { title: ['The logs that come with this notebook'] },
  },
  'watch-a-run': {
    logs: ['file'],
    unknown: {},
    demo: { title: ['**Your own log:**'] },
  },
};
