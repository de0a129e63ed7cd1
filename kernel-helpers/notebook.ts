/** The door for notebooks: all of `blankoff`, and what a notebook needs besides. */
export * from '../src/index';
export * from './data-frames';
export * from './display';
export { type FollowOptions, follow } from './files/follow';
export * from './files/read-log-file';
export { sinceLastRow } from './files/since-last-row';
export * from './inputs';
export { progress, reactive } from './kernel';

import { attach } from './kernel';
import { lastValueBundle, withPicture } from './kernel/show-last';

// Importing the kit is what makes a tslab kernel follow; anywhere else this does nothing.
attach({ bundleOf: lastValueBundle, complete: withPicture });
