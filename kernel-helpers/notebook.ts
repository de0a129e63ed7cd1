/** The door for notebooks: all of `blankoff`, and what a notebook needs besides. */
export * from '../src/index';
