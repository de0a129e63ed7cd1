/** Stands in for the reader of spreadsheets on pages whose logs are none. */
export function read(): never {
  throw new Error('this page has no reader of spreadsheets');
}

export const utils = {};
