/** What has to be done to a template so that it is about somebody else's log. */
export interface Template {
  /** The consts that hold the paths of logs, in the order in which logs are given on the command line. */
  readonly logs: readonly string[];
  /** The inputs that hold the unit and the gauge of the log; what else was answered goes to where the log is read. */
  readonly unit: string;
  readonly channel: string;
  /** The inputs and consts in whose unit pressures are shown. */
  readonly shownIn?: string;
  /** Inputs whose defaults belong to the demo, and what they hold where nothing is known. */
  readonly unknown: Readonly<Record<string, string>>;
  /** Cells with paragraphs about the demo: the beginning of each such paragraph. */
  readonly demo: Readonly<Record<string, readonly string[]>>;
}

/** The templates that take somebody's own log; the first is used where none is named. */
export const TEMPLATES: Readonly<Record<string, Template>> = {
  'failed-pump-down': {
    logs: ['file'],
    unit: 'logUnit',
    channel: 'channel',
    shownIn: 'pressureUnit',
    unknown: { volume: '', gauge: 'not known', target: '', limit: '' },
    demo: { title: ['The log that comes with it'], 'known-text': ['Here: a coating chamber'] },
  },
  'rate-of-rise': {
    logs: ['file'],
    unit: 'logUnit',
    channel: 'channel',
    shownIn: 'pressureUnit',
    unknown: { volume: '', gauge: 'not known', limit: '', target: '' },
    demo: { title: ['The log that comes with this notebook'] },
  },
  'find-the-section': {
    logs: ['files'],
    unit: 'logUnit',
    channel: 'channel',
    shownIn: 'pressureUnit',
    unknown: { sections: '', limit: '' },
    demo: { title: ['The log that comes with this notebook'] },
  },
  'before-and-after': {
    logs: ['fileBefore', 'fileAfter'],
    unit: 'logUnit',
    channel: 'channel',
    shownIn: 'pressureUnit',
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
    unit: 'logUnit',
    channel: 'channel',
    shownIn: 'pressureUnit',
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
    unit: 'logUnit',
    channel: 'channel',
    unknown: {},
    demo: { title: ['**Your own log:**'] },
  },
};
