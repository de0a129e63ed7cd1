/** The door for notebooks: all of `blankoff`, and what a notebook needs besides. */
export * from '../src/index';
export * from './data-frames';
export * from './display';
