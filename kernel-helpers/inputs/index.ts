export { type Control, type ControlShape, controlFor, type Held } from './control';
export { input } from './input';
export type {
  ChoiceOptions,
  Input,
  InputOfText,
  InputOptions,
  NumberOptions,
  QuantityInputOptions,
  TextOptions,
  WindowOptions,
} from './options';
